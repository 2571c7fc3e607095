"""Identification against cases worked the long way; the phone's copy of the formula reads the same file."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from published_checks import published
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.looking import expected_information, look_next, open_sites
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import Reader

CHECK = published("identification_cases")
TOLERANCE = CHECK["tolerance"]


def flock_of(case: dict[str, Any]) -> Flock:
    told = case["reader"]
    # The colours themselves do not matter: every row of confusions is given.
    palette = Palette.of({colour: "#808080" for colour in told["confusion"] if colour != "metal"})
    reader = Reader(told["swap"], told["flip"], 0.0, told["overlook"], told["lost"], told["confusion"])
    birds = [Bird(str(b["id"]), Marks.of(b["marks"]), prior=b["prior"]) for b in case["birds"]]
    return Flock(birds, Misreading.of(reader, palette), strangers=case["strangers"])


@pytest.mark.parametrize("case", CHECK["cases"], ids=lambda case: case["name"])
def test_every_case_is_answered_as_worked_the_long_way(case: dict[str, Any]) -> None:
    flock = flock_of(case)
    for answer in case["readings"]:
        reading = Reading.of(answer["reading"])
        posterior = flock.posterior(reading)
        np.testing.assert_allclose(posterior.birds, answer["birds"], rtol=0, atol=TOLERANCE)
        np.testing.assert_allclose(posterior.none_of_these, answer["none_of_these"], rtol=0, atol=TOLERANCE)
        assert look_next(flock, reading, posterior) == answer["look_next"]
        if answer["information"]:
            assert open_sites(flock, reading) == list(answer["information"])
        for site, bits in answer["information"].items():
            told = expected_information(flock, posterior, site)
            np.testing.assert_allclose(told, bits, rtol=0, atol=TOLERANCE)


def test_the_cases_hold_easy_and_hard_readings() -> None:
    best = [max(a["birds"]) for case in CHECK["cases"] for a in case["readings"]]
    assert sum(chance > 0.95 for chance in best) >= 5
    assert sum(chance < 0.6 for chance in best) >= 10
    assert {a["look_next"] for case in CHECK["cases"] for a in case["readings"]} >= {None, "left tibia"}
