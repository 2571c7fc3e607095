"""The fold: one round after another, against closed forms, brute force and simulated flocks."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import expit

from tarsus.core.presence.flock_state import FlockState, empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.habits import Habits
from tarsus.core.presence.lattice import EASES, SEEN_EASES, share_of_eases
from tarsus.core.presence.loss import gone_after_misses
from tarsus.core.presence.round_ease import round_ease
from tarsus.core.presence.simulation import log_loss, share_flagged, simulate_flock

Floats = NDArray[np.float64]

DAY_ONE = 739000
ALL_STAY = Habits(1.0, 0.0, 0.0)


def rules(loss: float = 1 / 3650, *, learn: bool = False) -> RoundRules:
    return RoundRules(loss, max_unseen_days=1000, learn_group=learn)


def told(state: FlockState, looks: list[list[float]], rule: RoundRules) -> FlockState:
    for day, chance in enumerate(looks):
        state, _ = advance(state, RoundTold(DAY_ONE + day, np.array(chance)), rule)
    return state


def test_with_a_known_ease_the_fold_is_the_closed_form() -> None:
    known = GroupEase(mean=2.5, bird_sd=0.01, round_sd=0.01)
    state = with_birds(empty_flock(known, ALL_STAY), ["A01"])
    rule = rules(loss=0.01)
    state = told(state, [[1.0], [0.0], [0.0], [0.0]], rule)
    expected = gone_after_misses(0.01, float(expit(2.5)), 3)
    assert 1.0 - state.still_here()[0] == pytest.approx(expected, rel=1e-3)


def in_lattice(shares: Floats) -> Floats:
    """Shares of the eases of birds that are not hard to see, on the lattice of being seen."""
    return np.concatenate([np.zeros(len(SEEN_EASES) - len(EASES)), shares])


def test_one_round_is_weighed_as_the_full_integral_has_it() -> None:
    """Two birds, one seen and one not: the second's ease against a plain double integral."""
    group = GroupEase(mean=0.5, bird_sd=0.8, round_sd=1.1)
    prior = in_lattice(share_of_eases(group))
    here = np.vstack([prior, prior * 0.6])
    ease = round_ease(here, np.array([1.0, 0.0]), group.round_sd)
    fog = np.linspace(-9, 9, 4001)
    weight = np.exp(-0.5 * (fog / group.round_sd) ** 2)
    seen = expit(SEEN_EASES[:, None] + fog[None, :])
    first = prior @ seen
    second = 1.0 - 0.6 * (prior @ seen)
    both = weight * first * second
    assert ease.mean == pytest.approx((both * fog).sum() / both.sum(), abs=2e-3)
    own = (weight * first)[None, :] * seen
    np.testing.assert_allclose(ease.seen_if[1], own.sum(axis=1) / (weight * first).sum(), rtol=0, atol=2e-3)


def test_a_bird_s_own_miss_does_not_make_the_morning_foggy_for_itself() -> None:
    group = GroupEase(mean=2.0, bird_sd=0.5, round_sd=2.0)
    prior = in_lattice(share_of_eases(group))[None, :]
    alone = round_ease(prior, np.array([0.0]), group.round_sd)
    assert alone.mean < -1.0, "the round itself looks foggy"
    seen = round_ease(prior, np.array([1.0]), group.round_sd)
    np.testing.assert_allclose(alone.seen_if, seen.seen_if, rtol=0, atol=2e-3)


def test_a_gone_bird_s_misses_do_not_make_it_look_shy() -> None:
    state = with_birds(empty_flock(), ["gone", "stays"])
    looks = [[1.0, 1.0]] * 20 + [[0.0, 1.0]] * 60
    after, before = told(state, looks, rules(learn=True)), told(state, looks[:20], rules(learn=True))
    assert after.usual[0] == pytest.approx(before.usual[0], abs=1e-12)
    assert after.group.mean == pytest.approx(before.group.mean, abs=0.3)
    assert after.still_here()[0] < 0.01


def test_misses_count_for_the_ease_once_the_bird_is_seen_again() -> None:
    state = with_birds(empty_flock(), ["back", "stays"])
    looks = [[1.0, 1.0]] * 10 + [[0.0, 1.0]] * 5
    waiting = told(state, looks, rules())
    back = told(state, [*looks, [1.0, 1.0]], rules())
    assert back.still_here()[0] == 1.0
    assert back.missed[0] == 0
    assert waiting.usual[0] == pytest.approx(waiting.usual[1], abs=0.03)
    assert back.usual[0] < back.usual[1] - 0.1


def test_a_newcomer_starts_on_the_day_before_its_first_look() -> None:
    state = with_birds(empty_flock(), ["here", "new"])
    state = told(state, [[1.0, np.nan]] * 50, rules(loss=0.01))
    assert state.still_here()[1] == 1.0
    state, _ = advance(state, RoundTold(DAY_ONE + 50, np.array([1.0, 0.0])), rules(loss=0.01))
    assert state.seen_on[1] == DAY_ONE + 49
    assert 0.8 < state.still_here()[1] < 1.0


