"""JSON text into plain values: the same limits for a command's document, a phone's sending and a program's.

RFC 8259 leaves open what a key that stands twice means (section 4; a plain reader keeps the last and says
nothing), and how deep and how long is too much (section 9): here they are refused.
"""

from __future__ import annotations

import json
from collections import Counter
from typing import Any, Final

from tarsus.core.documents.values import child
from tarsus.core.errors import MalformedInput, WrongValue

DEEPEST: Final = 100
"""Objects and lists within each other."""
LONGEST_NUMBER: Final = 1000
"""Digits of a whole number: far beyond any that has a meaning, and quick to read."""


def parse_json(text: str | bytes, place: str) -> Any:
    """The values of one JSON document.

    Args:
        text: as it came; bytes are UTF-8.
        place: what it is called in a refusal: a path, ``sending``.

    Raises:
        MalformedInput: no UTF-8, no JSON, too deep, or a number of too many digits.
        WrongValue: an object has a key twice.
    """
    try:
        written = text if isinstance(text, str) else text.decode()
        document = json.loads(written, object_pairs_hook=_Pairs.of, parse_int=_whole)
    except UnicodeDecodeError:
        raise MalformedInput(place, "is not written in UTF-8; save it so") from None
    except json.JSONDecodeError as reason:
        where = f"line {reason.lineno}, column {reason.colno}"
        raise MalformedInput(place, f"is no JSON at {where}: {reason.msg}") from None
    except RecursionError:
        raise _too_deep(place) from None
    except _TooLong as number:
        said = f"has a number of {number.digits} digits; write at most {LONGEST_NUMBER}"
        raise MalformedInput(place, said) from None
    _look_through(document, "", 0, place)
    return document


class _TooLong(Exception):
    def __init__(self, digits: int) -> None:
        self.digits = digits
        super().__init__(digits)


def _whole(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise _TooLong(len(digits.lstrip("-")))
    return int(digits)


class _Pairs(dict[str, Any]):
    """An object that remembers a key it was given twice."""

    twice: str | None = None

    @classmethod
    def of(cls, pairs: list[tuple[str, Any]]) -> _Pairs:
        made = cls(pairs)
        if len(made) < len(pairs):
            names = Counter(name for name, _ in pairs)
            made.twice = next(name for name, times in names.items() if times > 1)
        return made


def _too_deep(place: str) -> MalformedInput:
    return MalformedInput(place, f"is nested too deep; write at most {DEEPEST} levels")


def _look_through(value: Any, at: str, depth: int, place: str) -> None:
    if depth > DEEPEST:
        raise _too_deep(place)
    if isinstance(value, _Pairs):
        if value.twice is not None:
            raise WrongValue(child(at, value.twice), "stands twice in one object; leave one of them out")
        for key, entry in value.items():
            if isinstance(entry, dict | list):
                _look_through(entry, child(at, key), depth + 1, place)
    elif isinstance(value, list):
        for nth, entry in enumerate(value):
            if isinstance(entry, dict | list):
                _look_through(entry, child(at, nth), depth + 1, place)
