"""The marking desk: who is to be marked, with what, and what waits."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

import wendlebrook
from tarsus.actions.bands.planning import drop_marks, keep_marks
from tarsus.actions.refusals import AlreadySo
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.marks import Marks
from tarsus.queries.flock_page import flock_birds
from tarsus.queries.marking import marking_desk
from tarsus.queries.marking_answer import Answer, Asked
from tarsus.queries.marking_birds import drawer, plans_of
from tarsus.queries.marking_list import flocks_to_mark
from tarsus.queries.marking_wish import fewest_changes, wish_for
from tarsus.records import models as rows
from wendlebrook import MORNING

RULE = {
    "metal": {"F": "left tibia", "M": "right tibia", "U": None},
    "colours": {
        "F": {"right tibia": 2},
        "M": {"left tibia": 2},
        "U": {"left tibia": 1, "right tibia": 1},
    },
}


@pytest.fixture
def garden(db):
    park = wendlebrook.build()
    rows.Rule.objects.create(
        species_id=park.avocet, from_on=date(2026, 1, 1), recorded_by_id=park.actors.maren, **RULE
    )
    for name, sex in (("Dulse", "F"), ("Wrack", "M"), ("Osier", "U")):
        bird = rows.Bird.objects.create(
            species_id=park.avocet, house_name=name, recorded_by_id=park.actors.tilda
        )
        park.birds[name] = bird.pk
        rows.Stay.objects.create(
            bird=bird, exhibit_id=park.shingle, from_on=wendlebrook.BEGUN, recorded_by_id=park.actors.tilda
        )
        if sex != "U":
            rows.SexFinding.objects.create(
                bird=bird, sex=sex, known_by="DNA", happened_at=MORNING, recorded_by_id=park.actors.tilda
            )
    return park


def desk(park, chosen=None):
    return marking_desk(park.shingle, "avocet", MORNING, chosen)


def test_birds_without_bands_are_to_be_marked_and_banded_ones_are_not(garden):
    told = desk(garden)
    assert [one.name for one in told.proposals] == ["Dulse", "Osier", "Wrack"]
    assert {one.because for one in told.proposals} == {"wears no band yet"}


def test_marks_follow_the_rule_of_each_sex_and_nobody_wears_them(garden):
    told = desk(garden)
    marks = {one.name: one.drawn.marks for one in told.proposals}
    assert marks["Dulse"]["left tibia"] == ["metal"]
    assert marks["Wrack"]["right tibia"] == ["metal"]
    assert [len(bands) for bands in marks["Osier"].values()] == [1, 1]
    assert ["yellow", "green"] not in (marks["Dulse"]["right tibia"], marks["Wrack"]["left tibia"])
    assert told.named.loss < told.habit.loss
    assert 0 < told.least_loss <= told.named.loss


def test_other_marks_are_never_clearer_than_those_proposed(garden):
    for one in desk(garden).proposals:
        assert len(one.others) == 6
        assert min(other.named.loss for other in one.others) >= desk(garden).named.loss - 1e-9


def test_only_the_birds_that_were_ticked_are_proposed_for(garden):
    told = desk(garden, {garden["Wrack"]})
    assert [one.name for one in told.proposals] == ["Wrack"]
    assert [(name, chosen) for _, name, _, chosen in told.waiting] == [
        ("Dulse", False),
        ("Osier", False),
        ("Wrack", True),
    ]


def test_marks_that_were_kept_wait_and_are_taken_into_account(garden):
    first = desk(garden).proposals[0]
    planned = keep_marks(bird_id=first.bird_id, marks=first.drawn.marks, by=garden.actors.maren)
    assert planned == keep_marks(bird_id=first.bird_id, marks=first.drawn.marks, by=garden.actors.maren)
    told = desk(garden)
    assert [one.name for one in told.kept] == ["Dulse"]
    assert [one.name for one in told.proposals] == ["Osier", "Wrack"]
    assert all(one.drawn.marks != first.drawn.marks for one in told.proposals)


def test_other_marks_kept_later_take_the_place_of_the_first_and_leave_it_on_record(garden):
    bird, by = garden["Dulse"], garden.actors.maren
    first = keep_marks(bird_id=bird, marks={"left tibia": ["metal"], "right tibia": ["red"]}, by=by)
    second = keep_marks(bird_id=bird, marks={"left tibia": ["metal"], "right tibia": ["blue"]}, by=by)
    assert rows.PlannedMarks.objects.get(pk=first).dropped_at is not None
    assert rows.PlannedMarks.objects.get(pk=second).dropped_at is None


def test_marks_taken_back_no_longer_wait_and_cannot_be_taken_back_twice(garden):
    planned = keep_marks(bird_id=garden["Dulse"], marks={"left tibia": ["red"]}, by=garden.actors.maren)
    drop_marks(planned_id=planned, by=garden.actors.maren)
    assert desk(garden).kept == ()
    with pytest.raises(AlreadySo):
        drop_marks(planned_id=planned, by=garden.actors.maren)


@pytest.mark.parametrize(
    ("marks", "refusal"),
    [({"left tibia": ["tael"]}, UnknownWord), ({"left toe": ["red"]}, UnknownWord), ({}, WrongValue)],
)
def test_marks_that_nobody_can_wear_are_refused(garden, marks, refusal):
    with pytest.raises(refusal):
        keep_marks(bird_id=garden["Dulse"], marks=marks, by=garden.actors.maren)


def test_the_drawer_bounds_what_is_proposed_and_what_is_left_is_told(garden):
    rows.Colour.objects.exclude(name__in=("red", "white")).update(held=False)
    for colour, amount in (("red", 3), ("white", 4)):
        rows.Stock.objects.create(
            kind="colour", colour=rows.Colour.objects.get(name=colour), size="4", amount=amount, order_below=2
        )
    told = desk(garden)
    assert {left.colour: left.amount for left in told.stock} == {"red": 0, "white": 1} or {
        left.colour: left.amount for left in told.stock
    } == {"red": 1, "white": 0}
    assert all(left.order for left in told.stock)
    rows.Stock.objects.update(amount=1)
    assert "marks can be had for 1 of 3 birds" in desk(garden).refusal


def test_bands_of_a_kept_plan_are_set_aside_for_it(garden):
    """Both red bands wait for Dulse: the four white ones are all that is left for Osier and Wrack."""
    rows.Colour.objects.exclude(name__in=("red", "white")).update(held=False)
    for colour, amount in (("red", 2), ("white", 4)):
        rows.Stock.objects.create(
            kind="colour", colour=rows.Colour.objects.get(name=colour), size="4", amount=amount
        )
    marks = {"left tibia": ["metal"], "right tibia": ["red", "red"]}
    keep_marks(bird_id=garden["Dulse"], marks=marks, by=garden.actors.maren)
    told = desk(garden)
    proposed = [band for one in told.proposals for bands in one.drawn.marks.values() for band in bands]
    assert sorted(proposed) == ["metal", "white", "white", "white", "white"]
    assert [(left.colour, left.amount) for left in told.stock] == [("white", 0)]
    rows.Stock.objects.filter(colour__name="white").update(amount=3)
    assert "marks can be had for 1 of 2 birds" in desk(garden).refusal


def test_bands_that_a_bird_wears_already_are_not_set_aside_again_for_its_plan(garden):
    """Samphire wears yellow over green: a plan of yellow over white wants one white and no yellow."""
    for colour in ("yellow", "white", "green", "red"):
        rows.Stock.objects.create(
            kind="colour", colour=rows.Colour.objects.get(name=colour), size="4", amount=2
        )
    rows.Colour.objects.exclude(name__in=("yellow", "white", "green", "red")).update(held=False)
    whole = held(garden)
    marks = {"left tibia": ["metal"], "right tibia": ["yellow", "white"]}
    keep_marks(bird_id=garden["Samphire"], marks=marks, by=garden.actors.maren)
    after = held(garden)
    assert whole == {"yellow": 2, "white": 2, "green": 2, "red": 2}
    assert after == {**whole, "white": 1}


def held(park):
    """What the desk may still take, before it proposes anything."""
    answer = Answer(
        Asked(
            flock_birds(park.shingle, "avocet", MORNING.date()),
            (),
            tuple(plans_of(flock_birds(park.shingle, "avocet", MORNING.date())).values()),
            None,
            drawer("tall", ""),
            MORNING.date(),
            0.95,
        )
    )
    return dict(answer.stock)


def test_newcomers_in_quarantine_are_weighed_with_those_they_will_join(garden):
    quarantine = rows.Exhibit.objects.create(name="Quarantine house", order=9, purpose="quarantine")
    rows.Stay.objects.filter(bird_id=garden["Thrift"]).update(exhibit=quarantine)
    colours = {
        band.colour.name: band for band in rows.Band.objects.filter(bird_id=garden["Thrift"], kind="colour")
    }
    rows.Band.objects.filter(pk=colours["red"].pk).update(colour=rows.Colour.objects.get(name="yellow"))
    rows.Band.objects.filter(pk=colours["white"].pk).update(colour=rows.Colour.objects.get(name="green"))
    told = marking_desk(quarantine.pk, "avocet", MORNING)
    assert told.residents == ("Shingle Aviary",)
    assert [one.because for one in told.proposals] == ["too alike to Samphire, whom it will join"]


def test_the_list_puts_flocks_with_birds_to_mark_first(garden):
    first = flocks_to_mark(MORNING)[0]
    assert (first.flock.lookalike, first.to_mark, first.rule) == ("avocet", 3, True)
    assert [one.rule for one in flocks_to_mark(MORNING) if one.flock.lookalike == "ruff"] == [False]


def test_the_parks_sureness_says_from_when_a_name_is_said_and_what_a_doubt_costs(garden):
    surer = desk(garden)
    rows.Park.objects.update(sureness=0.6)
    bolder = desk(garden)
    assert (surer.sureness, bolder.sureness) == (0.95, 0.6)
    assert bolder.named.in_doubt < surer.named.in_doubt
    assert bolder.named.loss == pytest.approx(bolder.named.wrongly + 0.4 * bolder.named.in_doubt)


def gone(garden, name, marks, on):
    """A bird that wore these marks here and lives nowhere since a day."""
    by = garden.actors.tilda
    bird = rows.Bird.objects.create(species_id=garden.avocet, house_name=name, recorded_by_id=by)
    stay = {"from_on": wendlebrook.BEGUN, "to_on": on, "recorded_by_id": by}
    rows.Stay.objects.create(bird=bird, exhibit_id=garden.shingle, **stay)
    colours = {colour.name: colour for colour in rows.Colour.objects.all()}
    for site, bands in marks.items():
        for order, word in enumerate(bands):
            worn = {"kind": "metal"} if word == "metal" else {"kind": "colour", "colour": colours[word]}
            number = f"WB 99{bird.pk}" if word == "metal" else ""
            rows.Band.objects.create(
                bird=bird,
                site=site,
                order=100 * order,
                engraving=number,
                from_on=wendlebrook.BEGUN,
                recorded_by_id=by,
                **worn,
            )
    return bird


def test_marks_of_a_bird_that_died_rest_as_long_as_the_park_says_and_are_shown(garden):
    (dulse,) = [one for one in desk(garden).proposals if one.name == "Dulse"]
    wanted = dulse.drawn.marks
    day = MORNING.date()
    gone(garden, "Fern", wanted, day - timedelta(days=100))
    rows.Park.objects.update(marks_rest_days=101)
    told = desk(garden)
    assert [(one.name, one.drawn.marks, one.until) for one in told.resting] == [
        ("Fern", wanted, day + timedelta(days=1))
    ]
    offered = [one.drawn.marks for one in told.proposals]
    offered += [other.drawn.marks for one in told.proposals for other in one.others]
    assert wanted not in offered
    for days in (100, 0):
        rows.Park.objects.update(marks_rest_days=days)
        told = desk(garden)
        assert told.resting == ()
        assert wanted in [one.drawn.marks for one in told.proposals]


def test_a_bird_that_came_back_rests_no_marks(garden):
    fern = gone(garden, "Fern", {"left tibia": ["metal"], "right tibia": ["red"]}, MORNING.date())
    rows.Park.objects.update(marks_rest_days=365)
    assert [one.name for one in desk(garden).resting] == ["Fern"]
    rows.Stay.objects.create(
        bird=fern, exhibit_id=garden.shingle, from_on=MORNING.date(), recorded_by_id=garden.actors.tilda
    )
    assert desk(garden).resting == ()


def test_a_wish_for_marks_that_rest_is_told_so_and_the_fewest_changes_leave_them_out(garden):
    wanted = {"left tibia": ["metal"], "right tibia": ["red", "blue"]}
    gone(garden, "Fern", wanted, MORNING.date() - timedelta(days=10))
    rows.Park.objects.update(marks_rest_days=30)
    until = MORNING.date() + timedelta(days=20)
    wish = wish_for(garden.shingle, "avocet", garden["Dulse"], Marks.of(wanted), MORNING)
    assert f"Fern wore these marks; they rest until {until:%-d %B %Y}." in wish.notes
    given = [one.drawn.marks for one in fewest_changes(garden.shingle, "avocet", MORNING).birds]
    assert wanted not in given
