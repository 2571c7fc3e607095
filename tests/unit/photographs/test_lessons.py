"""What checked photographs teach, on pictures of cameras and parks whose truth is known."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from tarsus.core.documents.taps import lesson_of
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.photographs.cameras import AS_THOUGHT, Camera
from tarsus.core.photographs.colours import FREEDOM, light_of, photographed
from tarsus.core.photographs.lessons import (
    Learned,
    Lesson,
    exponent_by,
    exponent_scores,
    learned_ageing,
    learned_exponent,
    log_score,
)
from tarsus.core.photographs.light import Array
from tarsus.core.photographs.pixels import Tapped
from tarsus.core.photographs.renderings import EXPOSURES, NOISE, SHADE, Renderings, renderings

FADED = (0.02, 0.03, 0.85, 0.02, 0.03, 0.05)
CROSSTALK = np.array([[0.50, 0.42, 0.08], [0.30, 0.45, 0.25], [0.05, 0.45, 0.50]])
"""A camera whose channels see much of each other's light, and whose maker took none of it out."""


@cache
def looks() -> Renderings:
    return renderings(BUILT_IN)


def photographs(
    count: int, seed: int, *, ageing: tuple[float, ...] = AS_THOUGHT.ageing, sees: Array | None = None
) -> list[Lesson]:
    """Photographs as the model thinks them, unless bands age or a camera sees in another way."""
    rng, told = np.random.default_rng(seed), looks()
    prior = np.exp(told.prior) / np.exp(told.prior).sum()
    found = []
    for _ in range(count):
        cast, stop = int(rng.choice(len(prior), p=prior)), int(rng.integers(4, 9))
        colours = tuple(int(k) for k in rng.integers(len(told.names), size=3))
        bands = []
        for kind in colours:
            shown = told.encoded[cast, stop, kind, int(rng.choice(len(ageing), p=ageing))]
            strays = rng.normal(0, NOISE, 3) + rng.normal(0, SHADE) * shown / 3
            coded = shown + strays / np.sqrt(rng.chisquare(FREEDOM) / FREEDOM)
            light = (np.clip(coded, 0.0, None) / 0.8) ** 2.4
            bands.append(light if sees is None else sees @ light)
        metal = told.metal[cast] + rng.normal(0, 0.13, 2)
        mean = min(float(2.0 ** (EXPOSURES[stop] - 2.2 + rng.normal(0, 0.5))), 1.0)
        found.append(Lesson(Tapped(np.array(bands), metal, mean, ()), colours))
    return found


def held_out(lessons: list[Lesson], camera: Camera) -> float:
    """Log of the chance given to the truth, a photograph."""
    scores = [
        log_score(
            light_of(looks(), one.taps), list(photographed(looks(), one.taps, camera).bands), one.colours
        )
        for one in lessons
    ]
    return float(np.mean(scores))


def test_a_strange_camera_is_trusted_less_and_then_names_what_it_was_not_taught_better() -> None:
    learned = learned_exponent(photographs(40, 1, sees=CROSSTALK), looks())
    assert learned.earned
    assert 0.2 < learned.camera.exponent < 0.9
    assert learned.camera.ageing == AS_THOUGHT.ageing
    others = photographs(30, 2, sees=CROSSTALK)
    assert held_out(others, learned.camera) > held_out(others, AS_THOUGHT) + 0.2


def test_a_camera_as_thought_earns_nothing_however_often_it_is_asked() -> None:
    scores = exponent_scores(photographs(80, 3), looks())
    rng = np.random.default_rng(4)
    orders = [exponent_by(scores[rng.permutation(len(scores))]) for _ in range(60)]
    assert not any(one.earned for one in orders)
    assert all(one.camera == AS_THOUGHT for one in orders)
    assert orders[0].lessons == 80


def test_the_park_learns_that_its_bands_have_faded() -> None:
    lessons = photographs(80, 5, ageing=FADED)
    learned = learned_ageing(lessons, [1.0] * len(lessons), looks())
    assert learned.earned
    assert sum(learned.camera.ageing) == pytest.approx(1.0)
    assert learned.camera.ageing[2] == max(learned.camera.ageing)
    assert learned.camera.exponent == 1.0
    others = photographs(30, 6, ageing=FADED)
    assert held_out(others, learned.camera) > held_out(others, AS_THOUGHT)
    same = photographs(30, 7)
    assert not learned_ageing(same, [1.0] * len(same), looks()).earned


@pytest.mark.parametrize("count", [0, 1, 10])
def test_ten_photographs_teach_nothing_yet(count: int) -> None:
    few = photographs(count, 8, sees=CROSSTALK)
    for learned in (learned_exponent(few, looks()), learned_ageing(few, [1.0] * count, looks())):
        assert (learned.earned, learned.camera, learned.lessons) == (False, AS_THOUGHT, count)


def test_an_exponent_tempers_every_colour_towards_the_others() -> None:
    (one,) = photographs(1, 9)
    sure = photographed(looks(), one.taps).chances.max(axis=1)
    tempered = photographed(looks(), one.taps, Camera(exponent=0.3)).chances.max(axis=1)
    assert (tempered < sure).all()


WORN = Marks.of({"left tibia": ["metal"], "right tibia": ["yellow", "green"]})


@pytest.mark.parametrize(
    ("worn", "colours"),
    [
        ({"left tibia": ["metal"], "right tibia": [0, 1]}, ("yellow", "green")),
        ({"right tibia": [1, 0]}, ("green", "yellow")),
        ({"right tibia": [0, 1, "*"]}, ("yellow", "green")),
        ({"right tibia": [0, "?"]}, None),  # the other tapped band sits nowhere
        ({"right tibia": [0], "left leg": [1]}, None),
        ({"left tibia": [0], "right tibia": ["?", 1]}, None),  # metal taken for a colour
        ({"left tibia": ["metal"], "right tibia": ["metal", 0]}, None),
        ({}, None),
    ],
)
def test_taps_teach_only_where_they_are_the_bands_that_the_bird_wears(
    worn: dict[str, list[int | str]], colours: tuple[str, ...] | None
) -> None:
    taps = {"mean": 0.2, "metal": [120, 121, 119], "bands": [[240, 200, 10], [20, 110, 60]], "worn": worn}
    lesson: Lesson | None = lesson_of(taps, WORN, BUILT_IN.names)
    told = None if lesson is None else tuple(BUILT_IN.names[k] for k in lesson.colours)
    assert told == colours
    if lesson is not None:
        assert lesson.taps.cast is not None, "one code of the metal tells the light"


def test_what_was_learned_says_on_how_much_it_rests() -> None:
    learned: Learned = learned_exponent(photographs(25, 10, sees=CROSSTALK), looks())
    assert (learned.lessons, learned.evidence.checks) == (25, 15)
    assert learned.evidence.mean > 0.0
