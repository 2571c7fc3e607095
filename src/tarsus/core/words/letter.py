"""The daily letter to one person, in words: by mail whole, to a phone as much as fits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

SUBJECT: Final = "Tarsus: please look at Today"
"""A subject stands on locked screens and in the logs of strangers: it says nothing, not even how much."""

MOST: Final = 25
"""So many lines of a kind stand in a letter; the others are counted."""

Parts = Sequence[tuple[str, Sequence[str]]]
"""A heading with its lines each, the gravest first; one without lines is left out."""


def digest(park: str, day: str, parts: Parts, most: int = MOST) -> str:
    """What one person is to hear today; empty where there is nothing to say.

    Args:
        park: its name.
        day: in words.
        parts: what there is, by kind.
        most: so many lines of a kind are written out.
    """
    said = [(title, lines) for title, lines in parts if lines]
    if not said:
        return ""
    text = [f"{park}, {day}", ""]
    for title, lines in said:
        text += [title, *(f"- {line}" for line in lines[:most])]
        if len(lines) > most:
            text.append(f"- and {len(lines) - most} more")
        text.append("")
    return "\n".join(text)


def letter(park: str, day: str, parts: Iterable[tuple[str, Sequence[str]]], address: str = "") -> str:
    """The text of a letter: the digest, and where to look and how it ends; empty where nothing is to say.

    Args:
        park: its name.
        day: in words.
        parts: what there is, by kind.
        address: where *Today* is, if the installation was told.
    """
    text = digest(park, day, tuple(parts))
    if not text:
        return ""
    where = f"Today: {address}" if address else "Look at Today."
    return f"{text}\n{where}\nYou asked for this letter. Settings, What is mailed to you, ends it.\n"


def on_a_phone(park: str, day: str, parts: Parts, room: int) -> str:
    """The digest in at most `room` bytes of UTF-8: fewer lines of each kind, the others counted."""
    for most in range(MOST, 0, -1):
        text = digest(park, day, parts, most).rstrip()
        if len(text.encode()) <= room:
            return text
    return text.encode()[:room].decode(errors="ignore")
