"""Plain values out of a JSON document, each refused with its place and the remedy.

Every function takes the value and the place where it stands (`birds[3].prior`); `child` builds the places.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from typing import Any, Final, TypeVar

from tarsus.core.errors import UnknownKey, UnknownWord, WrongValue, cut

Answer = TypeVar("Answer")

_MOMENT: Final = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d")
_PLAIN_KEY: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_-]*")


def child(place: str, key: str | int) -> str:
    """The place of one entry.

    ``birds`` and 3 give ``birds[3]``, ``marks`` and 'left leg' ``marks["left leg"]``.
    """
    if isinstance(key, int):
        return f"{place}[{key}]"
    key = cut(key)
    if not _PLAIN_KEY.fullmatch(key):
        return f"{place}[{json.dumps(key, ensure_ascii=False)}]"
    return f"{place}.{key}" if place else key


def shown(value: Any) -> str:
    """A value as the document wrote it, cut short, for a refusal."""
    try:
        text = json.dumps(value, ensure_ascii=False, default=str)
    except (ValueError, RecursionError):  # a number of thousands of digits, or lists within lists
        text = f"a {type(value).__name__} too large to show"
    text = text.encode("utf-8", "replace").decode()
    return text if len(text) <= 40 else f"{text[:37]}..."


def parse_object(
    value: Any, place: str, known: Iterable[str] | None = None, required: Sequence[str] = ()
) -> dict[str, Any]:
    """An object whose keys are all known.

    Args:
        value: what the document has there.
        place: where it stands, empty for the document itself.
        known: the keys it may have; `None` where the keys are the caller's own names.
        required: the keys it must have.

    Raises:
        WrongValue: no object, or a required key is missing.
        UnknownKey: a key it does not have.
    """
    if not isinstance(value, dict):
        raise WrongValue(place or "document", f"{shown(value)} is no object; write it as {{…}}")
    if known is not None:
        names = tuple(known)
        for key in value:
            if key not in names:
                raise UnknownKey(child(place, key), key, names)
    for key in required:
        if key not in value:
            raise WrongValue(child(place, key), "is missing; add it")
    return value


def parse_list(value: Any, place: str) -> list[Any]:
    """A list.

    Raises:
        WrongValue: no list.
    """
    if not isinstance(value, list):
        raise WrongValue(place, f"{shown(value)} is no list; write it as […]")
    return value


def parse_each(value: Any, place: str, parse: Callable[[Any, str], Answer]) -> tuple[Answer, ...]:
    """Every entry of a list through one reader.

    Raises:
        WrongValue: no list; and whatever `parse` refuses.
    """
    return tuple(parse(entry, child(place, at)) for at, entry in enumerate(parse_list(value, place)))


def parse_number(value: Any, place: str, low: float = -math.inf, high: float = math.inf) -> float:
    """A finite number from `low` to `high`.

    Raises:
        WrongValue: no number, or outside its range.
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or not _is_finite(value):
        raise WrongValue(place, f"{shown(value)} is no number; write it plainly, such as 0.05")
    if not low <= value <= high:
        raise WrongValue(place, f"{value:g} is out of range; {_range(low, high)}")
    return float(value)


def _is_finite(value: float) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:  # a whole number of hundreds of digits
        return False


def parse_chance(value: Any, place: str) -> float:
    """A probability, 0 to 1.

    Raises:
        WrongValue: no number, or not from 0 to 1.
    """
    return parse_number(value, place, 0.0, 1.0)


def parse_whole(value: Any, place: str, low: int = 0, high: int | None = None) -> int:
    """A whole number from `low` to `high`.

    Raises:
        WrongValue: no whole number, or outside its range.
    """
    number = parse_number(value, place, low, math.inf if high is None else high)
    if number != int(number):
        raise WrongValue(place, f"{number:g} is no whole number; leave out the fraction")
    return int(number)


def parse_text(value: Any, place: str) -> str:
    """Some text that is not empty.

    Raises:
        WrongValue: no text, or nothing but spaces.
    """
    if not isinstance(value, str):
        raise WrongValue(place, f"{shown(value)} is no text; put it in quotes")
    if not value.strip():
        raise WrongValue(place, "is empty; write something")
    return value


def parse_flag(value: Any, place: str) -> bool:
    """True or false.

    Raises:
        WrongValue: neither.
    """
    if not isinstance(value, bool):
        raise WrongValue(place, f"{shown(value)} is neither; write true or false")
    return value


def parse_choice(value: Any, place: str, kind: str, known: Iterable[str]) -> str:
    """One of the known words.

    Args:
        value: what the document has there.
        place: where it stands.
        kind: what such a word is called, for the refusal (``site``, ``colour of the palette``).
        known: the words.

    Raises:
        UnknownWord: another word; the nearest known one is offered.
    """
    word = parse_text(value, place)
    known = tuple(known)
    if word not in known:
        raise UnknownWord(place, word, kind, known)
    return word


def parse_day(value: Any, place: str) -> date:
    """A calendar day, written ``2026-03-01``.

    Raises:
        WrongValue: no such day.
    """
    text = parse_text(value, place)
    try:
        day = date.fromisoformat(text)
    except ValueError:
        day = None
    if day is None or day.isoformat() != text:
        raise WrongValue(place, f"{shown(value)} is no day; write it as 2026-03-01")
    return day


def parse_moment(value: Any, place: str) -> datetime:
    """A day and a time of day, written ``2026-01-03T07:30``; seconds and an offset from UTC may follow.

    Raises:
        WrongValue: no such moment.
    """
    text = parse_text(value, place)
    try:
        moment = datetime.fromisoformat(text) if _MOMENT.match(text) else None
    except ValueError:
        moment = None
    if moment is None:
        raise WrongValue(place, f"{shown(value)} is no moment; write it as 2026-01-03T07:30")
    return moment


def _range(low: float, high: float) -> str:
    if math.isinf(high):
        return f"give at least {low:g}"
    if math.isinf(low):
        return f"give at most {high:g}"
    return f"give {low:g} to {high:g}"
