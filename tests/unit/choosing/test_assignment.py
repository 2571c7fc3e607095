"""Marks chosen for whole flocks, against every choice tried and against a general solver."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from tarsus.core.choosing.assignment import assigned
from tarsus.core.choosing.assignment_fewest import with_fewest_bands
from tarsus.core.choosing.assignment_layout import laid_out
from tarsus.core.choosing.assignment_mates import used_bands
from tarsus.core.choosing.assignment_one import marks_for_one
from tarsus.core.choosing.assignment_others import best_marks
from tarsus.core.choosing.assignment_slots import Wanted, slots_of
from tarsus.core.choosing.clarity import flock_clarity
from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.candidates import drawn_marks, number_possible, possible_marks
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, Reader

FOUR = Palette.of({"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf", "white": "#ffffff"})
NINE = Palette(BUILT_IN.colours[:9])
BY_SEX_METAL = {"F": "left leg", "M": "right leg", "U": None}
BY_SEX_COLOURS = {"F": {"right leg": 2}, "M": {"left leg": 2}, "U": {"left leg": 1, "right leg": 1}}
BY_SEX = MarkRule.of(BY_SEX_METAL, BY_SEX_COLOURS)
WINGS = MarkRule.of(colours={"F": {"left wing": 2}, "M": {"right wing": 2}})
CLUMSY = Reader(
    swap=0.06, flip=0.03, colour=0.0, overlook=0.02, lost=0.01, confusion={"red": {"orange": 0.15}}
)


def wanted(females=0, males=0, unsexed=0):
    sexes = "F" * females + "M" * males + "U" * unsexed
    return [Wanted(f"new-{at}", sex) for at, sex in enumerate(sexes)]


def misnamed(marks, misreading):
    return flock_clarity([Bird(str(at), one) for at, one in enumerate(marks)], misreading).misnamed


@pytest.fixture
def clumsy():
    return Misreading.of(CLUMSY, FOUR)


def cost(marks, misreading, sureness):
    """Chow's rule, reading by reading: a wrong name costs 1, a doubt 1 - sureness, whatever is less."""
    reads = [read for length in range(3) for read in product(misreading.words, repeat=length)]
    total = 0.0
    for left, right in product(reads, reads):
        reading = Reading.of({"left leg": left, "right leg": right})
        chance = [misreading.reading_chance(reading, one) / len(marks) for one in marks]
        total += min((1 - sureness) * sum(chance), sum(chance) - max(chance))
    return total


@pytest.mark.parametrize("sureness", [0.0, 0.7, 0.95])
def test_the_best_of_every_choice_is_found(clumsy, sureness):
    """Every choice of two of nine marks for either sex, judged by the very sum that is sought."""
    females, males = (possible_marks(BY_SEX, sex, FOUR.names[:3]) for sex in "FM")
    costs = {
        marks: flock_clarity(
            [Bird(str(at), one) for at, one in enumerate(marks)], clumsy, sureness=sureness
        ).loss
        for some, others in product(combinations(females, 2), combinations(males, 2))
        if (marks := (*some, *others))
    }
    best = min(costs, key=costs.__getitem__)
    rule = replace(BY_SEX, excluded=frozenset({"white"}))
    found = assigned([], wanted(2, 2), rule, FOUR.names, clumsy, sureness=sureness, seconds=1)
    assert found.clarity.loss == pytest.approx(costs[best], abs=1e-12)
    assert costs[best] == pytest.approx(cost(best, clumsy, sureness), abs=1e-12)
    assert 0 < found.loss_bound <= costs[best] + 1e-12
    assert 0 < found.lower_bound <= min(misnamed(marks, clumsy) for marks in costs) + 1e-12


