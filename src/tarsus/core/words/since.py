"""What is new about birds, put together so that a fortnight is read in a dozen lines."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

from tarsus.core.words.numbers import capital

VET: Final = "vet"
FOUND: Final = "found"
WENT: Final = "went"
CAME: Final = "came"
MOVED: Final = "moved"
MARKS: Final = "marks"

KINDS: Final = {
    VET: "With the vet",
    FOUND: "Found",
    WENT: "Gone",
    CAME: "Come",
    MOVED: "Moved",
    MARKS: "Marks changed",
}
"""Kinds of news in the order in which they are told, each with its heading."""

_IN_SHORT: Final = {
    VET: "vet",
    FOUND: "found",
    WENT: "gone",
    CAME: "come",
    MOVED: "moved",
    MARKS: "marks",
}


@dataclass(frozen=True, slots=True)
class News:
    """One thing that is new about one bird: its kind, in a few words, and the day on which it happened."""

    kind: str
    bird: int
    name: str
    words: str
    day: date


@dataclass(frozen=True, slots=True)
class NewsLine:
    """What is new about one bird, or the same of several: `birds` are ids with names, `day` the latest."""

    kind: str
    birds: tuple[tuple[int, str], ...]
    words: str
    day: date


def news_lines(news: Iterable[News]) -> tuple[NewsLine, ...]:
    """Put news together: one line a bird and kind, and one line for birds of which the same is told.

    Args:
        news: in any order.

    Returns:
        By kind, then the latest first. No bird stands in two lines of a kind; what is told of it twice in
        the same words is told once, the latest word first.
    """
    of_bird: dict[tuple[str, int, str], list[News]] = defaultdict(list)
    for one in sorted(set(news), key=lambda one: (one.day, one.words), reverse=True):
        of_bird[one.kind, one.bird, one.name].append(one)
    alike: dict[tuple[str, str], list[tuple[int, str, date]]] = defaultdict(list)
    for (kind, bird, name), told in of_bird.items():
        words = "; ".join(dict.fromkeys(one.words for one in told if one.words))
        alike[kind, words].append((bird, name, told[0].day))
    lines = [
        NewsLine(
            kind,
            tuple((bird, name) for bird, name, _ in sorted(birds, key=lambda one: (one[1], one[0]))),
            words,
            max(day for *_, day in birds),
        )
        for (kind, words), birds in alike.items()
    ]
    order = tuple(KINDS)
    return tuple(
        sorted(lines, key=lambda line: (order.index(line.kind), -line.day.toordinal(), line.birds[0][1]))
    )


def news_in_short(lines: Iterable[NewsLine]) -> str:
    """How many birds each kind of news is about: *Vet 2, found 1, come 3*; empty where none is."""
    birds: dict[str, set[int]] = defaultdict(set)
    for line in lines:
        birds[line.kind].update(bird for bird, _ in line.birds)
    return capital(", ".join(f"{_IN_SHORT[kind]} {len(birds[kind])}" for kind in KINDS if kind in birds))


def bands_changed(on: Iterable[str], off: Iterable[str]) -> str:
    """Bands put on and taken off in a few words: *white on, red off*: one for another of its colour is *new
    lime*.
    """
    came, went = list(on), list(off)
    new = [word for word in dict.fromkeys(came) if word in went]
    for word in new:
        came.remove(word)
        went.remove(word)
    words = (
        [f"new {word}" for word in new] + [f"{word} on" for word in came] + [f"{word} off" for word in went]
    )
    return ", ".join(dict.fromkeys(words))
