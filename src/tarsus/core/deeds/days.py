"""Days that a deed may name: what has been, or what is planned; its field says which of the two."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta
from typing import Any

from tarsus.core.deeds.fields import TOMORROW, Field
from tarsus.core.documents.values import child
from tarsus.core.errors import WrongValue


def latest_day(field: Field, today: date) -> date:
    """The last day that this field may name, as things stand today."""
    assert field.ahead is not None, f"{field.name} names no day"
    return today + timedelta(days=field.ahead)


def span_in_words(field: Field) -> str:
    """The days that this field may name, whatever day it is today."""
    return (
        f"from {field.first} to {'tomorrow' if field.ahead == TOMORROW else f'{field.ahead} days from today'}"
    )


def wrong_day(field: Field, said: date, today: date) -> str:
    """What is wrong with a day that was said, with the remedy; empty where it can be.

    Args:
        field: of a deed, a day or a moment.
        said: the day.
        today: the park's own day.
    """
    assert field.first is not None, f"{field.name} names no day"
    latest = latest_day(field, today)
    if field.first <= said <= latest:
        return ""
    off = "back" if said < field.first else "ahead"
    return f"{said} lies too far {off}; give {field.first} to {latest}"


def refuse_days_of_another_age(
    fields: Iterable[Field],
    values: Mapping[str, Any],
    today: date,
    fast: timedelta = timedelta(),
    within: str = "",
) -> None:
    """Refuse a deed of which a field names a day that cannot have been, or that nobody plans for.

    Args:
        fields: of the deed.
        values: what was read of them; fields that were not said may be absent.
        today: the park's own day.
        fast: how far the teller's clock, by which moments are told, is ahead of the register's.
        within: the place of the object that holds the fields.

    Raises:
        WrongValue: such a day, with its place.
    """
    for field in fields:
        said = values.get(field.name)
        place = child(within, field.name)
        if field.parts:
            if isinstance(said, tuple):
                for at, part in enumerate(said):
                    refuse_days_of_another_age(field.parts, part, today, fast, f"{place}[{at}]")
            elif said is not None:
                refuse_days_of_another_age(field.parts, said, today, fast, place)
        elif isinstance(said, date):
            day = (said - fast).date() if isinstance(said, datetime) else said
            if wrong := wrong_day(field, day, today):
                raise WrongValue(place, wrong)