def test_the_optimum_of_a_general_solver_is_reached_and_no_floor_is_above_it(clumsy):
    """Facility location as an integer programme, proven optimal by HiGHS (scipy.optimize.milp)."""
    worn = [Bird("A01", Marks.of({"left leg": ["metal"], "right leg": ["red", "blue"]}), "F")]
    new = wanted(3, 2)
    found = assigned(worn, new, BY_SEX, FOUR.names, clumsy, sureness=0.0, seconds=1)
    slots = slots_of(new, worn, BY_SEX, FOUR.names, np.random.default_rng(1))
    problem = laid_out(slots, worn, clumsy, None, 6.0, np.random.default_rng(1), 0.0).problem
    optimum = 1 - highs_optimum(problem)
    assert found.clarity.misnamed == pytest.approx(optimum, abs=1e-9)
    assert 0 < found.lower_bound <= optimum + 1e-9
    doubting = assigned(worn, new, BY_SEX, FOUR.names, clumsy, seconds=1)
    assert doubting.clarity.misnamed > optimum
    assert 0 < doubting.lower_bound <= optimum + 1e-9


def highs_optimum(problem):
    options = problem.options
    gain = np.maximum(options.value - problem.worn[options.reading], 0.0)
    owner = np.repeat(np.arange(len(options)), np.diff(options.start))
    some = np.flatnonzero(gain > 1e-12)
    entries, count = len(some), len(options)
    at = np.arange(entries)
    readings, place = np.unique(options.reading[some], return_inverse=True)
    # y_e <= x_owner(e); a reading is served once; so many of each kind.
    rows = np.concatenate([at, at, entries + place, entries + len(readings) + options.kind])
    columns = np.concatenate([count + at, owner[some], count + at, np.arange(count)])
    values = np.concatenate([np.ones(entries), -np.ones(entries), np.ones(entries), np.ones(count)])
    many = np.bincount(problem.slots)
    top = np.concatenate([np.zeros(entries), np.ones(len(readings)), many])
    low = np.concatenate([np.full(entries + len(readings), -np.inf), many])
    matrix = coo_array((values, (rows, columns)), shape=(len(top), count + entries)).tocsc()
    whole = np.concatenate([np.ones(count, dtype=int), np.zeros(entries, dtype=int)])
    solved = milp(
        np.concatenate([np.zeros(count), -gain[some]]),
        integrality=whole,
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(matrix, low, top),
        options={"mip_rel_gap": 0.0},
    )
    assert solved.status == 0
    return float(problem.worn.sum() - solved.fun)


def test_females_and_males_take_colours_that_exchanged_legs_do_not_confuse():
    found = assigned([], wanted(8, 8), BY_SEX, NINE.names, Misreading.of(TRAINED, NINE), seconds=1)
    females = {found.marks[f"new-{at}"].mirrored() for at in range(8)}
    males = {found.marks[f"new-{at}"] for at in range(8, 16)}
    assert not females & males


def test_the_same_seed_gives_the_same_marks_and_worn_marks_stay(clumsy):
    worn = [Bird("A01", Marks.of({"left leg": ["metal"], "right leg": ["orange", "blue"]}), "F")]
    first = assigned(worn, wanted(4, 3, 1), BY_SEX, FOUR.names, clumsy, seed=7, seconds=1)
    again = assigned(worn, wanted(4, 3, 1), BY_SEX, FOUR.names, clumsy, seed=7, seconds=1)
    assert first.marks == again.marks
    assert first.birds[0] == worn[0]
    assert len({bird.marks for bird in first.birds}) == 9


def test_each_sex_is_marked_by_its_own_row_and_excluded_colours_never():
    rule = replace(BY_SEX, repeat=False, excluded=frozenset({"red"}))
    found = assigned([], wanted(2, 2, 2), rule, FOUR.names, Misreading.of(TRAINED, FOUR), seconds=1)
    female, male, unsexed = (found.marks[f"new-{at}"] for at in (0, 2, 4))
    assert female.at("left leg") == ("metal",)
    assert male.at("right leg") == ("metal",)
    assert [len(unsexed.at(site)) for site in ("left leg", "right leg")] == [1, 1]
    used = used_bands(list(found.marks.values()))
    assert "red" not in used
    assert all(len(set(marks.at("right leg"))) == 2 for marks in (female,))


def test_a_juvenile_takes_the_juvenile_row_where_the_rule_has_one(clumsy):
    rule = MarkRule.of(BY_SEX_METAL, {**BY_SEX_COLOURS, "J": {"left leg": 1}})
    new = [Wanted("chick", "F", juvenile=True), Wanted("grown", "F")]
    found = assigned([], new, rule, FOUR.names, clumsy, seconds=1)
    assert found.marks["chick"].at("right leg") == ()
    assert len(found.marks["chick"].at("left leg")) == 1
    assert len(found.marks["grown"].at("right leg")) == 2


