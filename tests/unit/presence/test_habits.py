"""How a bird's ease goes on: what each habit does, and that the fold follows birds that change."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import expit

from tarsus.core.presence.flock_state import empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.habits import (
    BEFORE_ANY_ROUND,
    DRIFTS,
    HIDDEN,
    HIDES_A_DAY,
    OPENLY,
    STAYS,
    Habits,
    days_on,
)
from tarsus.core.presence.lattice import EASES, share_of_eases
from tarsus.core.presence.simulation import log_loss

Floats = NDArray[np.float64]

SHARES = share_of_eases(GroupEase(1.5, 1.2, 0.6))
PRIOR = BEFORE_ANY_ROUND.layers()[:, None] * SHARES
DAY_ONE = 739000


def known(layer: int, ease: float) -> Floats:
    """The likelihood of a bird of which layer and ease are known."""
    told = np.zeros((1, 4, 25))
    told[0, layer, int(np.argmin(abs(EASES - ease)))] = 1.0
    return told


def after(told: Floats, days: float) -> Floats:
    weight = days_on(told, days, SHARES, BEFORE_ANY_ROUND)[0] * PRIOR
    return np.asarray(weight / weight.sum())


@pytest.mark.parametrize("days", [0.25, 1.0, 9.0, 400.0])
def test_a_bird_of_which_nothing_is_known_stays_so(days: float) -> None:
    np.testing.assert_allclose(
        days_on(np.ones((2, 4, 25)), days, SHARES, BEFORE_ANY_ROUND), 1.0, rtol=0, atol=1e-12
    )


def test_a_drifting_bird_wanders_a_tenth_of_a_logit_a_day_and_another_does_not() -> None:
    def spread(layer: int) -> float:
        weight = after(known(layer, 1.5), 4.0)[layer]
        share = weight / weight.sum()
        return float(np.sqrt((share * (EASES - (share * EASES).sum()) ** 2).sum()))

    # Four days of .1² a day; near the flock's mean a few steps outward are not taken.
    assert spread(DRIFTS) == pytest.approx(0.2, rel=0.1)
    assert spread(STAYS) == 0.0


def test_old_evidence_of_a_drifting_bird_fades_towards_the_flock() -> None:
    lately, long_ago = after(known(DRIFTS, 4.0), 10.0)[DRIFTS], after(known(DRIFTS, 4.0), 360.0)[DRIFTS]
    mean_lately = (lately * EASES).sum() / lately.sum()
    mean_long_ago = (long_ago * EASES).sum() / long_ago.sum()
    assert 3.7 < mean_lately < 4.0
    assert 1.5 < mean_long_ago < mean_lately - 0.8


def test_a_bird_hides_seldom_and_comes_back_at_the_ease_it_had() -> None:
    tomorrow = after(known(OPENLY, 2.0), 1.0)
    assert tomorrow[HIDDEN].sum() == pytest.approx(HIDES_A_DAY, rel=0.03)
    in_six_weeks = after(known(HIDDEN, 2.0), 45.0)
    assert 0.4 < in_six_weeks[OPENLY].sum() < 0.8
    assert EASES[int(np.argmax(in_six_weeks[OPENLY]))] == 2.0


def sitting_flock(rng: np.random.Generator) -> tuple[Floats, NDArray[np.bool_]]:
    """40 birds, 200 days; two in five lose 2.5 logits for four weeks; one in ten leaves in a year."""
    days = np.arange(200)
    ease = 2.0 + rng.standard_normal(40)
    begins = rng.integers(50, 170, 40)
    sits = (rng.random(40) < 0.4)[:, None] & (days >= begins[:, None]) & (days < begins[:, None] + 28)
    here = days < rng.geometric(1.0 - 0.9 ** (1 / 365.25), 40)[:, None] - 1
    chance = expit(ease[:, None] - 2.5 * sits + 0.5 * rng.standard_normal(200))
    return (here & (rng.random(here.shape) < chance)).astype(float), here


def followed(seen: Floats, *, habits: Habits | None = None) -> tuple[Floats, Habits]:
    """Chances of being here day by day; habits that are given are not learnt anew."""
    state = with_birds(empty_flock(known=habits or BEFORE_ANY_ROUND), [f"{bird:02}" for bird in range(40)])
    rules = RoundRules(1.0 - 0.9 ** (1 / 365.25), max_unseen_days=1000)
    told = []
    for day in range(seen.shape[1]):
        state, _ = advance(state, RoundTold(DAY_ONE + day, seen[:, day]), rules)
        if habits is not None:
            state = replace(state, habits=habits)
        told.append(state.still_here())
    return np.array(told).T, state.habits


def test_birds_that_sit_are_told_from_birds_that_have_gone() -> None:
    """Against the same fold that believes every bird to stay as it is."""
    ours: list[float] = []
    naive: list[float] = []
    false = {"ours": 0, "naive": 0}
    for seed in (1, 2, 3):
        seen, here = sitting_flock(np.random.default_rng(seed))
        told, habits = followed(seen)
        unchanging, _ = followed(seen, habits=Habits(1.0, 0.0, 0.0))
        ours.append(log_loss(told[:, 50:], here[:, 50:]))
        naive.append(log_loss(unchanging[:, 50:], here[:, 50:]))
        false["ours"] += int((here & (told < 0.5)).any(axis=1).sum())
        false["naive"] += int((here & (unchanging < 0.5)).any(axis=1).sum())
        assert habits.hides > 2 * BEFORE_ANY_ROUND.hides, "the flock's habit is learnt"
    assert np.mean(ours) < 0.75 * np.mean(naive)
    assert false["ours"] < 0.6 * false["naive"]


def test_a_season_is_followed() -> None:
    """A flock whose birds sink by two and a half logits over half a year, one after the other."""
    rng = np.random.default_rng(5)
    days, begins = np.arange(260), rng.integers(40, 80, 40)
    sinks = 2.5 * np.clip((days - begins[:, None]) / 180.0, 0.0, 1.0) * (np.arange(40) < 20)[:, None]
    chance = expit(2.5 + 0.7 * rng.standard_normal(40)[:, None] - sinks)
    seen = (rng.random(chance.shape) < chance).astype(float)
    told, habits = followed(seen)
    unchanging, _ = followed(seen, habits=Habits(1.0, 0.0, 0.0))
    assert habits.drifts > 2 * BEFORE_ANY_ROUND.drifts
    here = np.ones(seen[:, 150:].shape, dtype=bool)
    assert log_loss(told[:, 150:], here) < 0.75 * log_loss(unchanging[:, 150:], here)
