"""How a deed is told in a history: a pattern with the values in words put into it.

``Weighed {weight_g}[, on {scale}].`` A part in brackets is left out where a value within it is empty.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

_SLOT: Final = re.compile(r"\{(\w+)\}")
_MAYBE: Final = re.compile(r"\[([^\[\]]*)\]")


def sentence(pattern: str, words: Mapping[str, str]) -> str:
    """Put words into a pattern.

    Args:
        pattern: text with ``{names}`` and ``[parts that may be left out]``.
        words: each value in words; empty or missing where nothing was said.

    Returns:
        One sentence that begins with a capital.
    """

    def maybe(part: re.Match[str]) -> str:
        inner = part[1]
        return inner if all(words.get(name) for name in _SLOT.findall(inner)) else ""

    told = _SLOT.sub(lambda slot: words.get(slot[1], ""), _MAYBE.sub(maybe, pattern))
    return told[:1].upper() + told[1:]


def slots(pattern: str) -> frozenset[str]:
    """The names that a pattern asks for."""
    return frozenset(_SLOT.findall(pattern))