def test_stock_is_never_overdrawn_and_what_is_left_is_told(clumsy):
    stock = {"red": 2, "blue": 5, "white": 3, "metal": 9}
    found = assigned([], wanted(3, 2), BY_SEX, FOUR.names, clumsy, stock=stock, seconds=1)
    used = used_bands(list(found.marks.values()))
    assert "orange" not in used
    assert found.left_in_stock == {band: count - used.get(band, 0) for band, count in stock.items()}
    assert min(found.left_in_stock.values()) >= 0


def test_bands_that_do_not_reach_are_refused_with_how_many_birds_they_mark(clumsy):
    with pytest.raises(NotEnoughMarks) as refused:
        assigned([], wanted(9), BY_SEX, FOUR.names, clumsy, stock={"red": 3, "blue": 4}, seconds=1)
    assert refused.value.available == 3
    assert "3 of 9" in str(refused.value)


def test_combinations_that_do_not_reach_are_refused_with_how_many_there_are(clumsy):
    with pytest.raises(NotEnoughMarks) as refused:
        assigned([], wanted(17), BY_SEX, FOUR.names, clumsy, seconds=1)
    assert refused.value.available == 16


def test_a_tight_stock_that_leads_greed_nowhere_is_still_used_up():
    """Three birds from exactly the bands for three."""
    rule = MarkRule.of(colours={"U": {"left leg": 1, "right leg": 1}}, repeat=True)
    misreading = Misreading.of(Reader(0.0, 0.0, 0.02, 0.0, 0.0), FOUR)
    found = assigned([], wanted(unsexed=3), rule, FOUR.names, misreading, stock={"red": 3, "blue": 3})
    assert found.left_in_stock == {"red": 0, "blue": 0}
    assert len(set(found.marks.values())) == 3


def test_mates_on_wings_wear_the_same_colours_on_opposite_sides():
    worn = [Bird("Petrel", Marks.of({"left wing": ["red", "blue"]}), "F")]
    new = [
        Wanted("Skua", "M", mate="Petrel"),
        Wanted("Gull", "F", mate="Tern"),
        Wanted("Tern", "M", mate="Gull"),
    ]
    found = assigned(worn, new, WINGS, FOUR.names, Misreading.of(TRAINED, FOUR), seconds=1)
    assert found.marks["Skua"] == Marks.of({"right wing": ["red", "blue"]})
    assert found.marks["Tern"] == found.marks["Gull"].mirrored()
    assert found.marks["Gull"].at("left wing")
    skua = [bird.id for bird in found.birds].index("Skua")
    assert found.clarity.lookalikes(skua, 1)[0][0] == 0


def test_look_alike_groups_do_not_take_each_others_room(clumsy):
    marks = Marks.of({"left leg": ["metal"], "right leg": ["red", "blue"]})
    worn = [Bird("A01", marks, "F", lookalike="ruff")]
    rule = replace(BY_SEX, excluded=frozenset({"orange", "white"}))
    new = [Wanted(f"new-{at}", "F", lookalike="avocet") for at in range(4)]
    found = assigned(worn, new, rule, FOUR.names, clumsy, seconds=1)
    assert marks in found.marks.values()


def test_as_few_bands_as_reach_the_wanted_clarity_are_used():
    misreading = Misreading.of(TRAINED, NINE)

    def assign(rule):
        return assigned([], wanted(2, 2), rule, NINE.names, misreading, seconds=1)

    found, reached = with_fewest_bands(assign, BY_SEX, 0.05)
    assert reached
    assert {len(marks.at("right leg")) for marks in found.marks.values()} == {1}
    found, reached = with_fewest_bands(assign, BY_SEX, 0.0)
    assert not reached
    assert max(len(marks.at("right leg")) for marks in found.marks.values()) == 2


