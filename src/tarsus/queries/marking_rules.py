"""How a species is marked here, as the core's own value."""

from __future__ import annotations

from datetime import date

from tarsus.core.marks.rules import MarkRule
from tarsus.records.models import Rule, Species


def rule_of(species_id: int, day: date) -> MarkRule | None:
    """The rule that marks a species on a day; nothing where the park has set none yet."""
    row = Rule.objects.filter(species_id=species_id, from_on__lte=day).order_by("-from_on").first()
    if row is None:
        return None
    excluded = Species.objects.filter(pk=species_id).values_list("excluded_colours__name", flat=True)
    return MarkRule.of(
        row.metal,
        row.colours,
        repeat=row.repeat_on_a_site,
        excluded=frozenset(name for name in excluded if name),
    )
