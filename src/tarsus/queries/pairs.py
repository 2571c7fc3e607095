"""Mates: with whom a bird is paired, was paired, and whom a death has left alone."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from tarsus.queries.days import day_of, park_zone
from tarsus.queries.once import once
from tarsus.records.models import CarcaseNamed, Death, Pair
from tarsus.records.standing import standing


@dataclass(frozen=True, slots=True)
class Mate:
    """A bird that it is or was paired with.

    `until` is none while both live and have not parted; `why` says how it ended.
    """

    pair_id: int
    bird_id: int
    name: str
    since: date
    until: date | None
    why: str
    widowed: bool


@dataclass(frozen=True, slots=True)
class Died:
    """The day on which a bird was found dead, and who wrote it down."""

    on: date
    who: str


@once
def mates_of(bird_id: int) -> tuple[Mate, ...]:
    """All mates of a bird, the present ones first.

    A death widows by itself, and no longer once it is withdrawn.
    """
    pairs = list(
        Pair.objects.filter(Q(first_id=bird_id) | Q(second_id=bird_id), taken_back_at__isnull=True)
        .select_related("first", "second")
        .order_by("-from_on", "-pk")
    )
    died = deaths_of({bird for pair in pairs for bird in (pair.first_id, pair.second_id)})
    mates = [_mate(pair, bird_id, {bird: told.on for bird, told in died.items()}) for pair in pairs]
    return tuple(sorted(mates, key=lambda mate: mate.until is not None))


def _mate(pair: Pair, bird_id: int, died: dict[int, date]) -> Mate:
    mate = pair.second if pair.first_id == bird_id else pair.first
    until, why, widowed = pair.to_on, f"parted: {pair.why_ended}" if pair.to_on else "", False
    for gone, words in ((mate.pk, f"{mate} died"), (bird_id, "it died")):
        day = died.get(gone)
        if day is not None and (until is None or day < until):
            until, why, widowed = day, words, gone == mate.pk
    return Mate(pair.pk, mate.pk, str(mate), pair.from_on, until, why, widowed)


def deaths_of(birds: Collection[int]) -> dict[int, Died]:
    """When birds died, as it stands: found as themselves, or as a carcase that was named later."""
    zone = park_zone()
    found = standing(Death.objects.filter(bird_id__in=birds)).select_related("recorded_by")
    died = {row.bird_id: Died(day_of(row.happened_at, zone), row.recorded_by.display_name) for row in found}
    named = standing(CarcaseNamed.objects.filter(bird_id__in=birds, death__in=standing(Death.objects.all())))
    for row in named.select_related("death", "recorded_by"):
        died[row.bird_id] = Died(day_of(row.death.happened_at, zone), row.recorded_by.display_name)
    return {bird: told for bird, told in died.items() if bird is not None}
