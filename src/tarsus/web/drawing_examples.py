"""Invented birds that show every form and state of the band drawing."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final


@dataclass(frozen=True)
class Example:
    """One drawing with what it means."""

    form: str
    marks: dict[str, list[str] | None]
    means: str = ""
    facing: str = "away"
    flags: dict[str, list[str]] = field(default_factory=dict)
    pins: tuple[dict[str, int], ...] = ()
    active: str = ""
    look: str = ""
    reading: bool = False


_AVOCET: Final[dict[str, list[str] | None]] = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
_RUFF: Final[dict[str, list[str] | None]] = {"left leg": ["metal"], "right leg": ["yellow", "green"]}
_PENGUIN: Final[dict[str, list[str] | None]] = {"left wing": [], "right wing": ["orange"]}

FIGURES: Final = (
    Example("tall", _AVOCET, "banded above the joint; it faces away, so its left is on your left"),
    Example("tall", _AVOCET, "the same bird faces you: breast, front toes, mirrored", facing="me"),
    Example("tall", _AVOCET, "it walks to your left: its left leg is near", facing="left"),
    Example("tall", _AVOCET, "it walks to your right: its right leg is near", facing="right"),
    Example(
        "tall",
        {"left tibia": None, "right tibia": ["red", "?"]},
        "a part reading: the left not seen, one colour not made out; look at the left",
        reading=True,
        active="right tibia",
        look="left tibia",
    ),
    Example("legs", _RUFF, "banded on the tarsus"),
    Example(
        "tall",
        {"left tibia": ["white", "pink"], "left leg": None, "right tibia": [], "right leg": ["metal"]},
        "above and below the joint: one site not seen, one seen to be bare",
        reading=True,
        look="left leg",
    ),
    Example("wings", _PENGUIN, "wings, facing you", facing="me"),
    Example("wings", _PENGUIN, "wings, facing away; the left wing is bare"),
    Example(
        "wings",
        {"left wing": ["blue", "white"], "right wing": None},
        "two on one wing, the other not seen",
        reading=True,
    ),
    Example(
        "told",
        {},
        "no bands: numbered pins at its natural marks",
        pins=({"x": 23, "y": 31}, {"x": 50, "y": 88}),
    ),
    Example(
        "legs",
        {"left leg": ["metal", "orange"], "right leg": ["yellow", "green", "pale blue"]},
        "a tie with its lock, a worn band, one that is faded, one that is lost",
        flags={"left leg": ["", "tie"], "right leg": ["worn", "faded", "lost"]},
    ),
)

GLYPHS: Final = (
    Example("tall", _AVOCET),
    Example("tall", _AVOCET, facing="me"),
    Example("legs", _RUFF),
    Example("legs", {"left leg": ["black", "brown"], "right leg": ["purple", "grey"]}),
    Example("legs", {"left leg": ["lime", "pink"], "right leg": ["orange", "pink"]}),
    Example(
        "legs", {"left leg": ["metal", "red", "white"], "right leg": ["blue", "yellow", "black", "green"]}
    ),
    Example("tall", {"left tibia": ["white", "pink"], "left leg": ["metal"], "right leg": ["blue", "red"]}),
    Example("legs", {"right leg": ["?", "green"]}, reading=True),
    Example("wings", _PENGUIN),
    Example("wings", {"left wing": ["blue", "white"], "right leg": ["metal"]}),
    Example("told", {}, pins=({"x": 23, "y": 31},)),
)
