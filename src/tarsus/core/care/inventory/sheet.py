"""An inventory as it is read: a row a species, its numbers as male.female.unsexed, its equation in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from tarsus.core.care.inventory.balance import InventoryLine

COLUMNS: Final = (
    ("opening", ""),
    ("hatched", "+"),
    ("arrived", "+"),
    ("moved_in", "+"),
    ("found_again", "+"),
    ("died", "−"),
    ("departed", "−"),
    ("moved_out", "−"),
    ("missing", "−"),
    ("resexed", "±"),
    ("closing", "="),
)
SEXES: Final = {"M": "males", "F": "females", "U": "unsexed", "?": "carcases without a name"}
_CAME: Final = ("hatched", "arrived", "moved_in", "found_again", "resexed_in")
_WENT: Final = ("died", "departed", "moved_out", "missing", "resexed_out")
MOVEMENTS: Final = (*_CAME, *_WENT)


@dataclass(frozen=True, slots=True)
class SheetNumber:
    """One number of a row, such as *12.14.3*, with the sign by which it enters the equation."""

    column: str
    words: str
    sign: str
    text: str
    nil: bool


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One species, or its carcases that nobody could name yet: then each number is a single one."""

    species: str
    unnamed: bool
    lines: tuple[InventoryLine, ...]
    numbers: tuple[SheetNumber, ...]

    @property
    def balances(self) -> bool:
        """Whether every line of the row does."""
        return all(line.balances for line in self.lines)


def sheet_rows(lines: Iterable[InventoryLine]) -> tuple[SheetRow, ...]:
    """The rows of an inventory in the order of species; carcases without a name under their species.

    Args:
        lines: held or owned.

    Source:
        Males, females, unsexed: common practice.
    """
    kept = list(lines)
    keys = sorted({(line.species, line.sex == "?") for line in kept})
    return tuple(
        _row(species, unnamed, [one for one in kept if (one.species, one.sex == "?") == (species, unnamed)])
        for species, unnamed in keys
    )


def sheet_total(lines: Iterable[InventoryLine]) -> SheetRow:
    """One row for all species together; carcases without a name are left to their own rows."""
    return _row("", False, [line for line in lines if line.sex != "?"])


def closing_birds(lines: Iterable[InventoryLine]) -> int:
    """How many birds there are at closing, carcases without a name taken off."""
    return sum(line.closing for line in lines)


def equation(line: InventoryLine) -> str:
    """One line's equation in words: *13 + 1 found again − 1 died = 13*.

    Source:
        docs/science/inventory.md, eq. 1.
    """
    came = "".join(f" + {n} {column_words(name)}" for name in _CAME if (n := getattr(line, name)))
    went = "".join(f" − {n} {column_words(name)}" for name in _WENT if (n := getattr(line, name)))
    return f"{_minus(line.opening)}{came}{went} = {_minus(line.closing)}"


def column_words(column: str) -> str:
    """A column as it is read."""
    return {"resexed_in": "resexed to", "resexed_out": "resexed from"}.get(column, column.replace("_", " "))


def _row(species: str, unnamed: bool, lines: Sequence[InventoryLine]) -> SheetRow:
    return SheetRow(
        species,
        unnamed,
        tuple(sorted(lines, key=lambda line: list(SEXES).index(line.sex))),
        tuple(_number(lines, column, sign, unnamed) for column, sign in COLUMNS),
    )


def _number(lines: Iterable[InventoryLine], column: str, sign: str, unnamed: bool) -> SheetNumber:
    found = dict.fromkeys("?" if unnamed else "MFU", 0)
    for line in lines:
        found[line.sex] += _value(line, column)
    parts = [("+" if column == "resexed" and n > 0 else "") + _minus(n) for n in found.values()]
    return SheetNumber(column, column_words(column), sign, ".".join(parts), not any(found.values()))


def _value(line: InventoryLine, column: str) -> int:
    return line.resexed_in - line.resexed_out if column == "resexed" else int(getattr(line, column))


def _minus(number: int) -> str:
    return str(number).replace("-", "−")
