"""What is taken for granted of a camera and of a park's bands, until checked photographs teach better."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tarsus.core.photographs.renderings import AGEING


@dataclass(frozen=True, slots=True)
class Camera:
    """How far the colours of a picture are trusted, and how the park's bands age.

    `exponent`: the power to which each band's fit is raised; under 1 for a camera whose colours stray further
    than the model thinks. `ageing`: the weight of each way of `AGEING`; they sum to 1.
    """

    exponent: float = 1.0
    ageing: tuple[float, ...] = tuple(weight for weight, _, _ in AGEING)

    def as_plain(self) -> dict[str, Any]:
        """As a pack and a row hold it."""
        return {"exponent": self.exponent, "ageing": list(self.ageing)}

    @classmethod
    def of_plain(cls, kept: Mapping[str, Any]) -> Camera:
        """As it was kept."""
        return cls(float(kept["exponent"]), tuple(float(weight) for weight in kept["ageing"]))


AS_THOUGHT = Camera()
"""Every camera and every park before anything was checked."""
