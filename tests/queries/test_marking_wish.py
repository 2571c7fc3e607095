"""A keeper's own choice, judged as the desk judges; the fewest birds to re-band; one rule for all figures."""

from __future__ import annotations

import numpy as np
import pytest

from queries.test_marking import desk, garden  # noqa: F401  (a fixture)
from tarsus.core.choosing.room import too_alike
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.marks import Marks
from tarsus.queries.decision import park_decision
from tarsus.queries.flock_page import flock_birds
from tarsus.queries.marking_wish import fewest_changes, marks_written, wish_for
from tarsus.queries.observers import park_misreading
from tarsus.records import models as rows
from wendlebrook import DAY, MORNING

COLOURS = ("red", "blue", "pale blue", "green", "yellow", "white")


def test_marks_are_written_as_they_are_spoken() -> None:
    written = {"left tibia": "metal", "right tibia": "Pale blue over red", "left leg": " "}
    assert marks_written(written, COLOURS) == Marks.of(
        {"left tibia": ["metal"], "right tibia": ["pale blue", "red"]}
    )
    assert marks_written({"left leg": "red, red"}, COLOURS).at("left leg") == ("red", "red")
    with pytest.raises(UnknownWord, match="did you mean"):
        marks_written({"left leg": "gren"}, COLOURS)
    with pytest.raises(WrongValue):
        marks_written({"left leg": ""}, COLOURS)


def test_the_proposal_typed_as_a_wish_costs_what_the_desk_says(garden) -> None:  # noqa: F811  # the fixture
    told = desk(garden, {garden["Dulse"]})
    (proposal,) = told.proposals
    wish = wish_for(garden.shingle, "avocet", garden["Dulse"], Marks.of(proposal.drawn.marks), MORNING)
    assert told.says.split(" wrong names")[0].split()[-1] == wish.says.split(" wrong names")[0].split()[-1]
    assert wish.notes == ()


def test_a_wish_that_breaks_the_rule_is_judged_and_what_speaks_against_it_is_said(garden) -> None:  # noqa: F811  # the fixture
    worn = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}  # Samphire's
    wish = wish_for(garden.shingle, "avocet", garden["Wrack"], Marks.of(worn), MORNING)
    assert "The rule here puts its metal on the right tibia." in wish.notes
    assert "Samphire wears these marks." in wish.notes
    assert wish.near[0].portrait.name == "Samphire"
    with pytest.raises(WrongValue, match="none of this flock"):
        wish_for(garden.shingle, "avocet", garden["Teasel"], Marks.of(worn), MORNING)


def test_the_fewest_changes_leave_all_others_as_they_are(garden) -> None:  # noqa: F811  # the fixture
    twin = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
    for order, word in enumerate(("metal", "yellow", "green")):
        colour = None if word == "metal" else rows.Colour.objects.get(name=word)
        rows.Band.objects.create(
            bird_id=garden["Dulse"],
            site="left tibia" if word == "metal" else "right tibia",
            order=order,
            kind="metal" if word == "metal" else "colour",
            colour=colour,
            from_on="2026-05-01",
            recorded_by_id=garden.actors.tilda,
        )
    told = fewest_changes(garden.shingle, "avocet", MORNING)
    assert told.refusal == ""
    changed = {str(one.bird_id): Marks.of(one.drawn.marks) for one in told.birds}
    assert {str(garden["Dulse"]), str(garden["Samphire"])} & changed.keys()
    flock = [bird for bird in flock_birds(garden.shingle, "avocet", DAY) if bird.bands]
    assert told.says.startswith(f"Change {len(changed)} bird")
    assert f"the other {len(flock) - len(changed)} stay" in told.says
    # Done as it says, every two are apart by the park's own measure.
    after = [changed.get(str(bird.bird_id), bird.marks) for bird in flock]
    eyes = park_misreading(flock, DAY)
    alike = np.triu(too_alike(eyes, after, after, park_decision().clarity), 1)
    assert not alike.any()
    assert all(one.drawn.marks != twin and one.put_on > 0 for one in told.birds)
    rows.Band.objects.filter(bird__house_name__in=["Dulse", "Samphire"]).update(certified=True)
    assert fewest_changes(garden.shingle, "avocet", MORNING).refusal.startswith(
        ("Dulse and Samphire are too alike", "Samphire and Dulse are too alike")
    )


def test_the_habit_takes_from_the_same_stock_and_never_undercuts_the_bound(garden) -> None:  # noqa: F811  # the fixture
    told = desk(garden)
    assert told.least_loss <= told.named.loss <= told.habit.loss
    for colour in ("red", "white", "blue"):
        rows.Stock.objects.create(
            kind="colour", colour=rows.Colour.objects.get(name=colour), size="4", amount=3
        )
    told = desk(garden)
    assert told.least_loss <= told.named.loss
    assert told.habit is None or told.least_loss <= told.habit.loss
