"""The colours a park's bands come in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from tarsus.core.errors import WrongValue
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, OPEN_END

_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")


@dataclass(frozen=True)
class Palette:
    """Colour names with the sRGB each band shows, in the order the park keeps them."""

    colours: tuple[tuple[str, str], ...]

    @classmethod
    def of(cls, colours: Mapping[str, str]) -> Palette:
        """A palette from names to ``#rrggbb``.

        Raises:
            WrongValue: a name that means something else in a reading, or a value that is no sRGB hex.
        """
        for name, value in colours.items():
            if name in (METAL, NOT_MADE_OUT, OPEN_END) or not name.strip():
                raise WrongValue(f"palette[{name!r}]", "this name is taken; call the colour something else")
            if not _HEX.fullmatch(value):
                raise WrongValue(f"palette[{name!r}]", f"{value!r} is no sRGB colour; write it as '#c8102e'")
        return cls(tuple((name, value.lower()) for name, value in colours.items()))

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The colour names in order."""
        return tuple(name for name, _ in self.colours)

    def hex_of(self, name: str) -> str:
        """The sRGB value of one colour."""
        return dict(self.colours)[name]

    def as_mapping(self) -> dict[str, str]:
        """A plain mapping, as documents carry it."""
        return dict(self.colours)


# Our own thirteen, chosen to be told apart by name; a park replaces them with its makers' colours.
BUILT_IN: Final = Palette.of(
    {
        "red": "#c8102e",
        "orange": "#f27d00",
        "yellow": "#ffd60a",
        "lime": "#b0dc2c",
        "green": "#0b7038",
        "pale blue": "#93d0f5",
        "blue": "#1b4dbf",
        "purple": "#6a2a92",
        "pink": "#f7a3c6",
        "white": "#ffffff",
        "black": "#151515",
        "brown": "#6b4320",
        "grey": "#93989a",
    }
)

# The published shorthand of wader ringers (International Wader Study Group, describing combinations):
# N black, W white, R red, O orange, Y yellow, G green, L lime, B blue, P pale blue, m metal; and in addition
# K pink, V purple, U brown, S grey. A park may choose its own.
LETTERS: Final[Mapping[str, str]] = {
    "red": "R",
    "orange": "O",
    "yellow": "Y",
    "lime": "L",
    "green": "G",
    "pale blue": "P",
    "blue": "B",
    "purple": "V",
    "pink": "K",
    "white": "W",
    "black": "N",
    "brown": "U",
    "grey": "S",
}
METAL_LETTER: Final = "m"
