"""JSON text into plain values: the same limits for a command's document, a phone's sending and a program's.

RFC 8259 leaves open what a key that stands twice means (section 4; a plain reader keeps the last and says
nothing), and how deep and how long is too much (section 9): here they are refused.
"""

from __future__ import annotations

import json
from collections import Counter
from functools import reduce
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
        document = json.loads(written, object_pairs_hook=_object, parse_int=_whole)
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
    try:
        if isinstance(document, dict | list):
            _look_through(document, 0)
    except _Fault as fault:
        if fault.twice is None:
            raise _too_deep(place) from None
        at = reduce(child, reversed(fault.path), "")
        raise WrongValue(
            child(at, fault.twice), "stands twice in one object; leave one of them out"
        ) from None
    return document


class _TooLong(Exception):
    def __init__(self, digits: int) -> None:
        self.digits = digits
        super().__init__(digits)


def _whole(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise _TooLong(len(digits.lstrip("-")))
    return int(digits)


class _Twice(dict[str, Any]):
    """An object that was given a key twice."""

    name: str


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) == len(pairs):
        return made
    wrong = _Twice(made)
    wrong.name = next(name for name, times in Counter(name for name, _ in pairs).items() if times > 1)
    return wrong


def _too_deep(place: str) -> MalformedInput:
    return MalformedInput(place, f"is nested too deep; write at most {DEEPEST} levels")


class _Fault(Exception):
    """An object with a key twice, or, without `twice`, one too deep. `path` leads to it, from within."""

    def __init__(self, twice: str | None = None) -> None:
        self.twice, self.path = twice, list[str | int]()
        super().__init__(twice)


def _look_through(value: dict[str, Any] | list[Any], depth: int) -> None:
    """Every object and list; where each stands is only asked for where something is wrong."""
    if depth > DEEPEST:
        raise _Fault
    if isinstance(value, _Twice):
        raise _Fault(value.name)
    within = value.items() if isinstance(value, dict) else enumerate(value)
    for key, entry in within:
        if isinstance(entry, (dict, list)):
            try:
                _look_through(entry, depth + 1)
            except _Fault as fault:
                fault.path.append(key)
                raise
