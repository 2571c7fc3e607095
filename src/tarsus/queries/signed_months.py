"""Months that were signed: their figures as they were, and what was told about them afterwards."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any, Final
from uuid import UUID

from tarsus.core.care.inventory.balance import InventoryLine
from tarsus.core.deeds.register import DEEDS
from tarsus.queries.days import day_ends, park_zone
from tarsus.queries.inventory import ExhibitInventory, MonthInventory, month_days
from tarsus.queries.told_deeds import names_for, told_in_words
from tarsus.records.models import DeedBird, PrintedInventory, ToldDeed

HELD: Final = "held"
OWNED: Final = "owned"
COUNTS_BIRDS: Final = (
    "bird_added",
    "bird_changed",
    "arrival",
    "birds_come",
    "moved",
    "whereabouts",
    "presumed_dead",
    "departure",
    "owner_changed",
    "death",
    "carcase_named",
    "sex_finding",
    "result_placed",
    "nest_begun",
    "nest_event",
    "bird_from_nest",
)
"""The deeds that can change a number of an inventory."""


@dataclass(frozen=True, slots=True)
class Adjustment:
    """One number that is another one now than when the month was signed.

    `basis` is ``held`` or ``owned``; `exhibit` the one whose inventory it stands in, empty for the park's.
    """

    basis: str
    exhibit: str
    species: str
    sex: str
    column: str
    signed: int
    now: int


@dataclass(frozen=True, slots=True)
class LaterFact:
    """Something about a signed month that was told after it was signed; `words` say what, `birds` of whom."""

    told_at: datetime
    told_by: str
    happened_at: datetime
    words: str
    birds: tuple[tuple[int, str], ...]
    why_corrected: str = ""


@dataclass(frozen=True, slots=True)
class SignedExhibit:
    """One exhibit's lines as they were signed."""

    exhibit_id: int
    exhibit: str
    held: tuple[InventoryLine, ...]


@dataclass(frozen=True, slots=True)
class SignedMonth:
    """A month's inventory as it was signed, with what has become known since."""

    version: int
    month: date
    signed_at: datetime
    signed_by: str
    held: tuple[InventoryLine, ...]
    owned: tuple[InventoryLine, ...]
    exhibits: tuple[SignedExhibit, ...]
    adjustments: tuple[Adjustment, ...]
    later: tuple[LaterFact, ...]


def signed_months(known: MonthInventory) -> tuple[SignedMonth, ...]:
    """What was signed for a month, the oldest first, each with what has become known since.

    A signed month keeps its figures. What arrives later stands beside it as an adjustment with its date.

    Args:
        known: the month as it is known now.
    """
    month = known.whole.first_day
    rows = PrintedInventory.objects.filter(month=month).select_related("printed_by")
    now = as_plain(known)
    return tuple(_signed(row, now) for row in rows.order_by("printed_at", "pk"))


def as_plain(told: MonthInventory) -> dict[str, list[dict[str, Any]]]:
    """A month's lines as plain JSON, as a signed one is kept."""
    return {
        HELD: [asdict(line) for line in told.whole.held],
        OWNED: [asdict(line) for line in told.whole.owned],
        "exhibits": [_plain_exhibit(one) for one in told.exhibits],
    }


def _plain_exhibit(one: ExhibitInventory) -> dict[str, Any]:
    held = [asdict(line) for line in one.inventory.held]
    return {"exhibit_id": one.exhibit_id, "exhibit": one.exhibit, HELD: held}


def _signed(row: PrintedInventory, now: Mapping[str, Any]) -> SignedMonth:
    lines = row.lines
    exhibits = lines.get("exhibits", [])  # a month signed before exhibits were kept has none
    adjustments = [
        one for basis in (HELD, OWNED) for one in _differences((basis, ""), lines[basis], now[basis])
    ]
    if exhibits:
        adjustments += _exhibit_differences(exhibits, now["exhibits"])
    return SignedMonth(
        version=row.pk,
        month=row.month,
        signed_at=row.printed_at,
        signed_by=row.printed_by.display_name,
        held=_lines(lines[HELD]),
        owned=_lines(lines[OWNED]),
        exhibits=tuple(SignedExhibit(e["exhibit_id"], e["exhibit"], _lines(e[HELD])) for e in exhibits),
        adjustments=tuple(adjustments),
        later=_later_facts(row.printed_at, row.month) if adjustments else (),
    )


def _lines(kept: Iterable[Mapping[str, Any]]) -> tuple[InventoryLine, ...]:
    return tuple(InventoryLine(**line) for line in kept)


def _exhibit_differences(
    signed: Iterable[Mapping[str, Any]], now: Iterable[Mapping[str, Any]]
) -> list[Adjustment]:
    was = {one["exhibit_id"]: one for one in signed}
    is_now = {one["exhibit_id"]: one for one in now}
    found: list[Adjustment] = []
    for key in sorted(was.keys() | is_now.keys()):
        before, after = was.get(key, {}), is_now.get(key, {})
        where = (HELD, str((before or after)["exhibit"]))
        found += _differences(where, before.get(HELD, ()), after.get(HELD, ()))
    return found


def _differences(
    where: tuple[str, str], signed: Iterable[Mapping[str, Any]], now: Iterable[Mapping[str, Any]]
) -> list[Adjustment]:
    was = {(line["species"], line["sex"]): line for line in signed}
    is_now = {(line["species"], line["sex"]): line for line in now}
    columns = [name for name in InventoryLine.__dataclass_fields__ if name not in ("species", "sex")]
    return [
        Adjustment(*where, *key, column, before, after)
        for key in sorted(was.keys() | is_now.keys())
        for column in columns
        if (before := was.get(key, {}).get(column, 0)) != (after := is_now.get(key, {}).get(column, 0))
    ]


def _later_facts(signed_at: datetime, month: date) -> tuple[LaterFact, ...]:
    """What was told after a moment of what had happened by the end of a month; corrections of such too."""
    end = day_ends(month_days(month)[1], park_zone())
    late = ToldDeed.objects.filter(recorded_at__gt=signed_at, kind__in=(*COUNTS_BIRDS, "withdrawn"))
    told = list(late.select_related("by").order_by("recorded_at", "pk"))
    corrected = [row.corrects for row in told if row.corrects is not None]
    earlier = {row.pk: row for row in ToldDeed.objects.filter(pk__in=corrected, kind__in=COUNTS_BIRDS)}
    found: list[tuple[ToldDeed, datetime]] = []
    for row in told:
        was = earlier.get(row.corrects) if row.corrects else None
        days = [one.happened_at for one in (row, was) if one is not None and one.kind != "withdrawn"]
        if days and min(days) < end:
            found.append((row, min(days)))
    names = names_for([(DEEDS[row.kind], row.contents) for row, _ in found])
    birds: dict[UUID, list[tuple[int, str]]] = defaultdict(list)
    about = DeedBird.objects.filter(deed__in=[row.pk for row, _ in found]).select_related("bird")
    for one in about.order_by("pk"):
        birds[one.deed_id].append((one.bird_id, str(one.bird)))
    return tuple(
        LaterFact(
            row.recorded_at,
            row.by.display_name,
            happened_at,
            told_in_words(DEEDS[row.kind], row.contents, names),
            tuple(birds[row.pk]),
            row.why_corrected,
        )
        for row, happened_at in found
    )
