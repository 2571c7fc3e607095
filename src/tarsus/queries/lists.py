"""What a list must know of the register: birds and where they lived, drawers, samples, rounds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator
from datetime import date, datetime
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Max, Model

from tarsus.core.presence.chicks import counts_from
from tarsus.core.words.mistaken import A_MISTAKE
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.imports import park_palette
from tarsus.records.fact_tables import fact_tables
from tarsus.records.models import (
    Band,
    Bird,
    Colour,
    Exhibit,
    NestEvent,
    Place,
    RoundStarted,
    SexTest,
    Species,
    Stay,
    Stock,
    StockChange,
    ToldDeed,
    Transponder,
)
from tarsus.records.standing import standing
from tarsus.tables.laboratory import label_key
from tarsus.tables.list_known import ListBird, ListKnown

_AT_ONCE: Final = 500
_TABLES: Final = {
    "weighed": "weighing",
    "sighting": "sighting",
    "sex_finding": "sex finding",
    "count": "count",
    "round_started": "round started",
    "round_closed": "round closed",
    "note": "note",
}
"""The table of facts that a deed writes in under the id it is told by."""


def list_known(now: datetime, *, rounds: bool = False) -> ListKnown:
    """The register as a list must know it, in a constant number of queries.

    Args:
        now: the moment of asking.
        rounds: whether the rounds that were begun are told, too: of a park of many years they are many.
    """
    zone = park_zone()
    exhibits = dict(Exhibit.objects.values_list("name", "id"))
    colours = dict(Colour.objects.values_list("id", "name"))
    tests = SexTest.objects.order_by("happened_at").values_list("label", "id", "bird_id")
    return ListKnown(
        today=day_of(now, zone),
        now=now,
        zone=zone,
        birds=tuple(_birds()),
        exhibits=exhibits,
        places={
            (home, name): key for key, home, name in Place.objects.values_list("id", "exhibit_id", "name")
        },
        species=dict(Species.objects.values_list("name", "id")),
        palette=park_palette(),
        samples={label_key(label): (str(key), bird) for label, key, bird in tests},
        drawers={
            (kind, colours.get(colour or 0, ""), size): key
            for key, kind, colour, size in Stock.objects.values_list("id", "kind", "colour_id", "size")
        },
        colours=colours,
        changed=_drawers_changed(),
        groups=_groups(),
        rounds=_rounds(zone) if rounds else {},
    )


def _groups() -> dict[str, str]:
    """Which look-alike group a name means: its own, or that of a species in it."""
    named = dict(Species.objects.values_list("name", "lookalike"))
    return {**named, **{lookalike: lookalike for lookalike in named.values()}}


def _rounds(zone: ZoneInfo) -> dict[tuple[int, date], dict[UUID, datetime]]:
    """The rounds that were begun in each exhibit on each day, and when."""
    begun: dict[tuple[int, date], dict[UUID, datetime]] = defaultdict(dict)
    told = standing(RoundStarted.objects.all())
    for exhibit, round_id, at in told.values_list("round__exhibit_id", "round_id", "happened_at"):
        begun[exhibit, day_of(at, zone)][round_id] = at
    return dict(begun)


def _drawers_changed() -> dict[int, datetime]:
    """When each drawer last changed: by the day that was told of, otherwise when it was written down.

    What was a mistake changed nothing, nor did the line that put it right.
    """
    by_itself = StockChange.objects.filter(deed__isnull=True).exclude(because__startswith=A_MISTAKE)
    moved = by_itself.values_list("stock").annotate(last=Max("at"))
    latest: dict[int, datetime] = dict(moved)
    deeds = ToldDeed.objects.filter(kind__in=("stock_changed", "stock_counted"))
    told = dict(deeds.values_list("id", "happened_at"))
    mistakes = ToldDeed.objects.filter(corrects__isnull=False).values("corrects")
    by_deed = StockChange.objects.filter(deed__isnull=False).exclude(deed__in=mistakes)
    for stock, deed, at in by_deed.values_list("stock_id", "deed", "at"):
        moment = told.get(deed, at) if deed is not None else at
        latest[stock] = max(latest.get(stock, moment), moment)
    return latest


def facts_heard(ids: Collection[UUID], kinds: Collection[str]) -> frozenset[UUID]:
    """Which of these facts the register has: told through the door, or read in with an export.

    Args:
        ids: of the facts.
        kinds: of which tables of facts; others are known by the ledger alone.
    """
    kept = [fact_tables()[_TABLES[kind]] for kind in kinds if kind in _TABLES]
    found: set[UUID] = set()
    several = list(ids)
    for begin in range(0, len(several), _AT_ONCE):
        part = several[begin : begin + _AT_ONCE]
        tables: list[type[Model]] = [ToldDeed, *kept]
        for table in tables:
            found |= set(table._default_manager.filter(pk__in=part).values_list("pk", flat=True))
    return frozenset(found)


def nest_of(deed: UUID) -> int | None:
    """The nest that a deed began; nothing where the deed was not told."""
    wrote = ToldDeed.objects.filter(pk=deed).values_list("wrote", flat=True).first()
    return None if wrote is None else int(wrote["nest"])


def found_at(nest: int) -> frozenset[tuple[str, date, int | None]]:
    """What was told of a nest and stands: which event, of which day, how many."""
    zone = park_zone()
    events = standing(NestEvent.objects.filter(nest_id=nest)).values_list("kind", "happened_at", "amount")
    return frozenset((kind, day_of(at, zone), amount) for kind, at, amount in events)


def _birds() -> Iterator[ListBird]:
    stays: dict[int, list[tuple[date, date | None, int]]] = defaultdict(list)
    standing = Stay.objects.filter(taken_back_at__isnull=True).order_by("from_on", "id")
    for bird, begun, ended, exhibit in standing.values_list("bird_id", "from_on", "to_on", "exhibit_id"):
        stays[bird].append((begun, ended, exhibit))
    also: dict[int, list[str]] = defaultdict(list)
    for bird, engraving in (
        Band.objects.filter(taken_back_at__isnull=True)
        .exclude(engraving="")
        .values_list("bird_id", "engraving")
    ):
        also[bird].append(engraving)
    given = Transponder.objects.filter(taken_back_at__isnull=True)
    for bird, number in given.values_list("bird_id", "number"):
        also[bird].append(number)
    told = ("id", "house_name", "number", "species__lookalike", "hatched_on", "species__counts_at_days")
    for key, name, number, lookalike, hatched, grown in Bird.objects.order_by("id").values_list(*told):
        counts_on = counts_from(hatched, grown)
        marks = tuple(dict.fromkeys(also[key]))
        yield ListBird(key, name, number, marks, tuple(stays[key]), lookalike, counts_on)
