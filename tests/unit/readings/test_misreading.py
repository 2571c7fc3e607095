"""The observer's errors: exact chances against the process itself, spelled out and drawn."""

from __future__ import annotations

from collections import Counter, defaultdict
from itertools import product

import numpy as np
import pytest

from published_checks import published
from tarsus.core.errors import UnknownWord
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, Bands, Marks, Reading
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.readings.likelihoods import likelihoods
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, UNTRAINED, Reader
from tarsus.core.readings.simulation import simulate_reading
from tarsus.core.words.misfit import misfit

PALETTE = Palette.of({"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf"})
# Nothing symmetric: red is taken for orange ten times as often as orange for red, metal sometimes for blue.
READER = Reader(
    swap=0.1,
    flip=0.2,
    colour=0.0,
    overlook=0.06,
    lost=0.05,
    confusion={"red": {"orange": 0.2, "blue": 0.05}, "orange": {"red": 0.02}, "metal": {"blue": 0.07}},
)
MISREADING = Misreading.of(READER, PALETTE)
EXACT = {"rel": 1e-12, "abs": 1e-15}


def every_reading(worn: Bands) -> dict[Bands, float]:
    """The process of one site, step by step as the documents tell it, forwards."""
    shows = (1 - READER.lost) * (1 - READER.overlook)
    outcomes: dict[Bands, float] = defaultdict(float)
    for pattern in product((True, False), repeat=len(worn)):
        remain = [band for band, there in zip(worn, pattern, strict=True) if there]
        chance = shows ** len(remain) * (1 - shows) ** (len(worn) - len(remain))
        stands = [(remain, 1.0)]
        if len(remain) > 1:
            stands = [(remain, 1 - READER.flip)]
            for at in range(len(remain) - 1):
                turned = [*remain]
                turned[at], turned[at + 1] = turned[at + 1], turned[at]
                stands.append((turned, READER.flip / (len(remain) - 1)))
        for order, share in stands:
            for read in product(MISREADING.words, repeat=len(order)):
                factor = 1.0
                for r, w in zip(read, order, strict=True):
                    row = READER.confusion.get(w, {}) if READER.confusion else {}
                    factor *= row.get(r, 0.0) if r != w else 1 - sum(row.values())
                outcomes[read] += chance * share * factor
    return outcomes


@pytest.mark.parametrize("worn", [
    (), ("red",), ("metal", "red"), ("red", "blue", "red"), ("orange", "metal", "blue", "red"),
])  # fmt: skip
def test_a_site_is_read_as_the_process_spelled_out_says(worn: Bands) -> None:
    outcomes = every_reading(worn)
    assert sum(outcomes.values()) == pytest.approx(1, **EXACT)
    for length in range(6):
        for read in product(MISREADING.words, repeat=length):
            assert MISREADING.site_chance(read, worn) == pytest.approx(outcomes.get(read, 0.0), **EXACT)


def test_a_lost_red_is_worked_by_hand() -> None:
    """Worn red over blue, read blue alone: red gone, or blue gone and red taken for blue."""
    shows = 0.95 * 0.94
    by_hand = (1 - shows) * shows * 1.0 + shows * 0.05 * (1 - shows)
    assert MISREADING.site_chance(("blue",), ("red", "blue")) == pytest.approx(by_hand, **EXACT)


def test_a_pair_turned_over_is_worked_by_hand() -> None:
    """Worn red over blue, read blue over red: turned over, or both taken for each other (blue never is)."""
    shows = 0.95 * 0.94
    by_hand = shows**2 * (0.2 * 1.0 * 0.75 + 0.8 * 0.05 * 0.0)
    assert MISREADING.site_chance(("blue", "red"), ("red", "blue")) == pytest.approx(by_hand, **EXACT)


def test_a_band_not_made_out_fits_any_band_that_shows() -> None:
    worn = ("red", "metal", "orange")
    summed = sum(MISREADING.site_chance((word, "metal"), worn) for word in MISREADING.words)
    assert MISREADING.site_chance((NOT_MADE_OUT, "metal"), worn) == pytest.approx(summed, **EXACT)


def test_more_bands_than_are_worn_cannot_be_read() -> None:
    assert MISREADING.site_chance(("red", "red"), ("red",)) == 0.0


def test_mixed_up_sides_are_worked_by_hand() -> None:
    """Metal left, red right, no other error: read right with 0.9, each on the other leg with 0.1."""
    only_swap = Misreading.of(Reader(0.1, 0, 0, 0, 0), PALETTE)
    marks = Marks.of({"left leg": ["metal"], "right leg": ["red"]})
    as_worn, exchanged = Reading.of(marks.as_mapping()), Reading.of(marks.mirrored().as_mapping())
    assert only_swap.reading_chance(as_worn, marks) == pytest.approx(0.9, **EXACT)
    assert only_swap.reading_chance(exchanged, marks) == pytest.approx(0.1, **EXACT)
    assert only_swap.reading_chance(Reading.of({"left leg": ["red"]}), marks) == pytest.approx(0.1, **EXACT)
    half_and_half = Reading.of({"left leg": ["red"], "right leg": ["red"]})
    assert only_swap.reading_chance(half_and_half, marks) == 0.0


