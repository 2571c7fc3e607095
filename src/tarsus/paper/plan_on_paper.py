"""A plan as papers draw it: its pins, and the walk on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class PaperStep:
    """One place of the walk: minutes with the way to it, and who is likely there, told with the chance."""

    name: str
    minutes: str
    by: str
    likely: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PaperPin:
    """A pin: `number` in the order to look, empty where nobody is likely; `radius` of its circle, 0 to 1."""

    name: str
    x: float
    y: float
    number: str
    radius: float


@dataclass(frozen=True, slots=True)
class PaperPlan:
    """What is drawn of an exhibit, and the walk on it. Shares count from the upper left.

    `picture` is a JPEG in base64, or empty; `shapes` are kinds with their points.
    """

    tall: float
    picture: str
    shapes: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    entrance: tuple[float, float] | None
    pins: tuple[PaperPin, ...]
    steps: tuple[PaperStep, ...]
    says: str

    def as_mapping(self) -> dict[str, Any]:
        """The plan as the templates read it."""
        return {
            "tall": self.tall,
            "picture": self.picture,
            "shapes": [{"what": what, "points": points} for what, points in self.shapes],
            "entrance": self.entrance,
            "pins": [
                {"name": pin.name, "x": pin.x, "y": pin.y, "n": pin.number, "r": pin.radius}
                for pin in self.pins
            ],
            "steps": [
                {"name": one.name, "minutes": one.minutes, "by": one.by, "likely": list(one.likely)}
                for one in self.steps
            ],
            "walk": self._walk(),
            "says": self.says,
        }

    def _walk(self) -> list[tuple[float, float]]:
        numbered = sorted((pin for pin in self.pins if pin.number), key=lambda pin: int(pin.number))
        begins = [self.entrance] if self.entrance and numbered else []
        return [*begins, *((pin.x, pin.y) for pin in numbered)]
