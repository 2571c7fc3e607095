"""Open ends and unsure sides: what was not made out stands for all that it may have been, and no more."""

from __future__ import annotations

import re
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tarsus.core.documents.fields import parse_reading
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import METAL, Bands, Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.error_paths import Check, error_paths, possible
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.learning import learn
from tarsus.core.readings.likelihoods import likelihoods
from tarsus.core.readings.looking import open_sites
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.open_ends import spelled_out
from tarsus.core.readings.reader import Reader
from tarsus.core.readings.strangers import otherwise_site_chance
from tarsus.core.readings.wording import sides_read, stack_read
from tarsus.core.readings.worn_as_read import fits

PALETTE = Palette.of({"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf"})
CONFUSION = {"red": {"orange": 0.2, "blue": 0.05}, "orange": {"red": 0.02}, "metal": {"blue": 0.07}}
MISREADING = Misreading.of(Reader(0.1, 0.2, 0.0, 0.06, 0.05, CONFUSION), PALETTE)
LETTER = {METAL: "m", "red": "r", "orange": "o", "blue": "b", "?": ".", "*": ".*"}
EXACT = {"rel": 1e-12, "abs": 1e-15}


def completed(read: Bands, most: int) -> list[Bands]:
    """Every reading of so many bands at most that the pattern matches: by a regular expression."""
    pattern = re.compile("".join(LETTER[band] for band in read))
    every = (one for length in range(most + 1) for one in product(MISREADING.words, repeat=length))
    return [one for one in every if pattern.fullmatch("".join(LETTER[band] for band in one))]


some_bands = st.lists(st.sampled_from(MISREADING.words), max_size=4).map(tuple)
some_read = st.lists(st.sampled_from((*MISREADING.words, "?", "*", "*")), max_size=5).map(tuple)


@given(read=some_read, worn=some_bands)
@settings(max_examples=60, deadline=None)
def test_an_open_end_sums_the_chances_of_all_its_completions(read: Bands, worn: Bands) -> None:
    long_way = sum(MISREADING.site_chance(one, worn) for one in completed(read, len(worn)))
    assert MISREADING.site_chance(read, worn) == pytest.approx(long_way, **EXACT)
    reading, marks = Reading.of({"left leg": read}), Marks.of({"left leg": worn, "right leg": ["red"]})
    by_table = likelihoods(MISREADING, [reading], [marks, Marks()])[0, 0]
    assert by_table == pytest.approx(MISREADING.reading_chance(reading, marks), **EXACT)


def test_red_and_perhaps_more_is_worked_by_hand() -> None:
    """Worn red over blue: red shown and read so, in its place or turned under a blue read as anything."""
    shows = 0.95 * 0.94
    both, red_alone, blue_alone = shows**2, shows * (1 - shows), (1 - shows) * shows
    by_hand = both * (0.8 * 0.75 + 0.2 * 0.0) + red_alone * 0.75 + blue_alone * 0.0
    assert MISREADING.site_chance(("red", "*"), ("red", "blue")) == pytest.approx(by_hand, **EXACT)
    # Read from the other end it is another reading.
    assert MISREADING.site_chance(("*", "red"), ("red", "blue")) < by_hand / 2


def test_nothing_made_out_is_as_good_as_not_seen_and_not_as_bare() -> None:
    for worn in ((), ("red",), ("blue", METAL, "red")):
        assert MISREADING.site_chance(("*",), worn) == pytest.approx(1, **EXACT)
    assert MISREADING.site_chance((), ("red",)) < 0.12


@pytest.mark.parametrize("read", [("red", "*"), ("*", "red", "*"), ("*", "?"), ("orange", "*", "blue")])
def test_a_stranger_of_any_kind_is_summed_over_any_number_of_bands(read: Bands) -> None:
    told = sum(otherwise_site_chance(MISREADING, one) for one in completed(read, 7))
    whole = otherwise_site_chance(MISREADING, read)
    another = (1 - MISREADING.gone) / (2 - MISREADING.gone)
    assert told - 1e-12 <= whole <= told + another**8 + 1e-12


def test_a_side_that_is_not_sure_weighs_both_ways_alike() -> None:
    birds = [Bird("left", Marks.of({"left leg": ["red"]})), Bird("right", Marks.of({"right leg": ["red"]}))]
    flock = Flock(birds, MISREADING, strangers=0.0)
    read = {"left leg": ["red"]}
    for swap, expected in ((None, 0.9), (0.5, 0.5), (0.2, 0.8), (0.0, 1.0)):
        told = read if swap is None else {**read, "swap": swap}
        assert flock.posterior(Reading.of(told)).birds[0] == pytest.approx(expected, **EXACT)


