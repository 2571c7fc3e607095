"""How a line of the register says that it puts something mistaken right."""

from __future__ import annotations

from typing import Final

A_MISTAKE: Final = "a mistake: "
"""Begins the reason of such a line: by it the line is told apart from what really happened."""


def mistaken(because: str, longest: int) -> str:
    """The reason of a line that puts a mistake right, cut to as many letters as its column holds."""
    return f"{A_MISTAKE}{because}"[:longest]
