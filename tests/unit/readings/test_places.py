"""A place that somebody told moves the prior, and never settles who it is."""

from __future__ import annotations

from typing import Any

import pytest

from published_checks import published
from tarsus.core.readings.places import AS_ANYBODY, place_factors


@pytest.mark.parametrize("case", published("place_cases")["cases"], ids=lambda case: case["name"])
def test_a_place_weighs_as_worked_by_hand(case: dict[str, Any]) -> None:
    places = [{int(place): share for place, share in shares.items()} for shares in case["places"]]
    assert place_factors(places, case["place"]) == pytest.approx(case["factors"], rel=1e-12, abs=0)


def test_no_bird_is_ruled_out_by_a_place() -> None:
    factors = place_factors([{1: 1.0}] * 40 + [{2: 1.0}], 1)
    assert min(factors) == AS_ANYBODY
    assert sum(factors) / len(factors) == pytest.approx(1, rel=1e-12, abs=0)
