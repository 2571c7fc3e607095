"""Presence held against published figures and against general-purpose libraries."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hmmlearn.hmm import CategoricalHMM
from scipy.special import expit

from published_checks import published
from tarsus.core.errors import WrongValue
from tarsus.core.presence.filtering import still_here
from tarsus.core.presence.flock_state import empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.habits import Habits
from tarsus.core.presence.loss import daily_loss, gone_after_misses, still_here_after_misses
from tarsus.core.presence.survival import fit_survival

HALF_A_DIGIT = 0.00005
DAY_ONE = 739000


@pytest.mark.parametrize("case", published("still_here")["cases"], ids=lambda case: f"p={case['detection']}")
def test_a_run_of_misses_says_what_the_closed_form_says(case: dict[str, Any]) -> None:
    told = [gone_after_misses(1 / 3650, case["detection"], k) for k in case["misses"]]
    np.testing.assert_allclose(told, case["gone"], rtol=0, atol=HALF_A_DIGIT)


@pytest.mark.parametrize("case", published("still_here")["cases"], ids=lambda case: f"p={case['detection']}")
def test_the_filter_says_what_the_closed_form_says(case: dict[str, Any]) -> None:
    most = max(case["misses"])
    chance = np.array([[1.0] + [0.0] * most])
    told = still_here(chance, np.full((1, most + 1), case["detection"]), np.ones(most + 1), 1 / 3650)
    gone = [1.0 - told[0, k] for k in case["misses"]]
    np.testing.assert_allclose(gone, case["gone"], rtol=0, atol=HALF_A_DIGIT)


def test_misses_weigh_against_a_prior_by_the_first_formula() -> None:
    # psi (1-p)^k / (1 - psi + psi (1-p)^k) with psi = .9, p = .7, k = 2: .081 / .181, by hand.
    assert still_here_after_misses(0.9, 0.7, 2) == pytest.approx(0.081 / 0.181, abs=1e-12)


def test_a_year_of_days_loses_what_a_year_loses() -> None:
    assert (1.0 - daily_loss(0.2)) ** 365.25 == pytest.approx(0.8, abs=1e-12)
    with pytest.raises(WrongValue, match="gone_per_year: 1"):
        daily_loss(1.0)


def test_dippers_survive_and_are_seen_as_published() -> None:
    told = published("european_dippers")
    fit = fit_survival(told["released"], told["first_seen_again"])
    assert fit.survival == pytest.approx(told["survival"], abs=HALF_A_DIGIT)
    assert fit.survival_se == pytest.approx(told["survival_se"], abs=HALF_A_DIGIT)
    assert fit.detection == pytest.approx(told["detection"], abs=HALF_A_DIGIT)
    assert fit.detection_se == pytest.approx(told["detection_se"], abs=HALF_A_DIGIT)
    assert fit.minus_two_log_likelihood == pytest.approx(told["minus_two_log_likelihood"], abs=0.0005)


def test_more_birds_seen_than_released_are_refused() -> None:
    with pytest.raises(WrongValue, match=r"first_seen_again\[1\]: 7 seen again of 6 released"):
        fit_survival([10, 6], [[3, 1], [7]])


def test_the_filter_is_that_of_a_hidden_markov_model() -> None:
    """hmmlearn's CategoricalHMM: state here or gone, one chance of being seen, a day between rounds."""
    loss, detection = 0.03, 0.72
    model = CategoricalHMM(n_components=2, n_features=2)
    model.startprob_ = np.array([1.0 - loss, loss])
    model.transmat_ = np.array([[1.0 - loss, loss], [0.0, 1.0]])
    model.emissionprob_ = np.array([[1.0 - detection, detection], [1.0, 0.0]])
    for looks in ("1101000", "0010", "11111", "000000", "1"):
        chance = np.array([[float(look) for look in looks]])
        theirs = [model.predict_proba(chance.astype(int).T[: r + 1])[-1, 0] for r in range(len(looks))]
        ours = still_here(chance, np.full(chance.shape, detection), np.ones(len(looks)), loss)
        np.testing.assert_allclose(ours[0], theirs, rtol=0, atol=1e-12)


def chain_of_one_bird(group: GroupEase, habits: Habits, loss: float) -> CategoricalHMM:
    """hmmlearn's chain of a lone bird whose ease stays, drifts or hides: written out state by state.

    States: layer by layer every ease, then gone. Each move is put down as a plain transition from one state
    to the next, with none of the fold's code but its constants.
    """
    ease = np.linspace(-4.0, 8.0, 25)
    share = np.exp(-0.5 * ((ease - group.mean) / group.bird_sd) ** 2)
    share /= share.sum()
    hides, returns = 1 / 150, 1 / 45
    hidden = hides / (hides + returns)
    layers = np.array([habits.stays, habits.drifts, habits.hides * (1 - hidden), habits.hides * hidden])
    goes = np.zeros((4, 25, 4, 25))
    mixed = 1.0 - np.exp(-(hides + returns))
    for g in range(25):
        goes[0, g, 0, g] = 1.0
        for step in (-1, 1):
            if 0 <= g + step < 25:
                goes[1, g, 1, g + step] = 0.5 * (0.1 / 0.5) ** 2 * min(1.0, share[g + step] / share[g])
        goes[1, g, 1, g] = 1.0 - goes[1, g].sum()
        goes[2, g, 3, g], goes[2, g, 2, g] = hidden * mixed, 1.0 - hidden * mixed
        goes[3, g, 2, g], goes[3, g, 3, g] = (1.0 - hidden) * mixed, 1.0 - (1.0 - hidden) * mixed
    # Then, seldom, another habit at the same ease.
    changes = 1.0 - np.exp(-1 / 1000)
    habit = (1.0 - changes) * np.eye(4) + changes * np.tile(layers, (4, 1))
    moves = np.einsum("ab,bgch->agch", habit, goes)
    chain = np.zeros((101, 101))
    chain[:100, :100] = moves.reshape(100, 100) * (1.0 - loss)
    chain[:100, 100], chain[100, 100] = loss, 1.0
    seen = expit(ease)
    detection = np.concatenate([seen, seen, seen, expit(ease - 3.0), [0.0]])
    model = CategoricalHMM(n_components=101, n_features=2)
    model.startprob_ = np.append((layers[:, None] * share).ravel() * (1.0 - loss), loss)
    model.transmat_ = chain
    model.emissionprob_ = np.column_stack([1.0 - detection, detection])
    return model


def test_a_bird_that_changes_is_followed_as_a_hidden_markov_model_follows_it() -> None:
    """The fold of a lone bird against hmmlearn's forward pass over 101 states, written out by hand."""
    group, habits, loss = GroupEase(1.5, 1.1, 1e-4), Habits(0.5, 0.2, 0.3), 0.01
    model = chain_of_one_bird(group, habits, loss)
    for looks in ("1101000", "0010", "111111111100000000001", "10" * 15 + "0" * 12):
        state = with_birds(empty_flock(group, habits), ["A01"])
        seen = np.array([[int(look)] for look in looks])
        for r, look in enumerate(looks):
            told = RoundTold(DAY_ONE + r, np.array([float(look)]))
            state, _ = advance(state, told, RoundRules(loss, 1000, learn_group=False))
            theirs = 1.0 - model.predict_proba(seen[: r + 1])[-1, 100]
            assert state.still_here()[0] == pytest.approx(theirs, abs=1e-5)
