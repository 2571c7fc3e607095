"""Fewest birds to re-band, from a flock and its rule."""

from __future__ import annotations

from itertools import product
from math import sqrt

import numpy as np
import pytest

from tarsus.core.choosing.alikeness import pair_loss
from tarsus.core.choosing.clashes import NobodyToRebandLeft
from tarsus.core.choosing.rebanding import RebandingPlan, on_the_wrong_side, plan_rebanding
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED

READS = Misreading.of(TRAINED, BUILT_IN)
RULE = MarkRule.of(
    metal={"F": "left tibia", "M": "right tibia", "U": None},
    colours={"F": {"right tibia": 2}, "M": {"left tibia": 2}, "U": {"left tibia": 1, "right tibia": 1}},
)
COLOURS = ("red", "yellow", "green", "blue", "white", "black")
CLARITY = 0.05 * sqrt(2 * 0.05)
"""A pair whose better guess is wrong in at most 5 of 100, in doubt from 95 % on (eq. 3 of clashes.md)."""


def female(name: str, upper: str, lower: str) -> Bird:
    return Bird(name, Marks.of({"left tibia": ["metal"], "right tibia": [upper, lower]}), sex="F")


def male(name: str, upper: str, lower: str) -> Bird:
    return Bird(name, Marks.of({"right tibia": ["metal"], "left tibia": [upper, lower]}), sex="M")


def assert_settled(flock: list[Bird], plan: RebandingPlan) -> None:
    after = {bird.id: bird.marks for bird in flock} | {new.bird: new.given for new in plan.birds}
    alike = pair_loss(READS, list(after.values()), list(after.values()))
    assert (alike[np.triu_indices(len(after), 1)] <= CLARITY).all()


def test_newcomers_with_the_marks_of_residents_are_found_and_settled() -> None:
    flock = [female("A01", "red", "blue"), female("A02", "white", "green"), male("A03", "black", "blue")]
    flock += [female("new-1", "red", "blue"), male("new-2", "black", "blue")]
    plan = plan_rebanding(flock, RULE, COLOURS, READS, CLARITY, weight={"A01": 2, "A02": 2, "A03": 2})
    assert plan.clashes == (("A01", "new-1"), ("A03", "new-2"))
    assert [new.bird for new in plan.birds] == ["new-1", "new-2"]
    assert plan.proven
    assert plan.birds[0].because == "too alike to A01"
    assert_settled(flock, plan)


@pytest.mark.parametrize(("dear", "caught"), [("A01", "A02"), ("A02", "A01")])
def test_of_two_birds_alike_the_one_that_is_cheaper_to_catch_is_re_banded(dear: str, caught: str) -> None:
    flock = [female("A01", "red", "blue"), female("A02", "red", "blue")]
    plan = plan_rebanding(flock, RULE, COLOURS, READS, CLARITY, weight={dear: 3})
    assert [new.bird for new in plan.birds] == [caught]
    # One that must not be caught stays as it is, however cheap it would be.
    kept = plan_rebanding(flock, RULE, COLOURS, READS, CLARITY, weight={dear: 3}, keep={caught})
    assert [new.bird for new in kept.birds] == [dear]


def test_what_the_bird_wears_is_used_again_where_it_serves() -> None:
    flock = [female("A01", "red", "blue"), female("A02", "red", "blue")]
    plan = plan_rebanding(flock, RULE, COLOURS, READS, CLARITY)
    assert [new.bands_put_on for new in plan.birds] == [1]  # its metal and one of its colours stay


def test_a_sex_result_turns_the_metal_side() -> None:
    found_male = Bird("A07", female("A07", "red", "blue").marks, sex="M")
    assert on_the_wrong_side(found_male, RULE)
    assert not on_the_wrong_side(female("A01", "red", "blue"), RULE)
    plan = plan_rebanding([found_male, female("A02", "white", "green")], RULE, COLOURS, READS, CLARITY)
    assert [(new.bird, new.because) for new in plan.birds] == [
        ("A07", "its metal is on the other sex's side")
    ]
    assert plan.birds[0].given.at("right tibia") == ("metal",)


def test_a_bird_with_a_certified_band_on_the_wrong_side_is_named_and_not_planned() -> None:
    found_male = Bird("A07", female("A07", "red", "blue").marks, sex="M")
    with pytest.raises(NobodyToRebandLeft, match="A07 needs other marks"):
        plan_rebanding([found_male], RULE, COLOURS, READS, CLARITY, keep=["A07"])


def test_a_hundred_birds_with_clashes_are_settled_with_as_few_as_the_clashes_ask_for() -> None:
    pairs = list(product(COLOURS, repeat=2))
    flock = [female(f"F{i}", *pair) for i, pair in enumerate(pairs)] + [
        male(f"M{i}", *pair) for i, pair in enumerate(pairs)
    ]
    flock += [female(f"N{i}", *pairs[i * 2]) for i in range(14)] + [
        male(f"P{i}", *pairs[i * 2]) for i in range(14)
    ]
    assert len(flock) == 100
    clarity = 0.2 * sqrt(
        2 * 0.05
    )  # an exchange of legs is accepted here: there are too few colours for both sexes
    wide = (*COLOURS, "orange", "purple", "lime")
    plan = plan_rebanding(flock, RULE, wide, READS, clarity)
    assert len(plan.birds) >= 28
    assert plan.proven
    after = {bird.id: bird.marks for bird in flock} | {new.bird: new.given for new in plan.birds}
    alike = pair_loss(READS, list(after.values()), list(after.values()))
    assert (alike[np.triu_indices(len(after), 1)] <= clarity).all()