def test_birds_that_leave_the_flock_take_nothing_with_them() -> None:
    state = told(with_birds(empty_flock(), ["A", "B", "C"]), [[1.0, 0.0, 1.0]] * 4, rules())
    smaller = with_birds(state, ["C", "B"])
    assert smaller.birds == ("B", "C")
    np.testing.assert_array_equal(smaller.ease, state.ease[1:])
    grown = with_birds(smaller, ["A", "B", "C"])
    assert grown.missed.tolist() == [0, 4, 0]
    assert grown.entered.tolist() == [0, 1, 1]


def test_an_alarm_is_taken_back_by_an_observation_and_by_nothing_else() -> None:
    state = with_birds(empty_flock(GroupEase(3.0, 0.3, 0.3)), ["A", "B"])
    state = told(state, [[1.0, 1.0]] * 3 + [[0.0, 1.0]] * 4, rules(loss=0.01))
    assert state.worst[0] == 2
    inferred, _ = advance(state, RoundTold(DAY_ONE + 7, np.array([0.95, 1.0])), rules(loss=0.01))
    assert inferred.still_here()[0] > state.still_here()[0]
    assert inferred.worst[0] == 2
    observed, _ = advance(state, RoundTold(DAY_ONE + 7, np.array([1.0, 1.0])), rules(loss=0.01))
    assert observed.worst[0] == 0


SHY_AND_BOLD = GroupEase(mean=1.5, bird_sd=1.5, round_sd=1.0)
CAN_STILL_BE_FOUND_DAYS = 14


def watched(seed: int, flocks: int, days: int, learning_days: int, gone_per_year: float) -> dict[str, Floats]:
    """Bird-days of simulated flocks, the group learnt on the way (in full: benchmarks/watch.py)."""
    rng = np.random.default_rng(seed)
    rows: list[Floats] = []
    for _ in range(flocks):
        flock = simulate_flock(
            rng, birds=40, days=days, a_day=1, group=SHY_AND_BOLD, gone_per_year=gone_per_year
        )
        state = with_birds(empty_flock(), [f"{bird:03}" for bird in range(40)])
        rule = rules(flock.loss, learn=True)
        best = flock.best_possible()
        last = np.where(flock.here.any(axis=1), (flock.here * flock.days).max(axis=1), -1)
        for r, day in enumerate(flock.days):
            state, _ = advance(state, RoundTold(DAY_ONE + int(day), flock.chance[:, r]), rule)
            if day >= learning_days:
                rows.append(
                    np.array(
                        [state.still_here(), best[:, r], state.missed, ~flock.here[:, r], day - last],
                        dtype=float,
                    )
                )
    told = np.concatenate(rows, axis=1)
    names = ("still_here", "best", "missed", "gone", "days_gone")
    return dict(zip(names, told, strict=True))


def test_on_simulated_flocks_it_is_nearly_as_good_as_knowing_the_truth() -> None:
    told = watched(seed=4, flocks=20, days=130, learning_days=60, gone_per_year=0.3)
    here = told["gone"] == 0.0
    ours, best = log_loss(told["still_here"], here), log_loss(told["best"], here)
    assert 0.9 * best < ours < 1.2 * best, f"{ours:.5f} against {best:.5f}"


def test_at_one_false_alarm_in_a_hundred_it_finds_what_counting_misses() -> None:
    """Gone bird-days of the first fortnight, in which somebody can still be found."""
    told = watched(seed=5, flocks=16, days=60, learning_days=20, gone_per_year=0.6)
    kept = (told["gone"] == 0.0) | (told["days_gone"] <= CAN_STILL_BE_FOUND_DAYS)
    gone = told["gone"][kept] == 1.0
    ours = share_flagged(1.0 - told["still_here"][kept], gone, 0.01)
    by_count = share_flagged(told["missed"][kept], gone, 0.01)
    assert ours > by_count + 0.10, f"{ours:.3f} against {by_count:.3f}"


def test_ties_of_a_coarse_score_are_drawn_by_lot() -> None:
    worry = np.array([0.0, 1.0, 1.0, 1.0, 1.0, 2.0])
    gone = np.array([False, False, False, False, True, True])
    # One false alarm in four may be flagged: it takes one of three ties, so a third of the tied gone bird.
    assert share_flagged(worry, gone, 0.25) == pytest.approx((1.0 + 1 / 3) / 2)


def test_what_was_learnt_of_rounds_counts_half_after_half_a_year() -> None:
    state = with_birds(empty_flock(), ["A", "B"])
    told_now = np.array([1.0, 0.0])
    once, ease = advance(state, RoundTold(DAY_ONE, told_now), rules(learn=True))
    assert once.round_count == 1.0
    assert once.round_square == pytest.approx(ease.mean**2 + ease.sd**2)
    again, later = advance(once, RoundTold(DAY_ONE + 180, told_now), rules(learn=True))
    assert again.round_count == pytest.approx(1.5)
    assert again.round_square == pytest.approx(0.5 * once.round_square + later.mean**2 + later.sd**2)
