"""Birds that wear the same are weighed together, and each is told what it would be told by itself."""

from __future__ import annotations

import numpy as np
import pytest

from tarsus.core.documents.identify import listed
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import METAL, Marks, Reading
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.likelihoods import likelihoods
from tarsus.core.readings.looking import expected_information, look_next
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import UNTRAINED

OBSERVER = Misreading.of(UNTRAINED, BUILT_IN)
COLOURS = (("red", "blue"), ("blue", "red"), ("white",), ("red", "white"), ())
WORN = [Marks.of({"left tibia": [METAL], "right tibia": list(colours)}) for colours in COLOURS]
READ = [
    Reading.of({"left tibia": ["metal"], "right tibia": ["red", "blue"]}),
    Reading.of({"right tibia": ["?", "white"]}),
    Reading.of({"left tibia": ["red", "blue"]}),
    Reading.of({}),
]


def flock_of(number: int, **of_each: list[float | None]) -> list[Bird]:
    rng = np.random.default_rng(2)
    priors = rng.gamma(1.0, size=number) * (rng.random(number) < 0.9)
    young = of_each.get("young", [None])
    return [
        Bird(f"B{n}", WORN[n % len(WORN)], prior=float(priors[n]), young=young[n % len(young)])
        for n in range(number)
    ]


@pytest.mark.parametrize("reading", READ)
def test_each_bird_has_its_prior_times_what_the_reading_says_of_its_marks(reading: Reading) -> None:
    """Bayes' rule, bird by bird."""
    birds = flock_of(60)
    flock = Flock(birds, OBSERVER, strangers=0.0)
    assert len(flock.worn) == len(WORN)
    told = flock.posterior(reading)
    weights = likelihoods(OBSERVER, [reading], [bird.marks for bird in birds])[0]
    weights *= [bird.prior for bird in birds]
    np.testing.assert_allclose(told.birds, weights / weights.sum(), rtol=1e-12)
    assert told.worn.sum() == pytest.approx(1.0)


@pytest.mark.parametrize("plumage", ["", "young", "grown"])
def test_plumage_weighs_a_bird_among_others_that_wear_the_same(plumage: str) -> None:
    birds = flock_of(66, young=[0.9, 0.1, None])
    reading = Reading.of({"right tibia": ["red", "blue"], **({"plumage": plumage} if plumage else {})})
    told = Flock(birds, OBSERVER, strangers=0.0).posterior(reading).birds
    assert told.sum() == pytest.approx(1.0)
    alike = [n for n, bird in enumerate(birds) if bird.marks == WORN[0]]
    factors = dict(
        zip(
            [0.9, 0.1, None],
            {"young": (0.9, 0.1, 0.5), "grown": (0.1, 0.9, 0.5)}.get(plumage, (1, 1, 1)),
            strict=True,
        )
    )
    expected = np.array([birds[n].prior * factors[birds[n].young] for n in alike])
    np.testing.assert_allclose(told[alike] / told[alike].sum(), expected / expected.sum(), rtol=1e-9)


@pytest.mark.parametrize("reading", READ)
def test_where_to_look_next_is_as_if_one_bird_wore_each_of_the_marks(reading: Reading) -> None:
    """Of birds that wear the same a look tells nothing, so it tells as much of the marks as of the birds."""
    birds = flock_of(60)
    one_each = [
        Bird(f"M{n}", m, prior=sum(b.prior for b in birds if b.marks == m)) for n, m in enumerate(WORN)
    ]
    many, few = Flock(birds, OBSERVER), Flock(one_each, OBSERVER)
    for site in ("left tibia", "right tibia"):
        told = [expected_information(flock, flock.posterior(reading), site) for flock in (many, few)]
        assert told[0] == pytest.approx(told[1], abs=1e-9)
    assert look_next(many, reading, many.posterior(reading)) == look_next(
        few, reading, few.posterior(reading)
    )


def test_candidates_left_out_are_each_and_together_under_the_millionth() -> None:
    rng = np.random.default_rng(5)
    for size in (1, 7, 400, 30_000):
        chances = rng.gamma(0.02, size=size) ** 2 + 1e-12
        chances /= chances.sum()
        kept = listed(chances)
        left = np.delete(chances, kept)
        assert list(chances[kept]) == sorted(chances[kept], reverse=True)
        assert left.sum() < 1e-6
        assert (left < 1e-6).all()
        # One fewer would leave out too much.
        last = chances[kept[-1]]
        assert last >= 1e-6 or left.sum() + last >= 0.5e-6
    assert listed(np.array([])) == []