def test_a_site_with_an_open_end_may_be_looked_at_again() -> None:
    flock = Flock([Bird("a", Marks.of({"left leg": ["red", "blue"]}))], MISREADING)
    assert open_sites(flock, Reading.of({"left leg": ["red", "*"], "right leg": []})) == ["left leg"]


def test_what_an_open_end_hides_may_be_any_band() -> None:
    marks = Marks.of({"right leg": ["red", "blue"]})
    assert fits(Reading.of({"right leg": ["red", "*"]}), marks)
    assert not fits(Reading.of({"right leg": ["blue", "*"]}), marks)


def test_ways_are_spelled_out_shortest_first_each_once() -> None:
    assert list(spelled_out(("red", "*"), 3)) == [("red",), ("red", "?"), ("red", "?", "?")]
    assert list(spelled_out(("red", "*", "blue"), 1)) == [("red", "blue")]
    assert sorted(spelled_out(("*", "red", "*", "*"), 2)) == [("?", "red"), ("red",), ("red", "?")]


def test_a_check_with_an_open_end_lists_every_way() -> None:
    worn, read = ("red", "blue", METAL), ("red", "*")
    paths = error_paths(
        [Check(Reading.of({"left leg": read}), Marks.of({"left leg": worn}))], MISREADING.code
    )
    cells = np.append(MISREADING.table.ravel(), 1.0)
    orders = np.array([1.0, 1 - MISREADING.flip, MISREADING.flip])
    at = int(paths.straight[0, 1])
    ways = paths.alike[at] * orders[paths.order[at]] * cells[paths.cells[at]].prod(axis=1)
    there = MISREADING.gone ** paths.gone[at] * (1 - MISREADING.gone) ** paths.shown[at]
    assert (ways * there).sum() == pytest.approx(MISREADING.site_chance(read, worn), **EXACT)


def test_a_reading_that_says_how_sure_its_sides_are_teaches_nothing_of_the_readers() -> None:
    worn = {"left leg": [METAL], "right leg": ["red", "blue"]}
    turned = {"left leg": ["red", "blue"], "right leg": [METAL], "swap": 0.5}
    unsure = [Check(Reading.of(turned), Marks.of(worn))] * 50
    learned = learn(unsure, MISREADING, np.random.default_rng(1), draws=2000)
    untaught = learn([], MISREADING, np.random.default_rng(1), draws=2000)
    found, before = (np.median(one.chances["swap"]) for one in (learned, untaught))
    assert found == pytest.approx(before, rel=0.3, abs=0)
    certain = Check(Reading.of({**turned, "swap": 0.0}), Marks.of({"right leg": ["red", "blue"]}))
    assert not possible(certain)


def test_a_reading_is_parsed_kept_and_told_as_it_was_made() -> None:
    told = {"left leg": ["red", "*"], "right leg": ["*", "?", "blue"], "left wing": None, "swap": 0.2}
    reading = parse_reading(told, "reading", PALETTE)
    kept = reading.as_mapping()
    assert kept == {key: value for key, value in told.items() if value is not None}
    assert Reading.of(kept) == reading
    assert reading.mirrored().at("right leg") == ("red", "*")
    assert reading.mirrored().swap == 0.2
    said = [stack_read(bands) for _, bands in reading.sites]
    assert said == ["red, perhaps more below", "perhaps more above, a colour not made out over blue"]
    assert stack_read(("red", "*", "*", "blue")) == "red, perhaps more between, blue"
    assert (stack_read(()), stack_read(("*", "*"))) == ("bare", "bands not made out")
    assert sides_read(0.7) == "left or right unclear"
    assert (sides_read(0.5), sides_read(0.2)) == ("left or right unclear", "legs swapped: 20 %")
    assert sides_read(0.2, "wings") == "wings swapped: 20 %"


def test_what_no_reading_can_say_is_refused_by_its_place() -> None:
    with pytest.raises(WrongValue, match=r"reading\.swap"):
        parse_reading({"left leg": [], "swap": 1.2}, "reading", PALETTE)
    with pytest.raises(WrongValue, match="more than 8 bands beside"):
        parse_reading({"left leg": ["red"] * 9 + ["*"]}, "reading", PALETTE)
    with pytest.raises(UnknownWord, match="'teal'"):
        MISREADING.site_chance(("teal", "*"), ("red", "blue"))
