"""Which exhibit a fact is about."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tarsus.actions.hearing.fields import parse_id, parse_number_of
from tarsus.records.fact_tables import fact_tables
from tarsus.records.models import Round, Sighting, Stay


def exhibit_of(fact: Mapping[str, Any]) -> int | None:
    """The exhibit of a fact, said by itself or by its round, its sighting, what it corrects, or its birds.

    Returns:
        The exhibit; `None` where the register cannot tell, or where the birds live in several.
    """
    if fact.get("exhibit") is not None:
        return parse_number_of(fact["exhibit"], "exhibit")
    if fact.get("round") is not None:
        named = Round.objects.filter(pk=parse_id(fact["round"], "round"))
        return named.values_list("exhibit_id", flat=True).first()
    if fact.get("sighting") is not None:
        seen = Sighting.objects.filter(pk=parse_id(fact["sighting"], "sighting"))
        return seen.values_list("exhibit_id", flat=True).first()
    if fact.get("corrects") is not None:
        return _exhibit_of_corrected(fact)
    return _exhibit_of_birds(fact)


_PATHS = (("sighting", "exhibit_id"), ("count", "round__exhibit_id"), ("group", "round__exhibit_id"))


def _exhibit_of_corrected(fact: Mapping[str, Any]) -> int | None:
    fact_id = parse_id(fact["corrects"], "corrects")
    for kind, path in _PATHS:
        facts = fact_tables()[kind]._default_manager.filter(pk=fact_id)
        found: int | None = facts.values_list(path, flat=True).first()
        if found is not None:
            return found
    return None


def _exhibit_of_birds(fact: Mapping[str, Any]) -> int | None:
    named = fact.get("birds") or [fact.get("bird")]
    birds = [parse_number_of(bird, "birds") for bird in named if bird is not None]
    stays = Stay.objects.filter(bird_id__in=birds, to_on__isnull=True, taken_back_at__isnull=True)
    exhibits = set(stays.values_list("exhibit_id", flat=True))
    return exhibits.pop() if len(exhibits) == 1 else None
