"""The light and the mud of a round, in the documents that weigh its readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.documents.fields import optional
from tarsus.core.documents.values import parse_choice, parse_flag
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.lights import LIGHTS, STATES, prior_of_states, under
from tarsus.core.readings.misreading import Misreading

KEYS: Final = ("light", "mud")
NOT_SAID: Final = "not said"
"""A light that is to be inferred from the readings."""


@dataclass(frozen=True, eq=False)
class InLight:
    """An observer in each of `STATES`, and how likely each state is before anything was read."""

    prior: NDArray[np.float64]
    observers: tuple[Misreading, ...]


def parse_in_light(fields: dict[str, Any], misreading: Misreading, palette: Palette) -> InLight | None:
    """What a document says of its round's light; None where it has neither key: one observer serves.

    Raises:
        UnknownWord: another light.
        WrongValue: `mud` is neither true nor false.
    """
    if not any(key in fields for key in KEYS):
        return None
    light = optional(
        fields, "light", lambda v, at: parse_choice(v, at, "light", (*LIGHTS, NOT_SAID)), NOT_SAID
    )
    mud = optional(fields, "mud", parse_flag, None)
    prior = prior_of_states("" if light == NOT_SAID else light, mud)
    return InLight(prior, tuple(under(misreading, palette, state) for state in STATES))


def states_as_document(shares: NDArray[np.float64]) -> list[dict[str, Any]]:
    """How likely each light and mud was the round's, as the documents write it."""
    return [
        {"light": state.light, "mud": state.mud, "p": float(share)}
        for state, share in zip(STATES, shares, strict=True)
    ]
