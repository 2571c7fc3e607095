"""Duties out of the register."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from tarsus.queries.duties import duties_of_park
from tarsus.records import models as rows

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 6, 11, 11, 0, tzinfo=UTC)


def alike() -> set[int | None]:
    return {duty.bird for duty in duties_of_park(NOON) if duty.kind == "too alike"}


def mirrored(site: str) -> str:
    return site.replace("left", "×").replace("right", "left").replace("×", "right")


def test_birds_too_alike_are_told_unless_they_are_mates_whose_rule_wants_it(park: Any) -> None:
    female, male = sorted((park["Samphire"], park["Kelp"]))
    by = park.actors.maren
    worn = list(rows.Band.objects.filter(bird_id=female, to_on__isnull=True))
    taken_off = {"to_on": NOON.date(), "why_off": "re-marked", "ended_by_id": by, "ended_at": NOON}
    rows.Band.objects.filter(bird_id=male).update(**taken_off)
    # What one wears on its left the other wears on its right: an exchange of sides turns one into the other.
    for band in worn:
        number = f"T {band.order}" if band.engraving else ""
        rows.Band.objects.create(
            bird_id=male,
            site=mirrored(band.site),
            order=band.order,
            kind=band.kind,
            colour=band.colour,
            engraving=number,
            engraving_key=number.replace(" ", ""),
            from_on=NOON.date(),
            recorded_by_id=by,
        )
    assert female in alike()
    rows.Pair.objects.create(first_id=female, second_id=male, from_on=NOON.date(), recorded_by_id=by)
    assert female in alike()
    rows.Rule.objects.create(species_id=park.avocet, from_on=NOON.date(), mates_match=True, recorded_by_id=by)
    assert female not in alike()
