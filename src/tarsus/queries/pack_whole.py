"""How many bands make a leg whole: until a phone has read so many, more may hang below."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from tarsus.core.marks.rules import MarkRule
from tarsus.core.marks.sites import MIRROR, SITES
from tarsus.queries.flock import FlockBird
from tarsus.records.models import Rule


def whole_stacks(birds: Sequence[FlockBird], day: date) -> dict[str, dict[str, int]]:
    """How many bands make each site of a look-alike group whole, in one query.

    Args:
        birds: the birds of an exhibit.
        day: the park's day; the rules are those of that day.

    Returns:
        lookalike -> site -> the most bands that the rules of its species put there in any row, or that a bird
        of it wears there, on either side; sites that take none are left out.
    """
    species: dict[str, set[int]] = defaultdict(set)
    most: dict[str, dict[str, int]] = defaultdict(dict)
    for bird in birds:
        species[bird.lookalike].add(bird.species_id)
        for site, bands in bird.marks.sites:
            for side in (site, MIRROR[site]):
                most[bird.lookalike][side] = max(most[bird.lookalike].get(side, 0), len(bands))
    rows = Rule.objects.filter(species_id__in=set().union(*species.values()), from_on__lte=day)
    latest = {row.species_id: row for row in rows.order_by("from_on")}
    ruled = {pk: MarkRule.of(row.metal, row.colours).whole_at() for pk, row in latest.items()}
    for lookalike, kinds in species.items():
        for site, number in (pair for pk in kinds for pair in ruled.get(pk, {}).items()):
            most[lookalike][site] = max(most[lookalike].get(site, 0), number)
    return {
        name: {site: by_site[site] for site in SITES if site in by_site} for name, by_site in most.items()
    }
