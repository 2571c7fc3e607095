"""Band life against a published table, and against bands whose life is known because we drew it."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from tarsus.core.care.band_life import (
    PRIOR_BAND_YEARS,
    WornBand,
    life_curve,
    likely_unreadable,
    prior_rate,
    record_of,
)

PUBLISHED = Path(__file__).resolve().parents[2] / "published"


def test_the_curve_is_the_published_one() -> None:
    told = json.loads((PUBLISHED / "freireich.json").read_text(encoding="utf-8"))
    curve = life_curve(told["weeks"], told["ended"])
    np.testing.assert_array_equal(curve.years, told["steps"])
    np.testing.assert_allclose(curve.readable, told["share"], rtol=0, atol=0.00005)
    np.testing.assert_allclose(curve.standard_error, told["standard_error"], rtol=0, atol=0.00005)
    assert curve.median_years == told["median"]


def test_bands_that_never_failed_have_no_curve_and_no_median() -> None:
    curve = life_curve([1.0, 2.0], [False, False])
    assert len(curve.years) == 0
    assert curve.median_years is None


def test_without_a_record_only_published_wear_speaks_and_it_is_said() -> None:
    wear = likely_unreadable("colour", "blue", 1.0, 1.0, record_of([]))
    # Gamma with shape 20 x .035 and rate 20: 1 - (20/21)^0.7, by hand .0336.
    assert wear.chance == pytest.approx(1.0 - (20 / 21) ** 0.7, abs=1e-12)
    assert "published wear" in wear.rests_on
    assert "none of this park's" in wear.rests_on


def test_red_and_old_bands_are_likelier_to_fail_before_anything_is_known() -> None:
    blue, red = (
        likely_unreadable("colour", colour, 1.0, 1.0, record_of([])).chance for colour in ("blue", "red")
    )
    assert blue < red
    assert likely_unreadable("colour", "blue", 12.0, 1.0, record_of([])).chance > 2.5 * blue
    assert prior_rate("white", 0.0) == pytest.approx(0.045)


def test_only_bands_of_the_same_kind_and_colour_speak() -> None:
    others = [WornBand("colour", "red", 0.5, failed=True)] * 40
    assert likely_unreadable("colour", "blue", 1.0, 1.0, record_of(others)) == likely_unreadable(
        "colour", "blue", 1.0, 1.0, record_of([])
    )


def test_a_park_whose_greens_fail_young_is_told_so() -> None:
    """True hazard .4 a year in the first two years: 3,000 bands outweigh the prior."""
    rng = np.random.default_rng(3)
    lives = rng.exponential(1 / 0.4, 3000)
    record = [WornBand("colour", "green", float(min(life, 2.0)), failed=bool(life < 2.0)) for life in lives]
    wear = likely_unreadable("colour", "green", 0.5, 1.0, record_of(record))
    assert wear.chance == pytest.approx(1.0 - np.exp(-0.4), abs=0.02)
    assert wear.band_years > 10 * PRIOR_BAND_YEARS
    assert "band-years here" in wear.rests_on


def test_a_failure_counts_at_its_own_age() -> None:
    """Bands that fail at three years say nothing against the first two years, and much about the third."""
    record = [WornBand("colour", "blue", 3.0, failed=True)] * 50
    assert likely_unreadable("colour", "blue", 0.0, 1.0, record_of(record)).chance < 0.02
    assert likely_unreadable("colour", "blue", 2.5, 1.0, record_of(record)).chance > 0.4


def test_a_band_s_years_count_at_the_age_at_which_they_were_worn() -> None:
    """Ages are half open: a band that failed at exactly two years failed at the age from two to five.

    By hand, blue (.035 a year before ten): prior shape .7, rate 20 in each age. Ten bands failed at 2.0
    years: 20 band-years below two without a failure, none above, and ten failures above.
    """
    record = [WornBand("colour", "blue", 2.0, failed=True)] * 10
    young = likely_unreadable("colour", "blue", 0.0, 2.0, record_of(record))
    assert young.chance == pytest.approx(1.0 - (40.0 / 42.0) ** 0.7)
    older = likely_unreadable("colour", "blue", 2.0, 3.0, record_of(record))
    assert older.chance == pytest.approx(1.0 - (20.0 / 23.0) ** 10.7)
    both = likely_unreadable("colour", "blue", 1.5, 1.0, record_of(record))
    assert both.chance == pytest.approx(1.0 - (40.0 / 40.5) ** 0.7 * (20.0 / 20.5) ** 10.7)


def test_a_band_wears_faster_from_its_tenth_year_on() -> None:
    assert prior_rate("blue", 9.99) == pytest.approx(0.035)
    assert prior_rate("blue", 10.0) == pytest.approx(0.105)
    assert prior_rate("red", 5.0) == pytest.approx(0.045)
    assert prior_rate("white", 10.0) == pytest.approx(0.135)
    # No record: the hazard alone, .035 for two years as a gamma of 20 band-years.
    assert likely_unreadable("colour", "blue", 8.0, 2.0, record_of([])).chance == pytest.approx(
        1.0 - (20 / 22) ** 0.7
    )
    assert likely_unreadable("colour", "blue", 10.0, 2.0, record_of([])).chance == pytest.approx(
        1.0 - (20 / 22) ** 2.1
    )
