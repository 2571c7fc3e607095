"""The light and mud of a round: against cases worked the long way, and against what a light does to eyes."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from published_checks import published
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.readings.lights import STATES, RoundState, prior_of_states, shares_of_states, under
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, Reader
from tarsus.core.readings.shared_state import FlockInStates

CHECK = published("light_cases")
READS = Misreading.of(TRAINED, BUILT_IN)


def observer(told: dict[str, Any]) -> Misreading:
    palette = Palette(tuple((word, "#808080") for word in ("red", "orange", "yellow", "blue")))
    reader = Reader(told["swap"], told["flip"], 0.0, told["overlook"], told["lost"], told["confusion"])
    return Misreading.of(reader, palette)


@pytest.mark.parametrize("case", CHECK["cases"], ids=lambda case: case["name"])
def test_one_round_in_one_light_is_as_worked_the_long_way(case: dict[str, Any]) -> None:
    birds = [Bird(str(b["id"]), Marks.of(b["marks"]), prior=b["prior"]) for b in case["birds"]]
    flock = FlockInStates(birds, [observer(one) for one in case["readers"]], strangers=case["strangers"])
    readings = [Reading.of(one["reading"]) for one in case["readings"]]
    for at, told in enumerate(case["readings"]):
        others = readings[:at] + readings[at + 1 :]
        found = flock.posterior(readings[at], np.array(case["prior"]), others)
        np.testing.assert_allclose(found.states, case["states"], rtol=0, atol=1e-9)
        np.testing.assert_allclose(found.birds, told["birds"], rtol=0, atol=1e-9)
        assert found.none_of_these == pytest.approx(told["none_of_these"], abs=1e-9)


@pytest.mark.parametrize("told", CHECK["priors"], ids=lambda told: f"{told['light']} {told['mud']}")
def test_what_was_said_of_the_light_is_believed_but_not_blindly(told: dict[str, Any]) -> None:
    prior = prior_of_states(told["light"], told["mud"])
    np.testing.assert_allclose(prior, told["prior"], rtol=0, atol=1e-12)
    assert prior.sum() == pytest.approx(1.0)


def test_the_less_light_the_more_is_misread_and_a_bright_one_changes_nothing() -> None:
    bright, dull, dusk = (
        under(READS, BUILT_IN, RoundState(light, False)) for light in ("bright", "dull", "dusk")
    )
    assert bright == READS
    for worse, better in ((dull, bright), (dusk, dull)):
        assert worse.overlook > better.overlook
        assert np.diagonal(worse.table)[1:].mean() < np.diagonal(better.table)[1:].mean()
        np.testing.assert_allclose(worse.table.sum(axis=1), 1.0)
    muddy = under(dusk, BUILT_IN, RoundState("bright", True))
    assert muddy.overlook > dusk.overlook


def test_many_readings_that_only_dusk_explains_tell_dusk_whatever_was_said() -> None:
    evidence = [np.array([0.01 if state.light == "dusk" else 0.002 for state in STATES])] * 8
    shares = shares_of_states(prior_of_states("bright", mud=False), evidence)
    assert sum(share for share, state in zip(shares, STATES, strict=True) if state.light == "dusk") > 0.99
    nobody_could = shares_of_states(prior_of_states(), [np.zeros(len(STATES))])
    np.testing.assert_allclose(nobody_could, prior_of_states())
