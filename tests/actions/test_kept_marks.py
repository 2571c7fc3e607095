"""Marks kept for a bird are fitted once it wears them, whoever fitted them and in whatever act."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from phones import Phone
from tarsus.actions.bands.planning import keep_marks
from tarsus.queries.marks import bands_of, marks_on
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db

KEPT = {"left tibia": ["metal"], "right tibia": ["pink", "white"]}
"""Thrift wears red over white there."""


@pytest.fixture
def maren(park: Wendlebrook) -> Phone:
    keep_marks(bird_id=park["Thrift"], marks=KEPT, by=park.actors.maren)
    return Phone(park, park.actors.maren)


def band(park: Wendlebrook, word: str) -> int:
    return next(one.band_id for one in bands_of([park["Thrift"]], DAY)[park["Thrift"]] if one.word == word)


def plan() -> rows.PlannedMarks:
    return rows.PlannedMarks.objects.get()


def off_and_on(park: Wendlebrook, phone: Phone) -> list[dict[str, Any]]:
    return [
        phone.fact("band_off", band=band(park, "red"), why="re-marked"),
        phone.fact("band_on", bird=park["Thrift"], site="right tibia", what="colour", colour="pink", place=0),
    ]


def test_what_was_fitted_band_by_band_at_the_desk_fulfils_the_plan(park: Wendlebrook, maren: Phone) -> None:
    off, on = off_and_on(park, maren)
    assert maren.send(off) == ["written"]
    assert plan().fitted_at is None, "half of it"
    assert maren.send(on) == ["written"]
    assert marks_on(park["Thrift"], DAY).as_mapping() == KEPT
    assert (plan().fitted_at is not None, plan().ended_by_id) == (True, park.actors.maren)


def test_a_band_that_was_never_on_lets_the_plan_wait_again(park: Wendlebrook, maren: Phone) -> None:
    off, on = off_and_on(park, maren)
    maren.send(off, on)
    assert maren.send(maren.fact("withdrawn", corrects=on["id"], because="another bird")) == ["written"]
    assert plan().fitted_at is None
    assert maren.send(maren.fact("withdrawn", corrects=off["id"], because="another bird")) == ["written"]
    assert marks_on(park["Thrift"], DAY).at("right tibia") == ("red", "white")


def test_a_handling_taken_back_lets_the_plan_wait_again_and_gives_the_band_back(
    park: Wendlebrook, maren: Phone
) -> None:
    drawer = rows.Stock.objects.create(
        kind="colour", colour=rows.Colour.objects.get(name="pink"), size="4", amount=3
    )
    handling = maren.fact(
        "handling",
        bird=park["Thrift"],
        why="banding",
        taken_off=[{"band": band(park, "red"), "why": "re-marked"}],
        put_on=[{"site": "right tibia", "kind": "colour", "colour": "pink", "size": "4", "place": 0}],
    )
    assert maren.send(handling) == ["written"]
    drawer.refresh_from_db()
    assert (plan().fitted_at is not None, drawer.amount) == (True, 2)
    assert maren.send(maren.fact("withdrawn", corrects=handling["id"], because="another bird")) == ["written"]
    drawer.refresh_from_db()
    assert (plan().fitted_at, drawer.amount) == (None, 3)


def test_a_band_lost_later_does_not_wake_a_plan_that_was_fitted(park: Wendlebrook, maren: Phone) -> None:
    maren.send(*off_and_on(park, maren))
    maren.send(maren.fact("band_off", band=band(park, "pink"), why="lost"))
    assert plan().fitted_at is not None


def test_taking_back_what_came_later_does_not_wake_a_plan_that_was_fitted_before(
    park: Wendlebrook, maren: Phone
) -> None:
    maren.send(*off_and_on(park, maren))
    maren.send(maren.fact("band_off", band=band(park, "pink"), why="lost"))
    fitted = plan()
    rows.PlannedMarks.objects.update(fitted_at=fitted.fitted_at - timedelta(days=400))  # type: ignore[operator]  # it was fitted
    weighed = maren.fact("handling", bird=park["Thrift"], why="weighing", weight_g=301.0)
    assert maren.send(weighed) == ["written"]
    assert maren.send(maren.fact("withdrawn", corrects=weighed["id"], because="mistyped")) == ["written"]
    assert plan().fitted_at is not None


def test_a_band_entered_wrongly_lets_the_plan_wait_and_goes_back_into_the_drawer_once(
    park: Wendlebrook, maren: Phone
) -> None:
    pink = rows.Colour.objects.get(name="pink")
    drawer = rows.Stock.objects.create(kind="colour", colour=pink, size="4", amount=3)
    off, on = off_and_on(park, maren)
    maren.send(off, on)
    worn = band(park, "pink")
    maren.send(maren.fact("band_never_worn", band=worn, because="another bird"))
    drawer.refresh_from_db()
    assert (plan().fitted_at, drawer.amount) == (None, 3)
    maren.send(maren.fact("withdrawn", corrects=on["id"], because="another bird"))
    drawer.refresh_from_db()
    assert drawer.amount == 3


def test_a_band_that_another_deed_had_taken_off_stays_off_when_its_finders_word_is_taken_back(
    park: Wendlebrook, maren: Phone
) -> None:
    found = maren.fact("band_found", exhibit=park.shingle, what="colour", colour="red")
    red = band(park, "red")
    maren.send(found, maren.fact("band_off", band=red, why="lost"))
    named = maren.fact("band_owner_named", found=found["id"], band=red, because="Thrift lacks it")
    assert maren.send(named) == ["written"]
    assert maren.send(maren.fact("withdrawn", corrects=named["id"], because="not sure")) == ["written"]
    assert rows.Band.objects.get(pk=red).to_on is not None