def test_names_that_nobody_doubts_are_rarely_wrong_and_others_are_left_in_doubt():
    misreading = Misreading.of(TRAINED, NINE)
    guessing = assigned([], wanted(12, 12), BY_SEX, NINE.names, misreading, sureness=0.0, seconds=1)
    doubting = assigned([], wanted(12, 12), BY_SEX, NINE.names, misreading, seconds=1)
    birds = guessing.birds
    before = flock_clarity(birds, misreading)
    assert doubting.clarity.named_wrongly < before.named_wrongly
    assert doubting.clarity.loss < 0.95 * before.loss
    assert doubting.clarity.misnamed > guessing.clarity.misnamed
    assert guessing.clarity.left_in_doubt == 0.0
    assert guessing.clarity.loss == guessing.clarity.named_wrongly


def test_work_is_counted_and_not_timed():
    """The clock is never asked: a busy machine takes longer and gives the same marks."""
    misreading = Misreading.of(TRAINED, NINE)
    first, again = (assigned([], wanted(6, 6), BY_SEX, NINE.names, misreading, seconds=0.3) for _ in range(2))
    assert first.marks == again.marks


def test_one_bird_among_very_many_marks_is_as_clear_as_weighing_them_all():
    """Exactly the best gain of 1,296 options, weighed one by one by the flock's own clarity."""
    six = Palette(BUILT_IN.colours[:6])
    misreading = Misreading.of(TRAINED, six)
    rule = MarkRule.of(colours={"U": {"left leg": 2, "right leg": 2}})
    options = possible_marks(rule, "U", six.names)
    rng = np.random.default_rng(3)
    worn = [Bird(str(at), options[k]) for at, k in enumerate(rng.choice(len(options), 60, replace=False))]
    marks = marks_for_one(worn, rule, "U", six.names, misreading)
    found = flock_clarity([*worn, Bird("new", marks)], misreading).loss
    others = rng.choice(len(options), 25, replace=False)
    free = [options[k] for k in others if options[k] not in {bird.marks for bird in worn}]
    assert marks not in {bird.marks for bird in worn}
    assert all(found <= flock_clarity([*worn, Bird("new", one)], misreading).loss + 1e-8 for one in free)
    # Marks that rest are given to nobody: the next best is, by itself and among the listed alike.
    resting = {marks}
    for _ in range(3):
        resting.add(marks_for_one(worn, rule, "U", six.names, misreading, resting=resting))
    assert len(resting) == 4
    (new,) = wanted(unsexed=1)
    listed = best_marks(worn, new, rule, six.names, misreading, most=5, resting=resting)
    assert not resting & {one for one, *_ in listed}
    both = assigned(worn, wanted(unsexed=2), rule, six.names, misreading, seconds=0.2, resting=resting)
    assert not resting & set(both.marks.values())


def test_marks_are_as_many_as_the_rule_says():
    rule = replace(BY_SEX, repeat=False)
    assert number_possible(rule, "F", FOUR.names) == 12 == len(possible_marks(rule, "F", FOUR.names))
    two = MarkRule.of({"F": "left leg"}, {"F": [{"right leg": 2}, {"left leg": 1, "right leg": 1}]})
    assert number_possible(two, "F", FOUR.names) == 32 == len(set(possible_marks(two, "F", FOUR.names)))
    assert possible_marks(two, "F", ["red"])[1].at("left leg") == ("metal", "red")


def test_a_rule_with_hundreds_of_thousands_of_marks_is_drawn_from_and_claims_no_floor():
    rule = MarkRule.of({"F": "left tibia"}, {"F": {"left leg": 2, "right leg": 3}})
    misreading = Misreading.of(TRAINED, BUILT_IN)
    assert number_possible(rule, "F", BUILT_IN.names) == 13**5
    found = assigned([], wanted(3), rule, BUILT_IN.names, misreading, seconds=1)
    assert found.clarity.misnamed < 1e-4
    assert (found.lower_bound, found.proven) == (0.0, False)
    assert all(len(marks.at("right leg")) == 3 for marks in found.marks.values())
    drawn = drawn_marks(rule, "F", BUILT_IN.names, 50, np.random.default_rng(2))
    assert set(drawn) == set(drawn_marks(rule, "F", BUILT_IN.names, 50, np.random.default_rng(2)))
