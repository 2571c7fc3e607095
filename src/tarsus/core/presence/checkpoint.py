"""A flock's state as plain values that can be kept, and back to the last bit."""

from __future__ import annotations

import base64
import zlib
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import WrongValue
from tarsus.core.presence.flock_state import BIRD_COLUMNS, FlockState, empty_flock
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.habits import LAYERS, Habits
from tarsus.core.presence.lattice import EASES

FORMAT: Final = 5
"""Raised when the estimator, or what a roll call tells it, changes: a checkpoint of another format is
rebuilt from the facts.
"""

_KINDS: Final = {name: getattr(empty_flock(), name).dtype for name in BIRD_COLUMNS}


def as_plain(state: FlockState) -> dict[str, Any]:
    """Turn a state into values that JSON carries without loss.

    Args:
        state: any state of a flock.

    Returns:
        Arrays as compressed little-endian bytes in base64, the rest as numbers and texts; equal states give
        equal values.
    """
    group, habits = state.group, state.habits
    return {
        "format": FORMAT,
        "lattice": [float(EASES[0]), float(EASES[-1]), len(EASES)],
        "birds": list(state.birds),
        "day": state.day,
        "moment": state.moment,
        "group": [group.mean, group.bird_sd, group.round_sd],
        "habits": [habits.stays, habits.drifts, habits.hides],
        "round_square": state.round_square,
        "round_count": state.round_count,
        **{name: _packed(getattr(state, name)) for name in BIRD_COLUMNS},
    }


def from_plain(plain: dict[str, Any]) -> FlockState:
    """Turn kept values back into the state they were made from, equal to the last bit.

    Raises:
        WrongValue: the values were written by another estimator; rebuild them from the facts.
    """
    if plain.get("format") != FORMAT or plain["lattice"] != [float(EASES[0]), float(EASES[-1]), len(EASES)]:
        raise WrongValue("checkpoint", "was kept by another version; rebuild it from the facts")
    columns = {name: _unpacked(plain[name], kind) for name, kind in _KINDS.items()}
    columns["ease"] = columns["ease"].reshape(-1, LAYERS, len(EASES))
    return FlockState(
        birds=tuple(plain["birds"]),
        day=plain["day"],
        moment=plain["moment"],
        group=GroupEase(*plain["group"]),
        habits=Habits(*plain["habits"]),
        round_square=plain["round_square"],
        round_count=plain["round_count"],
        **columns,
    )


def _packed(array: NDArray[Any]) -> str:
    # Level 1: the likelihoods hardly compress, and the whole numbers do at any level.
    plain = array.astype(array.dtype.newbyteorder("<")).tobytes()
    return base64.b64encode(zlib.compress(plain, 1)).decode("ascii")


def _unpacked(text: str, kind: np.dtype[Any]) -> NDArray[Any]:
    return np.frombuffer(zlib.decompress(base64.b64decode(text)), kind.newbyteorder("<")).astype(kind)
