"""A checkpoint that was carried day by day is the one that is rebuilt from the facts."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tarsus.core.errors import WrongValue
from tarsus.core.presence.checkpoint import as_plain, from_plain
from tarsus.core.presence.flock_state import FlockState, empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.simulation import simulate_flock
from tarsus.core.presence.watch import watch_flock, watched

DAY_ONE = date(2026, 3, 1)
RULES = RoundRules(loss=1 / 3650, max_unseen_days=3)

LOOKS = st.sampled_from([1.0, 1.0, 1.0, 0.0, 0.7, float("nan")])
ROUND = st.tuples(
    st.integers(0, 3),  # days since the round before
    st.dictionaries(st.sampled_from(["Avens", "Brack", "Cress", "Dulse"]), LOOKS, min_size=1),
)


def carried(rounds: list[tuple[int, dict[str, float]]], *, kept_every: int | None) -> FlockState:
    """Fold rounds; with `kept_every` the state goes through JSON and back after so many of them."""
    state, day = empty_flock(), DAY_ONE.toordinal()
    for at, (gap, looks) in enumerate(rounds):
        day += gap
        state = with_birds(state, looks)
        state, _ = advance(state, RoundTold(day, np.array([looks[bird] for bird in state.birds])), RULES)
        if kept_every and at % kept_every == 0:
            state = from_plain(json.loads(json.dumps(as_plain(state))))
    return state


@given(rounds=st.lists(ROUND, min_size=1, max_size=12), kept_every=st.integers(1, 4))
@settings(max_examples=60, deadline=None)
def test_carried_day_by_day_it_equals_the_one_rebuilt_from_the_facts(
    rounds: list[tuple[int, dict[str, float]]], kept_every: int
) -> None:
    incremental, rebuilt = carried(rounds, kept_every=kept_every), carried(rounds, kept_every=None)
    assert as_plain(incremental) == as_plain(rebuilt)
    assert incremental.ease.tobytes() == rebuilt.ease.tobytes()


def test_a_year_of_a_flock_is_carried_to_the_last_bit() -> None:
    flock = simulate_flock(
        np.random.default_rng(11),
        birds=17,
        days=365,
        a_day=1,
        group=GroupEase(1.5, 1.3, 0.9),
        gone_per_year=0.1,
    )
    names = [f"A{bird:02}" for bird in range(17)]
    rounds = [(1, dict(zip(names, flock.chance[:, r].tolist(), strict=True))) for r in range(365)]
    assert as_plain(carried(rounds, kept_every=1)) == as_plain(carried(rounds, kept_every=None))


def test_a_checkpoint_of_another_estimator_is_refused() -> None:
    plain = as_plain(carried([(1, {"Avens": 1.0})], kept_every=None))
    with pytest.raises(WrongValue, match="rebuild it from the facts"):
        from_plain({**plain, "format": 0})


def test_the_watch_of_a_table_is_the_carried_checkpoint() -> None:
    flock = simulate_flock(
        np.random.default_rng(12),
        birds=12,
        days=40,
        a_day=1,
        group=GroupEase(1.5, 1.3, 0.9),
        gone_per_year=0.5,
    )
    names = [f"A{bird:02}" for bird in range(12)]
    days = [DAY_ONE + timedelta(days=int(day)) for day in flock.days]
    whole = watch_flock(names, days, flock.chance, gone_per_year=0.5, max_unseen_days=3)
    state, rules = with_birds(empty_flock(), names), replace(RULES, loss=flock.loss)
    for r, day in enumerate(days):
        state, _ = advance(state, RoundTold(day.toordinal(), flock.chance[:, r]), rules)
    assert as_plain(whole.state) == as_plain(state)
    assert whole.birds == watched(state, rules)
