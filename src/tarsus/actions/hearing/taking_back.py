"""Taking a deed back: it stays written and counts no longer, and what followed from it is put right."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Final
from uuid import UUID, uuid5

from django.db import transaction
from django.utils import timezone

from tarsus.actions.bands.planning import reopen_kept_marks, settle_kept_marks
from tarsus.actions.bands.stock import change_stock, count_otherwise, put_back_in_stock
from tarsus.actions.birds.stays import park_day, undo_stays
from tarsus.actions.care.joining import note_of, spoken_in
from tarsus.actions.hearing.bound import Earlier, TakeBack
from tarsus.actions.refusals import AlreadySo, OutOfOrder, UnknownFact
from tarsus.actions.telling import Told, write_once
from tarsus.core.deeds.register import DEEDS
from tarsus.core.errors import WrongValue
from tarsus.core.words.mistaken import mistaken
from tarsus.records.fact_tables import fact_tables, kind_of
from tarsus.records.models import (
    Band,
    BandOwnerNamed,
    Case,
    CatchUp,
    Handling,
    NaturalMark,
    PlannedMarks,
    ToldDeed,
    Withdrawal,
)
from tarsus.records.models.facts import Fact, Spell
from tarsus.records.models.words import WhyOff
from tarsus.records.standing import TURNS

BROUGHT_BACK: Final = (
    "round_started",
    "round_closed",
    "round_reopened",
    "round_light",
    "round_not_done",
    "count",
    "group",
    "sighting",
    "report",
    "report_answered",
)
"""Deeds that an undone undo brings back; others moved a bird, a band or a case when they were withdrawn."""


def earlier_deed(fact_id: UUID, place: str = "corrects") -> Earlier:
    """The deed, or the fact of before the ledger, that has this id.

    Raises:
        UnknownFact: it was not heard yet.
    """
    told = ToldDeed.objects.filter(pk=fact_id).first()
    if told is not None:
        return Earlier(told.pk, told.kind, told.contents, told.wrote)
    kind = kind_of(fact_id)
    if kind is None:
        raise UnknownFact(place, fact_id, "fact")
    return Earlier(fact_id, _deed_of_table(kind), {}, {})


def in_place_of(told: Told) -> Earlier | None:
    """The deed that the one being told now corrects, taken back a moment ago; none where it corrects none."""
    row = Withdrawal.objects.filter(pk=id_of_correction(told.id)).first()
    return None if row is None else earlier_deed(row.withdraws)


def id_of_correction(deed: UUID) -> UUID:
    """The id of the withdrawal by which a deed takes the place of an earlier one."""
    return uuid5(deed, "in place of")


def _deed_of_table(kind: str) -> str:
    """The deed whose row a fact of before the ledger is: the first that writes into its table."""
    table = str(fact_tables()[kind]._meta.model_name)
    return next((deed.name for deed in DEEDS.values() if deed.table == table), kind)


@transaction.atomic
def withdraw(*, told: Told, fact_id: UUID, because: str, put_right: TakeBack | None = None) -> bool:
    """Say that a deed was a mistake. It stays written and counts no longer.

    Where it began or ended a bird's stay (a move, an arrival, a death), the stay is put right with it. The
    withdrawal of something told in a roll call can be a mistake too: withdrawn, it takes nothing back; and
    what withdrew it can be withdrawn in its turn.

    Args:
        told: who says so.
        fact_id: the deed that was one.
        because: why.
        put_right: what puts its other consequences right.

    Returns:
        Whether it was written now.

    Raises:
        UnknownFact: the fact it corrects was not heard yet.
        WrongValue: no reason; or it cannot be taken back.
        OutOfOrder: it moved a bird that was moved again since; that must be withdrawn first.
        AlreadySo: it was taken back before.
    """
    if not because.strip():
        raise WrongValue("because", "is empty; say why it was a mistake")
    earlier = earlier_deed(fact_id)
    if earlier.kind in ("withdrawn", "withdrawal"):
        _brings_back(fact_id)
    elif earlier.kind in DEEDS and (final := DEEDS[earlier.kind].final):
        raise WrongValue("corrects", f"cannot be taken back; {final}")
    columns = {"withdraws": fact_id, "because": because.strip()}
    if not write_once(Withdrawal, told, columns, derived={"kind": earlier.kind[:30]}):
        return False
    if Withdrawal.objects.filter(withdraws=fact_id).exclude(pk=told.id).exists() and put_right is not None:
        return True
    undo_stays(fact_id, told.by, because.strip())
    if put_right is not None:
        put_right(earlier, told, because.strip())
    return True


def _brings_back(withdrawal_id: UUID) -> None:
    """Let a withdrawal be withdrawn where nothing but its fact counts again by it, or no longer."""
    turns, kind, fact_id = 0, "", withdrawal_id
    rows = Withdrawal.objects.values_list("withdraws", "kind")
    while (row := rows.filter(pk=fact_id).first()) is not None:
        turns, (fact_id, kind) = turns + 1, row
    if kind.replace(" ", "_") not in BROUGHT_BACK or turns >= TURNS:
        raise WrongValue("corrects", "is itself a withdrawal; record the fact again under a new id")


def begun(table: type[Spell]) -> TakeBack:
    """Take back a row that lasts, which the deed began."""

    def take_back(earlier: Earlier, told: Told, because: str) -> None:
        row = table._default_manager.filter(deed=earlier.id).first()
        if row is None:
            raise AlreadySo("corrects", "it found what was written before; take that back instead")
        _take_back(row, told, because)

    return take_back


def _take_back(row: Spell, told: Told, because: str) -> None:
    if row.taken_back_at is None:
        row.taken_back_by_id, row.taken_back_at = told.by, timezone.now()
        row.taken_back_because = because
        row.save(update_fields=["taken_back_by", "taken_back_at", "taken_back_because"])


def ended(table: type[Spell], field: str, *emptied: str) -> TakeBack:
    """Let a row go on that the deed ended.

    Args:
        table: of the row.
        field: the deed's field that names it.
        *emptied: columns that say why it ended.
    """

    def take_back(earlier: Earlier, _told: Told, _because: str) -> None:
        _go_on(table, int(earlier.contents[field]), emptied)

    return take_back


def _go_on(table: type[Spell], key: int, emptied: tuple[str, ...]) -> None:
    row = table._default_manager.get(pk=key)
    if row.taken_back_at is not None:
        raise OutOfOrder("corrects", "what it ended was taken back since; there is nothing to go on")
    values = {"to_on": None, "ended_by": None, "ended_at": None, **dict.fromkeys(emptied, "")}
    for name, value in values.items():
        setattr(row, name, value)
    row.save(update_fields=list(values))


def band_was_never_on(earlier: Earlier, told: Told, because: str) -> None:
    """Take back a band that was written down by mistake: the drawer has it again, kept marks wait again."""
    begun(Band)(earlier, told, because)
    band = Band.objects.get(deed=earlier.id)
    put_back_in_stock(band, told.by, because)
    marks_again(band.bird_id, told, band.from_on)


def band_goes_on(earlier: Earlier, told: Told, because: str) -> None:
    """Let a band be worn on that was not off."""
    band = Band.objects.get(pk=int(earlier.contents["band"]))
    ended(Band, "band", "why_off")(earlier, told, because)
    marks_again(band.bird_id, told, band.to_on or band.from_on)


def owner_was_another(earlier: Earlier, told: Told, _because: str) -> None:
    """Let a band be worn on that was taken for a found one, unless another deed had taken it off before."""
    band = Band.objects.get(pk=int(earlier.contents["band"]))
    named = BandOwnerNamed.objects.select_related("found").get(pk=earlier.id)
    found_on = park_day(named.found.happened_at)
    by_its_name = band.ended_at is not None and band.ended_at >= named.recorded_at
    if by_its_name and (band.to_on, band.why_off) == (found_on, WhyOff.LOST):
        _go_on(Band, band.pk, ("why_off",))
        marks_again(band.bird_id, told, found_on)


def mark_as_before(earlier: Earlier, _told: Told, _because: str) -> None:
    """Let a natural mark be as it was before it was looked at again; a look since then has the later word."""
    mark = int(earlier.contents["mark"])
    if not earlier.contents.get("still_there"):
        _go_on(NaturalMark, mark, ())
        return
    if "before" not in earlier.wrote:
        raise OutOfOrder("corrects", "does not say how the mark was before; look at it again instead")
    as_told = NaturalMark.objects.filter(pk=mark, review_on=earlier.contents.get("next_on") or None)
    as_told.update(review_on=earlier.wrote["before"] or None)


def marks_again(bird_id: int, told: Told, since: date) -> None:
    """Let kept marks wait or count as fitted, as it follows once something of a day was taken back."""
    if not reopen_kept_marks(bird_id=bird_id, at=told.happened_at, since=since):
        settle_kept_marks(bird_id=bird_id, at=told.happened_at, by=told.by)


def undo_stock_change(earlier: Earlier, told: Told, because: str) -> None:
    """Change the drawer the other way; both lines stay."""
    said = earlier.contents
    change_stock(
        kind=said["what"],
        colour=said.get("colour") or "",
        size=said["size"],
        by_amount=-int(said["by_amount"]),
        because=mistaken(because, 120),
        by=told.by,
    )


def undo_stock_count(earlier: Earlier, told: Told, because: str) -> None:
    """Put a count right that was a mistake, by the difference that it made; both lines stay."""
    count_otherwise(
        stock_id=int(earlier.contents["stock"]),
        difference=-int(earlier.wrote["difference"]),
        because=mistaken(because, 120),
        by=told.by,
    )


def reopen_case(earlier: Earlier, _told: Told, _because: str) -> None:
    """Let a case be open again that was closed by mistake."""
    Case.objects.filter(pk=int(earlier.contents["case"])).update(
        closed_at=None, closed_by=None, closed_because=""
    )


def close_mistaken_case(earlier: Earlier, told: Told, because: str) -> None:
    """Close a case that was opened by mistake, with the reason."""
    Case.objects.filter(pk=int(earlier.wrote["case"]), closed_at__isnull=True).update(
        closed_at=timezone.now(), closed_by=told.by, closed_because=mistaken(because, 300)
    )


def drop_kept_marks(earlier: Earlier, told: Told, _because: str) -> None:
    """Drop marks that were kept by mistake."""
    PlannedMarks.objects.filter(pk=int(earlier.wrote["planned"]), fitted_at__isnull=True).update(
        dropped_at=timezone.now(), ended_by=told.by
    )


def drop_mistaken_catch_up(earlier: Earlier, _told: Told, _because: str) -> None:
    """Drop a catch-up that was kept by mistake."""
    CatchUp.objects.filter(pk=int(earlier.wrote["catch_up"]), done_at__isnull=True).update(
        dropped_at=timezone.now()
    )


def go_on_with_catch_up(earlier: Earlier, _told: Told, _because: str) -> None:
    """Let a catch-up go on that was finished by mistake."""
    CatchUp.objects.filter(pk=int(earlier.contents["catch_up"])).update(done_at=None)


def close_case_of_concern(earlier: Earlier, told: Told, because: str) -> None:
    """Close the case that a mistaken concern opened, unless somebody spoke in it; or take its word out."""
    case = Case.objects.filter(concern_id=earlier.id, closed_at__isnull=True).first()
    if case is not None and not spoken_in(case):
        _close_as_mistaken(case, told, because)
    joined = note_of(earlier.id)
    if kind_of(joined) is not None:
        _withdraw_part(joined, told, because)


def _close_as_mistaken(case: Case, told: Told, because: str) -> None:
    case.closed_at, case.closed_by_id = timezone.now(), told.by
    case.closed_because = mistaken(because, 300)
    case.save(update_fields=["closed_at", "closed_by", "closed_because"])


def undo_handling(earlier: Earlier, told: Told, because: str) -> None:
    """Take back all that a handling wrote: weights, checks, sample, bands put on and taken off, its case."""
    handling = Handling.objects.get(pk=earlier.id)
    facts: list[Fact] = [
        *handling.weighings.all(),
        *handling.band_checks.all(),
    ]
    parts = {row.pk for row in facts} | {uuid5(earlier.id, "sample"), uuid5(earlier.id, "read before")}
    for part in sorted(parts):
        if kind_of(part) is not None:
            _withdraw_part(part, told, because)
    for number, _ in enumerate(earlier.contents.get("put_on") or ()):
        band = Band.objects.filter(deed=uuid5(earlier.id, f"put on {number}")).first()
        if band is not None:
            _take_back(band, told, because)
            put_back_in_stock(band, told.by, because)
    for off in earlier.contents.get("taken_off") or ():
        _go_on(Band, int(off["band"]), ("why_off",))
    marks_again(handling.bird_id, told, park_day(handling.happened_at))
    case = Case.objects.filter(handling_id=earlier.id, closed_at__isnull=True).first()
    if case is not None and not spoken_in(case):
        _close_as_mistaken(case, told, because)


def _withdraw_part(part: UUID, told: Told, because: str) -> None:
    """Withdraw a fact that an earlier deed wrote beside its own."""
    mine = replace(told, id=uuid5(told.id, str(part)))
    columns = {"withdraws": part, "because": because}
    write_once(Withdrawal, mine, columns, derived={"kind": kind_of(part) or ""})
