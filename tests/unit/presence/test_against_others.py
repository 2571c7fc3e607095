"""Presence held against published figures and against general-purpose libraries."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hmmlearn.hmm import CategoricalHMM
from sklearn.linear_model import LogisticRegression

from tarsus.core.errors import WrongValue
from tarsus.core.presence.ease import fit_ease
from tarsus.core.presence.filtering import here_or_gone
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.loss import daily_loss, gone_after_misses, still_here_after_misses
from tarsus.core.presence.survival import fit_survival

PUBLISHED = Path(__file__).resolve().parents[2] / "published"
HALF_A_DIGIT = 0.00005


def published(name: str) -> dict[str, Any]:
    told: dict[str, Any] = json.loads((PUBLISHED / f"{name}.json").read_text(encoding="utf-8"))
    return told


@pytest.mark.parametrize("case", published("still_here")["cases"], ids=lambda case: f"p={case['detection']}")
def test_a_run_of_misses_says_what_the_closed_form_says(case: dict[str, Any]) -> None:
    told = [gone_after_misses(1 / 3650, case["detection"], k) for k in case["misses"]]
    np.testing.assert_allclose(told, case["gone"], rtol=0, atol=HALF_A_DIGIT)


@pytest.mark.parametrize("case", published("still_here")["cases"], ids=lambda case: f"p={case['detection']}")
def test_the_filter_says_what_the_closed_form_says(case: dict[str, Any]) -> None:
    most = max(case["misses"])
    chance = np.array([[1.0] + [0.0] * most])
    told = here_or_gone(chance, np.full((1, most + 1), case["detection"]), np.ones(most + 1), 1 / 3650)
    gone = [1.0 - told.filtered[0, k] for k in case["misses"]]
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


def test_penalised_eases_are_those_of_a_ridge_logistic_regression() -> None:
    """scikit-learn's LogisticRegression on one column a bird, one a round and one for the mean.

    Its penalty is one half of the squared coefficients, so each column is scaled by its effect's spread. The
    table is skew on purpose: 7 birds, 11 rounds, some not looked for, one look weighed by a half.
    """
    rng = np.random.default_rng(20260301)
    birds, rounds, group, mean_sd = 7, 11, GroupEase(0.0, 0.9, 0.4), 1.7
    seen = (rng.random((birds, rounds)) < np.linspace(0.5, 0.95, birds)[:, None]).astype(float)
    weight = (rng.random((birds, rounds)) < 0.85).astype(float)
    weight[2, 3] = 0.5
    design = np.array(
        [
            np.concatenate([np.eye(birds)[b] * group.bird_sd, np.eye(rounds)[r] * group.round_sd, [mean_sd]])
            for b in range(birds)
            for r in range(rounds)
        ]
    )
    ridge = LogisticRegression(C=1.0, fit_intercept=False, tol=1e-10, max_iter=10_000)
    ridge.fit(design, seen.ravel(), sample_weight=weight.ravel())
    theirs = ridge.coef_[0] * np.array([group.bird_sd] * birds + [group.round_sd] * rounds + [mean_sd])
    ours = fit_ease(seen, weight, group, mean_prior=(0.0, mean_sd))
    np.testing.assert_allclose(
        np.concatenate([ours.bird, ours.round, [ours.mean]]), theirs, rtol=0, atol=1e-5
    )


def test_the_filter_and_its_look_back_are_those_of_a_hidden_markov_model() -> None:
    """hmmlearn's CategoricalHMM: state here or gone, one chance of being seen, a day between rounds."""
    loss, detection = 0.03, 0.72
    model = CategoricalHMM(n_components=2, n_features=2)
    model.startprob_ = np.array([1.0 - loss, loss])
    model.transmat_ = np.array([[1.0 - loss, loss], [0.0, 1.0]])
    model.emissionprob_ = np.array([[1.0 - detection, detection], [1.0, 0.0]])
    for looks in ("1101000", "0010", "11111", "000000", "1"):
        chance = np.array([[float(look) for look in looks]])
        theirs = model.predict_proba(chance.astype(int).T)[:, 0]
        ours = here_or_gone(chance, np.full(chance.shape, detection), np.ones(len(looks)), loss)
        np.testing.assert_allclose(ours.smoothed[0], theirs, rtol=0, atol=1e-12)
        assert ours.filtered[0, -1] == pytest.approx(theirs[-1], abs=1e-12)
