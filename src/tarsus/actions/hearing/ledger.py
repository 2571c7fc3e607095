"""The ledger of told deeds: what was heard before, and writing one down with all that follows from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from tarsus.actions.birds.quarantine import held_through, refuse_way_out
from tarsus.actions.hearing.bound import Wrote
from tarsus.actions.hearing.sending import Ready
from tarsus.actions.hearing.table import BOUND
from tarsus.actions.hearing.taking_back import earlier_deed, id_of_correction, withdraw
from tarsus.actions.telling import Told
from tarsus.records.models import DeedBird, ToldDeed


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the ledger that is not written yet, and the birds that it is about."""

    row: ToldDeed
    birds: frozenset[int]


def heard_before(ids: Iterable[UUID]) -> dict[UUID, tuple[str, str]]:
    """Kind and digest of the deeds that have these ids, in one query."""
    rows = ToldDeed.objects.filter(pk__in=ids).values_list("pk", "kind", "digest")
    return {pk: (kind, digest) for pk, kind, digest in rows}


@transaction.atomic
def write_deed(ready: Ready) -> Wrote:
    """Write a deed down, and a line of the ledger; what it corrects is taken back first.

    Returns:
        What it wrote; `now` is `False` where a fact of before the ledger had said the same.

    Raises:
        TarsusError: whatever the deed refuses. Nothing is written then.
    """
    told = ready.told
    held = held_through(ready.corrects) if ready.corrects is not None else frozenset()
    if ready.corrects is not None and ready.deed.name != "withdrawn":
        _take_back_first(ready, ready.corrects)
    wrote = BOUND[ready.deed.name].write(told, ready.values)
    refuse_way_out(held, told.by)
    if not wrote.now:
        return wrote
    write_lines([_line(ready, wrote)])
    return wrote


def write_plain(ready: Ready) -> tuple[Wrote, Line | None]:
    """Write a plain deed down that corrects nothing; its line is for the caller to write, if there is one.

    Raises:
        TarsusError: whatever the deed refuses; the caller undoes what was written until then.
    """
    wrote = BOUND[ready.deed.name].write(ready.told, ready.values)
    return wrote, _line(ready, wrote) if wrote.now else None


def write_lines(lines: Sequence[Line]) -> None:
    """Write lines of the ledger, with the birds that they are about."""
    ToldDeed.objects.bulk_create(line.row for line in lines)
    DeedBird.objects.bulk_create(
        DeedBird(deed=line.row, bird_id=bird) for line in lines for bird in sorted(line.birds)
    )


def _line(ready: Ready, wrote: Wrote) -> Line:
    told = ready.told
    row = ToldDeed(
        id=told.id,
        kind=ready.deed.name,
        contents=dict(ready.contents),
        by_id=told.by,
        happened_at=told.happened_at,
        sent_by_id=told.sent_by,
        device=told.device,
        digest=ready.digest,
        corrects=ready.corrects,
        why_corrected=ready.why_corrected,
        wrote=dict(wrote.rows),
    )
    return Line(row, ready.reach.birds | _birds_made(wrote))


def _birds_made(wrote: Wrote) -> set[int]:
    """The birds that a deed wrote into the register."""
    told = [wrote.rows[key] for key in ("bird", "birds") if key in wrote.rows]
    return {int(bird) for one in told for bird in (one if isinstance(one, list) else [one])}


def _take_back_first(ready: Ready, corrects: UUID) -> None:
    told = ready.told
    earlier = earlier_deed(corrects)
    put_right = BOUND[earlier.kind].take_back if earlier.kind in BOUND else None
    mine = Told(
        by=told.by,
        at=told.at,
        id=id_of_correction(told.id),
        clock_offset=told.clock_offset,
        device=told.device,
        sent_by=told.sent_by,
    )
    withdraw(told=mine, fact_id=corrects, because=ready.why_corrected, put_right=put_right)
