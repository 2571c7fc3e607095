"""What is taken for granted of a camera and of a park's bands, until checked photographs teach better."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tarsus.core.photographs.light import Array
from tarsus.core.photographs.renderings import AGEING


@dataclass(frozen=True, slots=True)
class Camera:
    """How far the colours of a picture are trusted, and how the park's bands age.

    `exponent`: the power to which each band's fit is raised; under 1 for a camera whose colours stray further
    than the model thinks. `ageing`: the weight of each way of `AGEING`; they sum to 1. `ageing_of`: the same
    of each colour that is known to age otherwise.
    """

    exponent: float = 1.0
    ageing: tuple[float, ...] = tuple(weight for weight, _, _ in AGEING)
    ageing_of: tuple[tuple[str, tuple[float, ...]], ...] = ()

    def weights_of(self, names: Sequence[str]) -> Array:
        """``(K, V)`` the weights of the ways of ageing of each colour."""
        own = dict(self.ageing_of)
        return np.array([own.get(name, self.ageing) for name in names])

    def as_plain(self) -> dict[str, Any]:
        """As a pack and a row hold it."""
        told: dict[str, Any] = {"exponent": self.exponent, "ageing": list(self.ageing)}
        if self.ageing_of:
            told["ageing_of"] = {colour: list(ways) for colour, ways in self.ageing_of}
        return told

    @classmethod
    def of_plain(cls, kept: Mapping[str, Any]) -> Camera:
        """As it was kept."""
        return cls(
            float(kept["exponent"]),
            tuple(float(weight) for weight in kept["ageing"]),
            tuple((colour, tuple(map(float, ways))) for colour, ways in kept.get("ageing_of", {}).items()),
        )


AS_THOUGHT = Camera()
"""Every camera and every park before anything was checked."""
