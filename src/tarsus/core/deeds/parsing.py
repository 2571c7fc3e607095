"""A deed's values out of plain JSON, each refused with its place and the remedy: the same for every face."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import BY_ID, BY_NUMBER, LARGEST_ID, LISTS, MOST, SEVERAL, TEXTS, Field, Kind
from tarsus.core.documents.fields import parse_marks, parse_reading
from tarsus.core.documents.values import (
    child,
    parse_choice,
    parse_day,
    parse_each,
    parse_flag,
    parse_list,
    parse_number,
    parse_object,
    parse_text,
    parse_whole,
    shown,
)
from tarsus.core.errors import WrongValue
from tarsus.core.marks.palette import Palette

FIRST_YEAR: Final = 1900
LAST_YEAR: Final = 2200

_CONTROL: Final = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
_BREAKS: Final = re.compile(r"[\n\r\t]")


def parse_values(fields: Iterable[Field], document: Mapping[str, Any], palette: Palette) -> dict[str, Any]:
    """The values of all fields of a deed; one that is left out or null has its `absent` value.

    Args:
        fields: of the deed.
        document: plain JSON; keys that are no fields are the caller's affair.
        palette: the park's colours.

    Raises:
        WrongValue: a value of the wrong kind, too long, out of range, or one that is missing.
        UnknownWord: no such word, site or colour.
    """
    return {field.name: _value(field, document, field.name, palette) for field in fields}


def parse_deed(
    deed: Deed, fact: Mapping[str, Any], envelope: Iterable[str], palette: Palette
) -> dict[str, Any]:
    """The values of a fact as its deed declares them.

    Raises:
        UnknownKey: a key that is neither a field nor of the `envelope`.
        MalformedInput: whatever is wrong with a value, with its place.
    """
    names = [field.name for field in deed.fields]
    parse_object(fact, "", (*envelope, *names), [f.name for f in deed.fields if f.required])
    said = [f for f in deed.fields if f.name in fact] if deed.partial else deed.fields
    return parse_values(said, fact, palette)


def _value(field: Field, document: Mapping[str, Any], place: str, palette: Palette) -> Any:
    said = document.get(field.name)
    if said is None or (said == "" and not field.required and field.kind is not Kind.DOCUMENT):
        if field.required:
            raise WrongValue(place, "is missing; add it")
        return field.absent
    return parse_field(field, said, place, palette)


def parse_field(field: Field, value: Any, place: str, palette: Palette) -> Any:
    """One value that was said.

    Raises:
        MalformedInput: it is none of this kind, or beyond the field's limits.
    """
    kind = field.kind
    if kind in TEXTS:
        return parse_line(value, place, field.longest, breaks=kind is Kind.TEXT, empty=not field.required)
    if kind in BY_NUMBER:
        return parse_whole(value, place, 1, LARGEST_ID)
    if kind in BY_ID:
        return parse_id(value, place)
    if kind in LISTS:
        return _list(field, value, place, palette)
    if kind is Kind.NUMBER:
        return parse_number(value, place, *_range(field))
    if kind is Kind.WHOLE:
        low, high = _range(field)
        return parse_whole(value, place, int(low), int(high))
    return _other(field, value, place, palette)


def _range(field: Field) -> tuple[float, float]:
    assert field.low is not None, f"{field.name} has no lower limit"
    assert field.high is not None, f"{field.name} has no upper limit"
    return field.low, field.high


def _other(field: Field, value: Any, place: str, palette: Palette) -> Any:
    match field.kind:
        case Kind.FLAG:
            return parse_flag(value, place)
        case Kind.DAY:
            return parse_day(value, place)
        case Kind.MOMENT:
            return parse_moment(value, place)
        case Kind.CHOICE:
            return parse_choice(value, place, field.noun, field.words)
        case Kind.READING:
            return parse_reading(value, place, palette)
        case Kind.MARKS:
            return parse_marks(value, place, palette)
        case Kind.PART:
            return _part(field, value, place, palette)
        case Kind.DOCUMENT:
            return _document(value, place)
    raise AssertionError(f"{field.kind} has no reader")


def _document(value: Any, place: str) -> Mapping[str, Any]:
    """Whatever an object holds, as long as all its words and names can be kept."""
    told = parse_object(value, place)
    left: list[Any] = [told]
    while left:
        one = left.pop()
        if isinstance(one, Mapping):
            left += [*one.keys(), *one.values()]
        elif isinstance(one, list):
            left += one
        elif isinstance(one, str) and _CONTROL.search(one):
            raise WrongValue(place, "holds a character that cannot be kept; write it anew without it")
    return told


def _list(field: Field, value: Any, place: str, palette: Palette) -> tuple[Any, ...]:
    if len(parse_list(value, place)) > MOST:
        raise WrongValue(place, f"has {len(value)} entries; give at most {MOST}")
    if field.required and not value:
        raise WrongValue(place, "is empty; name at least one")
    match field.kind:
        case Kind.WORDS:
            return parse_each(value, place, lambda v, at: parse_line(v, at, field.longest or 120))
        case Kind.CHOICES:
            return parse_each(value, place, lambda v, at: parse_choice(v, at, field.noun, field.words))
        case Kind.PARTS:
            return parse_each(value, place, lambda v, at: _part(field, v, at, palette))
    assert field.kind in SEVERAL
    return parse_each(value, place, lambda v, at: parse_whole(v, at, 1, LARGEST_ID))


def _part(field: Field, value: Any, place: str, palette: Palette) -> dict[str, Any]:
    names = [part.name for part in field.parts]
    parse_object(value, place, names, [part.name for part in field.parts if part.required])
    return {part.name: _value(part, value, child(place, part.name), palette) for part in field.parts}


def parse_line(value: Any, place: str, longest: int, *, breaks: bool = False, empty: bool = False) -> str:
    """A text of at most so many characters, without characters that no keyboard writes.

    Raises:
        WrongValue: no text, nothing in it, too long, or a character that cannot be kept.
    """
    if not isinstance(value, str):
        raise WrongValue(place, f"{shown(value)} is no text; put it in quotes")
    if _CONTROL.search(value) or (not breaks and _BREAKS.search(value)):
        raise WrongValue(place, "has a character that cannot be kept; write it anew without it")
    if not empty:
        parse_text(value, place)
    if len(value) > longest:
        raise WrongValue(place, f"has {len(value)} characters; write at most {longest}")
    return value


def parse_id(value: Any, place: str) -> UUID:
    """An id that its teller chose.

    Raises:
        WrongValue: no UUID.
    """
    try:
        return UUID(parse_text(value, place))
    except ValueError:
        raise WrongValue(place, f"{shown(value)} is no id; let the phone choose a UUID") from None


def parse_moment(value: Any, place: str) -> datetime:
    """A moment with its offset from Greenwich, of a year that a park can have.

    Raises:
        WrongValue: no such moment, no offset, or another age.
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
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise WrongValue(place, f"the year {moment.year} is out of range; give {FIRST_YEAR} to {LAST_YEAR}")
    return moment
