"""Values of a fact as a phone sends it, each refused with its place and the remedy."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

from tarsus.core.documents.values import (
    child,
    parse_chance,
    parse_each,
    parse_object,
    parse_text,
    parse_whole,
    shown,
)
from tarsus.core.errors import WrongValue

Answer = TypeVar("Answer")


def parse_id(value: Any, place: str) -> UUID:
    """An id that a phone chose.

    Raises:
        WrongValue: no UUID.
    """
    try:
        return UUID(parse_text(value, place))
    except ValueError:
        raise WrongValue(place, f"{shown(value)} is no id; let the phone choose a UUID") from None


def parse_moment(value: Any, place: str) -> datetime:
    """A moment with its offset from Greenwich.

    Raises:
        WrongValue: no such moment, or no offset.
    """
    text = parse_text(value, place)
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise WrongValue(
            place, f"{shown(value)} is no moment; write it as 2026-06-11T07:41:02+01:00"
        ) from None
    if moment.tzinfo is None:
        raise WrongValue(place, f"{shown(value)} has no offset; write it as 2026-06-11T07:41:02+01:00")
    return moment


def parse_number_of(value: Any, place: str) -> int:
    """The number of a row of the register.

    Raises:
        WrongValue: no whole number from 1.
    """
    return parse_whole(value, place, 1, 2**62)


def parse_candidate(value: Any, place: str) -> tuple[int, float]:
    """A bird and its chance.

    Raises:
        WrongValue: another kind of value.
    """
    parse_object(value, place, ("bird", "chance"), ("bird", "chance"))
    return (
        parse_number_of(value["bird"], child(place, "bird")),
        parse_chance(value["chance"], child(place, "chance")),
    )


def given(fact: Mapping[str, Any], key: str, parse: Callable[[Any, str], Answer], absent: Answer) -> Answer:
    """The value of a key, or `absent` where it is missing or null.

    Raises:
        WrongValue: whatever `parse` refuses.
    """
    return absent if fact.get(key) is None else parse(fact[key], key)


def texts(value: Any, place: str) -> tuple[str, ...]:
    """A list of texts.

    Raises:
        WrongValue: no list, or an entry that is no text.
    """
    return parse_each(value, place, parse_text)


def any_text(value: Any, place: str) -> str:
    """Some text, which may be empty.

    Raises:
        WrongValue: no text.
    """
    if not isinstance(value, str):
        raise WrongValue(place, f"{shown(value)} is no text; put it in quotes")
    return value
