"""A flock's state as plain values that can be kept, and back to the last bit."""

from __future__ import annotations

import base64
import zlib
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import WrongValue
from tarsus.core.presence.flock_state import FlockState
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.lattice import EASES

FORMAT: Final = 1
"""Raised when the estimator changes: a checkpoint of another format is rebuilt from the facts."""

_TABLES: Final = ("learnt", "run_here", "run_gone")
_COLUMNS: Final = ("seen_on", "missed", "worst", "entered")


def as_plain(state: FlockState) -> dict[str, Any]:
    """Turn a state into values that JSON carries without loss.

    Args:
        state: any state of a flock.

    Returns:
        Arrays as compressed little-endian bytes in base64, the rest as numbers and texts; equal states give
        equal values.
    """
    return {
        "format": FORMAT,
        "lattice": [float(EASES[0]), float(EASES[-1]), len(EASES)],
        "birds": list(state.birds),
        "day": state.day,
        "moment": state.moment,
        "group": [state.group.mean, state.group.bird_sd, state.group.round_sd],
        "round_square": state.round_square,
        "round_count": state.round_count,
        **{name: _packed(getattr(state, name).astype("<f8")) for name in _TABLES},
        **{name: getattr(state, name).tolist() for name in _COLUMNS},
    }


def from_plain(plain: dict[str, Any]) -> FlockState:
    """Turn kept values back into the state they were made from, equal to the last bit.

    Raises:
        WrongValue: the values were written by another estimator; rebuild them from the facts.
    """
    if plain.get("format") != FORMAT or plain["lattice"] != [float(EASES[0]), float(EASES[-1]), len(EASES)]:
        raise WrongValue("checkpoint", "was kept by another version; rebuild it from the facts")
    birds = tuple(plain["birds"])
    tables = {name: _unpacked(plain[name], len(birds)) for name in _TABLES}
    columns = {name: np.array(plain[name], dtype=np.int64) for name in _COLUMNS}
    return FlockState(
        birds=birds,
        learnt=tables["learnt"],
        run_here=tables["run_here"],
        run_gone=tables["run_gone"],
        seen_on=columns["seen_on"],
        missed=columns["missed"],
        worst=columns["worst"],
        entered=columns["entered"],
        day=plain["day"],
        moment=plain["moment"],
        group=GroupEase(*plain["group"]),
        round_square=plain["round_square"],
        round_count=plain["round_count"],
    )


def _packed(array: NDArray[np.float64]) -> str:
    # Level 1: most birds were seen today, so that two of the three tables are nearly all zeros.
    return base64.b64encode(zlib.compress(array.tobytes(), 1)).decode("ascii")


def _unpacked(text: str, rows: int) -> NDArray[np.float64]:
    flat = np.frombuffer(zlib.decompress(base64.b64decode(text)), dtype="<f8")
    return flat.reshape(rows, len(EASES)).astype(np.float64)
