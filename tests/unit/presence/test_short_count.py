"""A short count: who is missing, held against every way it can have come about."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tarsus.core.presence import short_count
from tarsus.core.presence.short_count import among_whom

TOLD: dict[str, Any] = json.loads(
    (Path(__file__).resolve().parents[2] / "published" / "short_count_cases.json").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("case", TOLD["cases"], ids=lambda case: case["name"])
def test_a_short_count_says_what_walking_through_every_way_says(case: dict[str, Any]) -> None:
    told = among_whom(np.array(case["gone"]), case["missing"])
    np.testing.assert_allclose(told.among, case["among"], rtol=0, atol=TOLD["tolerance"])
    assert told.miscount == pytest.approx(case["miscount"], rel=0, abs=TOLD["tolerance"])
    assert told.among.sum() == pytest.approx(case["missing"], rel=0, abs=1e-9)


def test_the_phone_counts_with_the_same_two_numbers() -> None:
    assert (
        TOLD["overlooked"],
        TOLD["least"],
    ) == (short_count.OVERLOOKED_IN_A_COUNT, short_count.NEVER_RULED_OUT)


def test_a_bird_named_this_morning_is_not_ruled_out() -> None:
    told = among_whom(np.array([0.0, 0.0]), 1)
    np.testing.assert_allclose(told.among, [0.5, 0.5], rtol=0, atol=1e-12)
