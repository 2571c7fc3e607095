"""Laws of readings that hold for any bird, any observer and anything that was read."""

from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import METAL, Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.marks.sites import SITES
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.likelihoods import likelihoods
from tarsus.core.readings.looking import expected_information, open_sites
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import Reader

PALETTE = Palette.of({"red": "#c8102e", "blue": "#1b4dbf"})
chance = st.floats(0.0, 0.5)
stack = st.lists(st.sampled_from([METAL, "red", "blue"]), max_size=3).map(tuple)
read = st.lists(st.sampled_from([METAL, "red", "blue", "?"]), max_size=3).map(tuple)
marks = st.dictionaries(st.sampled_from(SITES), stack, max_size=4).map(Marks.of)
reading = st.dictionaries(st.sampled_from(SITES), read, max_size=4).map(Reading.of)


@st.composite
def misreadings(draw: st.DrawFn) -> Misreading:
    table = {"red": {"blue": draw(chance)}, "blue": {"red": draw(chance), METAL: draw(chance)}}
    return Misreading.of(Reader(draw(chance), draw(chance), 0.0, draw(chance), draw(chance), table), PALETTE)


@given(misreadings(), stack)
def test_a_site_is_always_read_somehow(misreading: Misreading, worn: tuple[str, ...]) -> None:
    total = sum(
        misreading.site_chance(r, worn)
        for length in range(len(worn) + 1)
        for r in product(misreading.words, repeat=length)
    )
    np.testing.assert_allclose(total, 1.0, rtol=1e-12, atol=0)


@given(misreadings(), reading, marks)
def test_mirrored_birds_read_mirrored_are_the_same(m: Misreading, seen: Reading, worn: Marks) -> None:
    plain, mirrored = m.reading_chance(seen, worn), m.reading_chance(seen.mirrored(), worn.mirrored())
    np.testing.assert_allclose(plain, mirrored, rtol=1e-12, atol=1e-300)


@given(misreadings(), st.lists(reading, max_size=4), st.lists(marks, max_size=5))
def test_many_at_once_are_each_alone(m: Misreading, seen: list[Reading], worn: list[Marks]) -> None:
    alone = np.array([[m.reading_chance(r, w) for w in worn] for r in seen]).reshape(len(seen), len(worn))
    np.testing.assert_allclose(likelihoods(m, seen, worn), alone, rtol=1e-12, atol=1e-300)


@given(misreadings(), reading, st.lists(marks, max_size=6), st.floats(0.0, 1.0))
def test_birds_and_none_of_these_sum_to_one(
    m: Misreading, seen: Reading, worn: list[Marks], strangers: float
) -> None:
    flock = Flock([Bird(str(at), w) for at, w in enumerate(worn)], m, strangers=strangers)
    told = flock.posterior(seen)
    assert np.all(told.birds >= 0)
    np.testing.assert_allclose(told.birds.sum() + told.none_of_these, 1.0, rtol=1e-12, atol=0)


@given(misreadings(), reading, st.lists(marks, min_size=1, max_size=6))
def test_no_look_is_expected_to_mislead(m: Misreading, seen: Reading, worn: list[Marks]) -> None:
    flock = Flock([Bird(str(at), w) for at, w in enumerate(worn)], m)
    told = flock.posterior(seen)
    for site in open_sites(flock, seen):
        assert expected_information(flock, told, site) > -1e-9
