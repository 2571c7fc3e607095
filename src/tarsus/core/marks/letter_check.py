"""Letters of a palette that are taken for one another, or for left and right."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations
from typing import Final

ALIKE: Final = ("0OQD", "1Il", "2Z", "5S", "6G", "8B", "UV", "MN", "CG")
"""Signs that look alike small, worn or through glasses. Common practice."""

SIDES: Final = {"L": "left", "R": "right"}


def letters_that_collide(letters: Mapping[str, str], metal: str) -> tuple[str, ...]:
    """Warn of letters that somebody will mistake.

    Args:
        letters: the letter in each colour's band, by the colour's name.
        metal: the letter of a metal band.

    Returns:
        A sentence a warning: letters that differ by their size only, that look alike, two letters that read
        as two bands, and those that stand for a side elsewhere. Nothing where all are clear.
    """
    every = {**letters, "metal": metal}
    said = [
        f"{a} ({one}) and {b} ({other}) {why}; choose another for one of them."
        for (one, a), (other, b) in combinations(every.items(), 2)
        if (why := _why_alike(a, b))
    ]
    by_letter = {letter: name for name, letter in every.items()}
    for name, letter in every.items():
        if len(letter) == 2 and letter[0] in by_letter and letter[1] in by_letter:
            two = f"{by_letter[letter[0]]} over {by_letter[letter[1]]}"
            said.append(f"{letter} ({name}) reads as {two} too; give {name} one letter that is free.")
    sides = [(letter, name) for name, letter in every.items() if letter in SIDES]
    if sides:
        what = " and ".join(f"{letter} is {name}" for letter, name in sides)
        short = " and ".join(f"{letter} for {SIDES[letter]}" for letter, _ in sides)
        said.append(f"{what}: never write {short}. Write the side as a word.")
    return tuple(said)


def _why_alike(one: str, other: str) -> str:
    if one.casefold() == other.casefold():
        return "are the same letter" if one == other else "differ by their size only"
    if len(one) == len(other) == 1 and any({one, other} <= set(group) for group in ALIKE):
        return "look alike small or worn"
    return ""
