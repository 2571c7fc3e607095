"""Starting, closing, opening again and not doing a round; counting; birds in view together.

Decision 0010.
"""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.db import transaction

from tarsus.actions.asked_once import as_a_whole
from tarsus.actions.known import known_exhibit, known_place, known_round
from tarsus.actions.refusals import AlreadySo, OutOfOrder
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.core.rounds.call import RollCall
from tarsus.core.rounds.span import joinable
from tarsus.queries.days import park_zone
from tarsus.queries.rounds import roll_call, round_span
from tarsus.records.models import (
    Count,
    Group,
    Round,
    RoundClosed,
    RoundLight,
    RoundNotDone,
    RoundReopened,
    RoundStarted,
)


@transaction.atomic
def start_round(*, told: Told, round_id: UUID, exhibit_id: int) -> bool:
    """Start calling the roll of an exhibit. Hearing the same start twice changes nothing.

    A second round of an exhibit in which one is open already is started as well: the phone had no signal and
    could not know. Both are read together as one roll call.

    Returns:
        Whether it was written now.

    Raises:
        Retold: this start was told before with other contents.
        AlreadySo: the round was started before under another id.
        Unknown: no such exhibit.
    """
    known_exhibit(exhibit_id)
    _round_of(round_id, exhibit_id)
    other = RoundStarted.objects.filter(round_id=round_id).exclude(pk=told.id).first()
    if other is not None:
        raise AlreadySo("round", f"round {round_id} was started before; go on in it")
    return write_once(RoundStarted, told, {"round_id": round_id})


@transaction.atomic
def close_round(*, told: Told, round_id: UUID) -> bool:
    """Close a round and keep the version that is known now.

    What is heard later is welcome and stands beside this version, which never changes. Two phones may both
    close a round: both closings are kept, and the first one's version is the round's.

    Returns:
        Whether it was written now.

    Raises:
        UnknownRound: no round has this id.
    """
    known_round(round_id)
    call = roll_call(round_id, told.happened_at)
    return write_once(RoundClosed, told, {"round_id": round_id}, derived={"version": version_of(call)})


@transaction.atomic
def reopen_round(*, told: Told, round_id: UUID) -> bool:
    """Open a round again that was over. What it held when it was closed stays on record.

    Returns:
        Whether it was written now.

    Raises:
        UnknownRound: no round has this id.
        OutOfOrder: the round is of another day, or too old to go on.
    """
    known_round(round_id)
    begun_at = round_span(round_id, told.happened_at).begun_at
    if not joinable(begun_at, told.happened_at, park_zone()):
        raise OutOfOrder("round", "was begun too long ago to be opened again; begin another round")
    return write_once(RoundReopened, told, {"round_id": round_id})


@as_a_whole
def tell_light(*, told: Told, round_id: UUID, light: str, mud: bool = False) -> bool:
    """Write down in which light a round is read, and whether bands are muddy. The latest word stands.

    Returns:
        Whether it was written now.

    Raises:
        UnknownRound: no round has this id.
    """
    known_round(round_id)
    return write_once(RoundLight, told, {"round_id": round_id, "light": light, "mud": mud})


@transaction.atomic
def give_round_up(*, told: Told, round_id: UUID, exhibit_id: int, because: str, lookalike: str = "") -> bool:
    """Write down that a round was not done, and why.

    Where a look-alike group is named, only that group was not called: the round of the others goes on.

    Returns:
        Whether it was written now.

    Raises:
        WrongValue: no reason was given.
        Unknown: no such exhibit.
    """
    if not because.strip():
        raise WrongValue("because", "is empty; say why the round was not done")
    known_exhibit(exhibit_id)
    _round_of(round_id, exhibit_id)
    columns = {"round_id": round_id, "because": because.strip(), "lookalike": lookalike}
    return write_once(RoundNotDone, told, columns)


@as_a_whole
def record_count(*, told: Told, round_id: UUID, lookalike: str, counted: int) -> bool:
    """Write down how many birds of a look-alike group were counted. Two counts that differ both stand.

    Returns:
        Whether it was written now.

    Raises:
        UnknownRound: no round has this id.
        OutOfOrder: a count below none.
    """
    known_round(round_id)
    if counted < 0:
        raise OutOfOrder("counted", f"{counted} is less than none; count again")
    return write_once(Count, told, {"round_id": round_id, "lookalike": lookalike, "counted": counted})


@as_a_whole
def record_group(
    *, told: Told, round_id: UUID, group: UUID, size: int, place_id: int | None = None, flew: bool = False
) -> bool:
    """Write down that so many birds were in view together, or that they flew. The latest word stands.

    Returns:
        Whether it was written now.

    Raises:
        UnknownRound: no round has this id.
        Unknown: no such place in the exhibit.
    """
    row = known_round(round_id)
    known_place(place_id, row.exhibit_id)
    columns = {"round_id": round_id, "group": group, "size": size, "place_id": place_id, "flew": flew}
    return write_once(Group, told, columns)


def version_of(call: RollCall) -> dict[str, Any]:
    """What a roll call holds, as plain JSON: the version that a closed round keeps."""
    return {
        "counts": {one.lookalike: one.lowest.counted for one in call.counts.values()},
        "called": sorted(name for name, (state, _) in call.groups.items() if state in ("begun", "called")),
        "observed": sorted(call.observed),
        "doubtful": sorted(call.doubtful),
        "inferred": sorted(call.inferred),
        "sightings": [str(one.id) for one in call.sightings],
    }


def _round_of(round_id: UUID, exhibit_id: int) -> None:
    row, _ = Round.objects.get_or_create(pk=round_id, defaults={"exhibit_id": exhibit_id})
    if row.exhibit_id != exhibit_id:
        raise WrongValue("exhibit", f"round {round_id} is of another exhibit; start a round of its own here")
