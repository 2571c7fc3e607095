"""Birds that are missing, escaped, found again or presumed dead; and birds nobody is to look for."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from tarsus.actions.birds.alive import refuse_dead
from tarsus.actions.birds.quarantine import refuse_found_past_quarantine
from tarsus.actions.birds.stays import begin_stay, end_stay, open_stay, park_day
from tarsus.actions.known import known, known_bird, known_exhibit, known_person
from tarsus.actions.refusals import AlreadySo, NotThere, OutOfOrder
from tarsus.actions.telling import Told, insert_once, write_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.queries.flock import whereabouts_of
from tarsus.records.models import Missing, NotLookedFor
from tarsus.records.models.words import NotLookedForWhy, Whereabouts


@transaction.atomic
def record_whereabouts(
    *, told: Told, bird_id: int, state: str, exhibit_id: int | None = None, note: str = ""
) -> bool:
    """Write down that a bird is missing, escaped, presumed dead, or that it was found again.

    A missing or escaped bird keeps its home: it is looked for and not counted on. One presumed dead loses it.
    Nothing else ever changes this: neither a model nor an inferred sighting finds a missing bird.

    Args:
        told: who says so, and when it was.
        bird_id: which bird.
        state: ``missing``, ``escaped``, ``presumed dead`` or ``found again``.
        exhibit_id: where it was found; needed where it has no home any more.
        note: how.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird or exhibit.
        UnknownWord: no such state.
        AlreadySo: it is so by the record already, was never missing, or is dead.
        NotThere: it left or died; or it is not said where it lives from now on.
        HeldInQuarantine: the vet had not released it, and it would live among others.
    """
    bird = known_bird(bird_id)
    if state not in Whereabouts.values:
        raise UnknownWord("state", state, "state", Whereabouts.values)
    exhibit = None if exhibit_id is None else known_exhibit(exhibit_id)
    columns = {"bird_id": bird_id, "state": state, "exhibit_id": exhibit_id, "note": note}
    before = whereabouts_of([bird_id], park_day(told.happened_at)).get(bird_id, "")
    if not write_once(Missing, told, columns):
        return False
    refuse_dead(bird)
    on, home = park_day(told.happened_at), open_stay(bird)
    if before == state or (state == Whereabouts.FOUND_AGAIN and not before):
        raise AlreadySo(
            "state", f"{bird} is {before or 'not missing'} by the record already; nothing to write"
        )
    if home is None and before != Whereabouts.PRESUMED_DEAD:
        raise NotThere("bird", f"{bird} lives in no exhibit now; let it arrive first")
    if state == Whereabouts.PRESUMED_DEAD and home is not None:
        end_stay(home, on, told.by, told.id)
    if state == Whereabouts.FOUND_AGAIN and home is None:
        if exhibit is None:
            raise NotThere("exhibit", f"is missing; say where {bird} lives now")
        refuse_found_past_quarantine(bird, exhibit, told.happened_at)
        begin_stay(bird, exhibit.pk, on, told.by, reason="found again", through=told.id)
    return True


@transaction.atomic
def begin_not_looked_for(
    *,
    why: str,
    from_on: date,
    by: int,
    bird_id: int | None = None,
    exhibit_id: int | None = None,
    to_on: date | None = None,
    note: str = "",
    deed: UUID | None = None,
) -> int:
    """Say that a bird, or everybody in an exhibit, is not looked for: unseen is then no miss.

    Returns:
        The row's id; the same deed told twice writes one.

    Raises:
        Unknown: no such bird or exhibit.
        UnknownWord: no such reason.
        WrongValue: neither or both of bird and exhibit.
        OutOfOrder: it ends before it begins.
    """
    if deed is not None and (done := NotLookedFor.objects.filter(deed=deed).first()) is not None:
        return done.pk
    known_person(by)
    if why not in NotLookedForWhy.values:
        raise UnknownWord("why", why, "reason", NotLookedForWhy.values)
    if (bird_id is None) == (exhibit_id is None):
        raise WrongValue("bird", "name either one bird or one exhibit")
    if bird_id is not None:
        known_bird(bird_id)
    if exhibit_id is not None:
        known_exhibit(exhibit_id)
    if to_on is not None and to_on < from_on:
        raise OutOfOrder("to_on", f"{to_on} is before {from_on}; exchange them")
    row = NotLookedFor(
        why=why,
        from_on=from_on,
        to_on=to_on,
        bird_id=bird_id,
        exhibit_id=exhibit_id,
        note=note,
        recorded_by_id=by,
        deed=deed,
    )
    return insert_once(row, deed).pk


@transaction.atomic
def end_not_looked_for(*, spell_id: int, on: date, by: int) -> None:
    """Say that from a day on it is looked for again.

    Raises:
        Unknown: no such spell.
        OutOfOrder: before it began.
    """
    row = known(NotLookedFor, spell_id, "spell")
    known_person(by)
    if on < row.from_on:
        raise OutOfOrder("on", f"{on} is before it began ({row.from_on}); choose a later day")
    row.to_on, row.ended_by_id, row.ended_at = on, by, timezone.now()
    row.save(update_fields=["to_on", "ended_by", "ended_at"])
