"""Numbers, chances and plurals as people read them."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor
from typing import Final

_IN_WORDS: Final = tuple(
    "none one two three four five six seven eight nine ten eleven twelve thirteen fourteen".split()  # noqa: SIM905  # read as they are said
)

UNCHANGED: Final = ("dunlin", "grouse", "snipe", "species", "wildfowl")
"""Words that are their own plural; so is whatever ends in *fowl* (peafowl, guineafowl)."""

IRREGULAR: Final = {"goose": "geese", "man": "men", "woman": "women"}
"""Plurals that no rule gives. Common usage, written from memory."""


def whole(number: float) -> int:
    """A number of no sign rounded half up, as the phone rounds: 318.5 is 319."""
    return floor(number + 0.5)


def tenths(number: float) -> str:
    """A measure to a tenth, whole where it is whole: 318, 20.5."""
    return f"{number:.1f}".removesuffix(".0")


def in_words(number: int) -> str:
    """A number in words up to fourteen, in figures above; nothing is *none*."""
    return _IN_WORDS[number] if 0 <= number < len(_IN_WORDS) else str(number)


def capital(text: str) -> str:
    """A text that begins a sentence."""
    return text[:1].upper() + text[1:]


def in_a_row(names: Sequence[str]) -> str:
    """Names in a row: a, b and c."""
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)


def per_cent(chance: float, *, fine: bool = False) -> str:
    """A chance for people: whole per cent, ``< 1 %`` and ``> 99 %`` at the ends.

    Args:
        chance: 0 to 1.
        fine: one decimal under 5, for paper and desk.
    """
    if chance < 0.01:
        return "< 1 %"
    if chance > 0.99:
        return "> 99 %"
    if fine and chance < 0.05:
        return f"{floor(1000 * chance + 0.5) / 10:.1f} %"
    return f"{floor(100 * chance + 0.5)} %"


def in_hundred(share: float) -> str:
    """How often in a hundred times: whole, one decimal under 10, two under 1."""
    hundred = 100 * share
    if abs(hundred - round(hundred)) < 1e-9:
        return f"{hundred:.0f}"
    return f"{hundred:.2f}" if hundred < 1 else f"{hundred:.1f}" if hundred < 10 else f"{hundred:.0f}"


def one_reading_in(share: float) -> str:
    """How seldom a reading goes wrong: *about 1 reading in 77*, *fewer than 1 reading in 10,000*."""
    if share < 1e-4:
        return "fewer than 1 reading in 10,000"
    return f"about 1 reading in {max(1, floor(1 / share + 0.5)):,}"


def plural(word: str) -> str:
    """Several of what a word names: avocets, ibises, canaries, barnacle geese, birds of paradise."""
    head, of, rest = word.partition(" of ")
    if of:
        return plural(head) + of + rest
    before, gap, last = word.rpartition(" ")
    small = last.lower()
    if small in UNCHANGED or small.endswith("fowl"):
        return word
    if small in IRREGULAR:
        many = last[0] + IRREGULAR[small][1:]
    elif small.endswith("y") and small[-2:-1] not in ("a", "e", "i", "o", "u"):
        many = f"{last[:-1]}ies"
    else:
        many = f"{last}es" if small.endswith(("s", "x", "z", "ch", "sh")) else f"{last}s"
    return before + gap + many


def counted(word: str, number: int) -> str:
    """The word for so many: *day* for one, *days* for any other number."""
    return word if number == 1 else plural(word)
