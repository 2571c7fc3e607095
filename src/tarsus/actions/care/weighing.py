"""Weights, health checks and the look on the day after."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from tarsus.actions.asked_once import as_a_whole
from tarsus.actions.known import known, known_bird
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.records.models import Handling, HealthCheck, NextDayCheck, Weighing
from tarsus.records.models.words import WeighedWhere


@as_a_whole
def record_weighing(
    *,
    told: Told,
    bird_id: int,
    weight_g: float,
    where: str,
    scale: str = "",
    fed: bool | None = None,
    moulting: bool = False,
    handling_id: UUID | None = None,
) -> bool:
    """Write down one weight, with its hour, its scale and whether the bird had been fed.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird.
        UnknownWord: neither in hand nor on a perch scale.
        WrongValue: no weight that a bird can have.
    """
    known_bird(bird_id)
    if where not in WeighedWhere.values:
        raise UnknownWord("where", where, "way of weighing", WeighedWhere.values)
    if not 0 < weight_g <= 200_000:
        raise WrongValue("weight_g", f"{weight_g:g} g is no bird's weight; give grams")
    columns = {
        "bird_id": bird_id,
        "weight_g": float(weight_g),
        "where": where,
        "scale": scale,
        "fed": fed,
        "moulting": moulting,
        "handling_id": handling_id,
    }
    return write_once(Weighing, told, columns)


@as_a_whole
def record_health_check(*, told: Told, bird_id: int, well: bool, found: str = "") -> bool:
    """Write down that a bird was looked at for its health's sake: more than that it was seen.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird.
        WrongValue: not well, and not said what was found.
    """
    known_bird(bird_id)
    if not well and not found.strip():
        raise WrongValue("found", "is empty; say what was found")
    return write_once(HealthCheck, told, {"bird_id": bird_id, "well": well, "found": found.strip()})


@transaction.atomic
def check_next_day(*, told: Told, handling_id: UUID, well: bool, note: str = "") -> bool:
    """Write down how a bird was on the day after it had been in hand.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such handling.
        WrongValue: not well, and not said how.
    """
    known(Handling, handling_id, "handling")
    if not well and not note.strip():
        raise WrongValue("note", "is empty; say how it was")
    return write_once(NextDayCheck, told, {"handling_id": handling_id, "well": well, "note": note.strip()})
