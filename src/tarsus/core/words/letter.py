"""The daily letter to one person, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

SUBJECT: Final = "Tarsus: please look at Today"
"""A subject stands on locked screens and in the logs of strangers: it says nothing, not even how much."""

MOST: Final = 25
"""So many lines of a kind stand in a letter; the others are counted."""


def letter(park: str, day: str, parts: Iterable[tuple[str, Sequence[str]]], address: str = "") -> str:
    """The text of a letter; empty where there is nothing to say.

    Args:
        park: its name.
        day: in words.
        parts: a heading with its lines each, the gravest first; one without lines is left out.
        address: where *Today* is, if the installation was told.
    """
    said = [(title, lines) for title, lines in parts if lines]
    if not said:
        return ""
    text = [f"{park}, {day}", ""]
    for title, lines in said:
        text += [title, *(f"- {line}" for line in lines[:MOST])]
        if len(lines) > MOST:
            text.append(f"- and {len(lines) - MOST} more")
        text.append("")
    where = f"Today: {address}" if address else "Look at Today."
    return "\n".join(
        [*text, where, "You asked for this letter. Settings, What is mailed to you, ends it.", ""]
    )