def test_bare_is_evidence_and_unseen_is_not() -> None:
    marks = Marks.of({"left leg": ["red"]})
    assert MISREADING.reading_chance(Reading.of({"left leg": None}), marks) == 1.0
    bare = MISREADING.reading_chance(Reading.of({"left leg": []}), marks)
    assert bare == pytest.approx(0.9 * (1 - 0.95 * 0.94) + 0.1, **EXACT)


def test_a_bird_read_on_both_legs_is_read_somehow() -> None:
    marks = Marks.of({"left leg": ["metal"], "right leg": ["red", "blue"]})
    sides = [read for length in range(3) for read in product(MISREADING.words, repeat=length)]
    readings = [Reading.of({"left leg": a, "right leg": b}) for a, b in product(sides, sides)]
    chances = likelihoods(MISREADING, readings, [marks])
    assert chances.sum() == pytest.approx(1, rel=1e-12, abs=0)


def test_the_whole_flock_at_once_is_each_bird_alone() -> None:
    rng = np.random.default_rng(20260611)
    sites = ("left tibia", "left leg", "right leg", "right wing")
    words = [METAL, *PALETTE.names]
    draw = lambda most: tuple(rng.choice(words, rng.integers(most + 1)))  # noqa: E731 - one draw, used twice
    marks = [Marks.of({site: draw(4) for site in sites}) for _ in range(25)]
    readings = [simulate_reading(rng, m, MISREADING, sites=sites[: 1 + at % 4], unclear=0.2)
                for at, m in enumerate(marks)]  # fmt: skip
    singly = [[MISREADING.reading_chance(r, m) for m in marks] for r in readings]
    np.testing.assert_allclose(likelihoods(MISREADING, readings, marks), singly, rtol=1e-12, atol=1e-300)
    assert np.count_nonzero(singly) > 25


def test_drawn_readings_come_as_often_as_the_chances_say() -> None:
    rng = np.random.default_rng(7)
    marks = Marks.of({"left leg": ["metal", "orange"], "right leg": ["red", "blue"]})
    draws = 20_000
    counts = Counter(simulate_reading(rng, marks, MISREADING) for _ in range(draws))
    common = [reading for reading, count in counts.items() if count >= 40]
    chances = likelihoods(MISREADING, common, [marks])[:, 0]
    scores = (np.array([counts[r] for r in common]) - draws * chances) / np.sqrt(
        draws * chances * (1 - chances)
    )
    assert len(common) > 20
    assert np.sum(scores**2) < len(common) + 4 * np.sqrt(2 * len(common))


def test_a_colour_that_the_palette_lacks_is_refused() -> None:
    with pytest.raises(UnknownWord, match="'teal' is no colour of the palette"):
        MISREADING.site_chance(("teal",), ("red",))
    with pytest.raises(UnknownWord, match="'teal' is no colour of the palette"):
        likelihoods(MISREADING, [], [Marks.of({"left leg": ["teal"]})])


@pytest.mark.parametrize("row", published("misread_combinations")["readers"], ids=lambda row: row["reader"])
def test_a_metal_band_and_two_colours_are_misread_as_often_as_published(row: dict[str, float]) -> None:
    # Source: Milligan, Davis & Altizer 2003 (in the file): the totals, and which error is the commonest.
    check = published("misread_combinations")
    reader = {"trained": TRAINED, "untrained": UNTRAINED}[str(row["reader"])]
    misreading = Misreading.of(reader, BUILT_IN)
    wrong = []
    for upper, lower in product(BUILT_IN.names, repeat=2):
        worn = {"left leg": [METAL], "right leg": [upper, lower]}
        wrong.append(1 - misreading.reading_chance(Reading.of(worn), Marks.of(worn)))
    tolerance = check["tolerance_per_cent"] / 100
    assert np.mean(wrong) == pytest.approx(row["wrong_per_cent"] / 100, rel=0, abs=tolerance / 10)

    rng = np.random.default_rng(2003)
    draws, errors, misread = 12_000, Counter[str](), 0
    for _ in range(draws):
        worn = {"left leg": [METAL], "right leg": list(rng.choice(BUILT_IN.names, 2))}
        reading = simulate_reading(rng, Marks.of(worn), misreading)
        if reading.at("left leg") != (METAL,) or reading.at("right leg") != tuple(worn["right leg"]):
            misread += 1
            errors.update(kinds_of_error(reading, Marks.of(worn)))
    # Four standard errors of the simulation on top of half the last printed digit.
    spread = 4 * np.sqrt(row["wrong_per_cent"] / 100 / draws)
    assert misread / draws == pytest.approx(row["wrong_per_cent"] / 100, rel=0, abs=tolerance + spread)
    assert errors.most_common(1)[0][0] == "legs exchanged"


def kinds_of_error(reading: Reading, marks: Marks) -> list[str]:
    found = misfit(reading, marks)
    assert found is not None
    said = {
        "legs exchanged": "legs were swapped",
        "a band missing": "lost",
        "another colour": "read as",
        "order turned over": "order was swapped",
    }
    return [kind for kind, words in said.items() if words in found.if_so]
