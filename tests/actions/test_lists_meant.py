"""What a cell of a park's own list means: its unit, its numbers, its days; nothing is guessed in silence."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from list_files import brought
from tarsus.records import models as rows

pytestmark = pytest.mark.django_db


def grams_of(park: Any, bird: str, on: date) -> list[float]:
    found = rows.Weighing.objects.filter(bird=park[bird], happened_at__date=on)
    return list(found.values_list("weight_g", flat=True))


@pytest.mark.parametrize(
    "heading", ["weight_kg", "mass_kg", "Weight.kg", "Gewicht_(kg)", "KG", "weight [kg]"]
)
def test_a_heading_in_kilograms_is_one_however_it_is_written(park: Any, heading: str) -> None:
    done = brought(park, f"bird;date;{heading};where", "Kelp;2026-04-03;0.31;in hand")
    assert (done.told, done.refused) == (1, ())
    assert grams_of(park, "Kelp", date(2026, 4, 3)) == [310.0]


@pytest.mark.parametrize("heading", ["weight_lb", "Weight (oz)", "pounds"])
def test_a_heading_in_pounds_is_refused_until_each_cell_says_its_unit(park: Any, heading: str) -> None:
    lines = (
        f"bird;date;{heading};weighing",
        "Kelp;2026-04-03;0.7;in hand",
        "Sedge;2026-04-03;300 g;in hand",
    )
    done = brought(park, *lines, said={heading: "weight", "weighing": "where"}, what="weights")
    (refused,) = done.refused
    assert refused.reason == "'0.7' stands under a heading in pounds or ounces"
    assert (refused.field, refused.remedy) == (heading, "write it in g or kg")
    assert grams_of(park, "Sedge", date(2026, 4, 3)) == [300.0]
    assert grams_of(park, "Kelp", date(2026, 4, 3)) == []
