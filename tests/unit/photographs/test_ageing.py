"""What checks in the hand say of how each colour ages, against the maximum found another way."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize

from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.photographs.ageing import (
    AS_MANY_OF_COLOUR,
    CALLED_FADED,
    CheckedBand,
    after_checks,
    aged_by_checks,
    faded_share,
    share_called,
)
from tarsus.core.photographs.cameras import AS_THOUGHT, Camera
from tarsus.core.photographs.colours import photographed
from tarsus.core.photographs.light import Array
from tarsus.core.photographs.pixels import linear, tapped
from tarsus.core.photographs.renderings import AGEING, renderings

THOUGHT = np.array(AS_THOUGHT.ageing)


def checked(colour: str, faded: int, fine: int, *, then: float = 4.0, now: float = 4.0) -> list[CheckedBand]:
    one = [CheckedBand(colour, then, now, True)] * faded
    return one + [CheckedBand(colour, then, now, False)] * fine


def share_of(camera: Camera, colour: str) -> float:
    return faded_share(camera.weights_of([colour])[0].tolist())


@pytest.mark.parametrize("counts", [(0.0, 30.0), (12.0, 8.0), (60.0, 0.0), (3.0, 200.0)])
def test_the_weights_are_the_likeliest_that_a_direct_search_finds(counts: tuple[float, float]) -> None:
    def unlikely(free: Array) -> float:
        weights = np.exp(free - free.max())
        weights = weights / weights.sum()
        called = float(weights @ CALLED_FADED)
        prior = AS_MANY_OF_COLOUR * float(THOUGHT @ np.log(weights))
        return -(prior + counts[0] * np.log(called) + counts[1] * np.log(1.0 - called))

    found = minimize(unlikely, np.log(THOUGHT), method="BFGS").x
    expected = np.exp(found - found.max())
    told = after_checks(np.array(counts), THOUGHT, AS_MANY_OF_COLOUR, CALLED_FADED)
    np.testing.assert_allclose(told, expected / expected.sum(), rtol=0, atol=2e-3)


def test_every_way_of_ageing_has_its_chance_of_being_called_faded() -> None:
    assert len(CALLED_FADED) == len(AGEING)
    assert [float(called) for called in CALLED_FADED] == [
        {0.0: 0.02, 0.15: 0.3, 0.3: 0.9}[f] for _, f, _ in AGEING
    ]


def test_nothing_checked_leaves_everything_as_it_was_thought() -> None:
    learned = Camera(0.5, (0.1, 0.1, 0.5, 0.1, 0.1, 0.1))
    assert aged_by_checks([]) is AS_THOUGHT
    assert aged_by_checks(checked("red", 0, 3, then=0.0), learned) is learned, "fine on the day it was fitted"


def test_checks_as_often_faded_as_was_thought_change_nothing() -> None:
    expected = float(THOUGHT @ CALLED_FADED)
    told = after_checks(np.array([100 * expected, 100 * (1 - expected)]), THOUGHT, 20.0, CALLED_FADED)
    np.testing.assert_allclose(told, THOUGHT, rtol=0, atol=1e-12)


def test_a_colour_that_fades_faster_has_weights_of_its_own_and_the_others_do_not() -> None:
    bands = checked("yellow", 18, 6)
    for colour in ("red", "blue", "green", "white"):
        bands += checked(colour, 4, 20)
    camera = aged_by_checks(bands)
    assert share_of(camera, "yellow") > share_of(camera, "red") + 0.2
    assert share_of(camera, "pink") == faded_share(camera.ageing), "nobody checked one: as the park"
    assert all(sum(ways) == pytest.approx(1.0) for _, ways in camera.ageing_of)
    assert camera.exponent == 1.0


def test_a_colour_of_few_checks_stays_near_the_park() -> None:
    park = [band for colour in ("red", "blue", "green") for band in checked(colour, 8, 32)]
    few, many = (aged_by_checks([*park, *checked("yellow", n, 0)]) for n in (2, 30))
    assert share_of(few, "red") < share_of(few, "yellow") < share_of(many, "yellow")


def test_few_called_faded_anywhere_is_put_down_to_those_who_look() -> None:
    expected = float(THOUGHT @ CALLED_FADED)
    bands = [band for colour in ("red", "blue", "green", "white") for band in checked(colour, 6, 44)]
    assert expected > 6 / 50
    camera = aged_by_checks(bands)
    np.testing.assert_allclose(camera.ageing, THOUGHT, rtol=0, atol=0.011)
    assert camera.ageing_of == ()
    assert share_called(np.array([0.0, 1e6]), THOUGHT) == 0.5, "but not without end"


def test_fine_when_it_was_young_says_less_of_a_band_that_is_old() -> None:
    # Every band fades with one chance a year: 3 of 10 had at the age of 3, so about half have at 6.
    bands = checked("red", 3, 7, then=3.0, now=6.0)
    faded, whole = sum(b.counts for b in bands if b.faded), sum(b.counts for b in bands)
    assert faded / whole == pytest.approx(1 - 0.7**2, abs=0.06)
    assert CheckedBand("red", -0.1, 4.0, False).counts == 0.0
    assert CheckedBand("red", 4.0, 3.9, False).counts == 1.0


def test_what_photographs_taught_of_the_park_counts_beside_its_checks() -> None:
    taught = Camera(0.6, (0.8, 0.04, 0.04, 0.04, 0.04, 0.04))
    bands = checked("red", 15, 25) + checked("blue", 30, 10)
    weak, strong = (aged_by_checks(bands, taught, by) for by in (0, 160))
    assert weak.exponent == strong.exponent == 0.6
    assert faded_share(weak.ageing) > faded_share(strong.ageing) > faded_share(taught.ageing)
    assert share_of(strong, "red") < share_of(strong, "blue")


def test_a_pale_band_is_more_likely_the_colour_that_fades_here() -> None:
    looks = renderings(BUILT_IN)
    red, pink = (BUILT_IN.names.index(name) for name in ("red", "pink"))
    faded = (
        0.6 * linear(np.array([[int(BUILT_IN.hex_of("red")[at : at + 2], 16) for at in (1, 3, 5)]])) + 0.22
    )
    codes = 255 * np.clip(1.055 * faded ** (1 / 2.4) - 0.055, 0, 1)
    taps = tapped([np.repeat(codes, 3, axis=0)], np.full((4, 3), 118.0), 0.2)
    camera = aged_by_checks(checked("red", 30, 5) + checked("pink", 2, 33))
    before, after = (photographed(looks, taps, one).chances[0] for one in (AS_THOUGHT, camera))
    assert after[red] / after[pink] > before[red] / before[pink]


def test_it_is_kept_and_told_as_it_was() -> None:
    camera = aged_by_checks(checked("red", 30, 5) + checked("blue", 2, 33))
    assert camera.ageing_of
    assert Camera.of_plain(camera.as_plain()) == camera
    assert "ageing_of" not in AS_THOUGHT.as_plain()
