"""Seasons that are played.

What must come of them where it can be worked, and the same wherever they are played.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.free_marks import next_free, random_free
from tarsus.core.marks.marks import METAL, Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.band_losses import BandLosses
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import UNTRAINED, Reader
from tarsus.core.readings.season import BY_LIST, Season, SeasonPlayed, SeasonTask, play_season
from tarsus.core.readings.season_summary import mean_with_interval, summarised

PALETTE = Palette.of({"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf"})
RULE = MarkRule.of(
    metal={"F": "left leg", "M": "right leg"}, colours={"F": {"right leg": 2}, "M": {"left leg": 2}}
)
NEVER_WRONG = Misreading.of(Reader(0, 0, 0, 0, 0), PALETTE)
UNSURE = Misreading.of(UNTRAINED, PALETTE)
WHOLE = Season(rounds=30, seen=1.0, one_side=0.0, unclear=0.0, bands_lost_per_year=0.0)
PAIR = (Bird("Skerry", Marks(), "F"), Bird("Stack", Marks(), "M"))
MIRRORED = next_free(RULE, ["F", "M"], PALETTE.names)


def task(seed: int = 1, **changes: object) -> SeasonTask:
    usual = SeasonTask(
        PAIR, MIRRORED, UNSURE, UNSURE, WHOLE, np.random.SeedSequence(seed), colours=PALETTE.names, rule=RULE
    )
    return replace(usual, **changes)


def test_the_next_free_combination_is_the_next_of_the_list() -> None:
    given = next_free(RULE, ["F", "F", "M", "F"], PALETTE.names)
    assert given == (
        Marks.of({"left leg": [METAL], "right leg": ["red", "red"]}),
        Marks.of({"left leg": [METAL], "right leg": ["red", "orange"]}),
        Marks.of({"left leg": ["red", "red"], "right leg": [METAL]}),
        Marks.of({"left leg": [METAL], "right leg": ["red", "blue"]}),
    )


def test_free_combinations_are_all_different_and_refused_when_used_up() -> None:
    rng = np.random.default_rng(1)
    assert len(set(random_free(RULE, ["F"] * 9 + ["M"] * 9, PALETTE.names, rng))) == 18
    with pytest.raises(NotEnoughMarks, match=r"10 birds of row 'F' .* 9 free") as refused:
        next_free(RULE, ["M", *["F"] * 10], PALETTE.names)
    assert refused.value.available == 10


def test_who_never_misreads_names_everybody_in_the_first_round() -> None:
    played = play_season(task(reader=NEVER_WRONG, observer=NEVER_WRONG))
    assert played == SeasonPlayed(60, 60, 0, 0, 0, rounds_to_see_all=1)


def test_mates_in_mirrored_colours_are_misnamed_as_often_as_the_chances_say() -> None:
    """Source: the exact chance that she is read as he is marked (docs/science/reading.md, eq.

    1), 3,000 readings.
    """
    exact = np.mean([
        UNSURE.reading_chance(Reading.of(other.as_mapping()), own)
        for own, other in (MIRRORED, MIRRORED[::-1])
    ])  # fmt: skip
    observer = replace(UNSURE, lost=0.0)
    played = [play_season(task(seed, naming=BY_LIST, observer=observer)) for seed in range(50)]
    shares = [season.misnamed / season.readings for season in played]
    assert sum(season.readings for season in played) == 3000
    assert np.mean(shares) == pytest.approx(exact, rel=0, abs=4 * np.sqrt(exact / 3000) + 0.003 * exact)


def test_readings_by_outcome_make_up_all_that_were_read() -> None:
    season = Season(rounds=40, seen=0.6, one_side=0.5, unclear=0.2, bands_lost_per_year=0.9)
    played = play_season(task(season=season))
    assert played.readings == played.right + played.misnamed + played.unnamed + played.unresolved
    assert 0.4 < played.readings / 80 < 0.8
    assert played.unresolved > 0


def test_a_flock_that_loses_its_bands_is_named_less_and_less() -> None:
    kept = play_season(task(naming=BY_LIST, reader=NEVER_WRONG, observer=NEVER_WRONG))
    loses = replace(WHOLE, bands_lost_per_year=0.99, days_between=10.0)
    lost = play_season(task(naming=BY_LIST, reader=NEVER_WRONG, observer=NEVER_WRONG, season=loses))
    assert kept.right == 60
    assert lost.right < 50
    assert lost.unnamed > 10


def test_the_same_seed_plays_the_same_season_and_another_one_another() -> None:
    once, again, other = (play_season(task(seed, marks=None)) for seed in (5, 5, 6))
    assert once == again
    assert once != other


def test_a_scheme_against_itself_makes_no_difference_and_rounds_beyond_the_season_are_said() -> None:
    seasons = [SeasonPlayed(100, 90 - k, k, 5, 5, 3 + k if k < 4 else None) for k in range(10)]
    first, second = summarised([seasons, seasons])
    assert first.shares["misnamed"].mean == pytest.approx(0.045, rel=1e-12, abs=0)
    assert second.against["misnamed"].high == 0.0
    assert first.rounds_to_see_all.median is None
    assert first.rounds_to_see_all.low == 4.0
    assert first.rounds_to_see_all.not_all == 0.6


def test_an_interval_is_students() -> None:
    """Source: Student's t with 9 degrees of freedom, 97.5 %: 2.262 (any printed table)."""
    values = np.arange(10.0)
    estimate = mean_with_interval(values)
    half = 2.262 * values.std(ddof=1) / np.sqrt(10)
    assert estimate.high - estimate.mean == pytest.approx(half, rel=0.0005 / 2.262, abs=0)
    assert mean_with_interval(values[:1]).low == 0.0


def test_of_bands_a_quarter_of_which_fall_off_in_a_year_nine_in_sixteen_stay_for_two() -> None:
    marks = [Marks.of({"left leg": ["red", "blue"], "right leg": [METAL]})] * 2000
    losses = BandLosses(marks, 0.25, np.random.default_rng(4))
    assert losses.worn(0, 0.0) == marks[0]
    left = [sum(len(bands) for _, bands in losses.worn(bird, 2 * 365.25).sites) for bird in range(2000)]
    assert sum(left) / 6000 == pytest.approx(9 / 16, rel=0, abs=4 * 0.5 / np.sqrt(6000))
    assert BandLosses(marks, 0.0, np.random.default_rng(4)).worn(3, 1e9) == marks[3]


def test_a_bird_that_is_always_taken_for_its_mate_has_not_been_seen() -> None:
    always_exchanged = Misreading.of(Reader(1, 0, 0, 0, 0), PALETTE)
    played = play_season(task(observer=always_exchanged, naming=BY_LIST))
    assert (played.misnamed, played.rounds_to_see_all) == (60, None)
