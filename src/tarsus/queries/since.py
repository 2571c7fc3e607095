"""What is new about the birds since a moment, and until when a person has looked."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from django.db.models import CharField, F, Min, Prefetch, Q, Value
from django.db.models.functions import Cast

from tarsus.core.presence.seen_again import seen_again
from tarsus.core.words.mistaken import A_MISTAKE
from tarsus.core.words.since import CAME, FOUND, MARKS, MOVED, VET, WENT, News, bands_changed
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.last_seen import CLEARED, last_seen
from tarsus.records.models import (
    Arrival,
    Band,
    Bird,
    CarcaseNamed,
    Case,
    Death,
    Departure,
    Instruction,
    Missing,
    MovedBird,
    Sighting,
    Stay,
    ToldDeed,
    Treatment,
    TreatmentEnded,
)
from tarsus.records.models.words import Whereabouts
from tarsus.records.standing import standing, withdrawn

LONGEST: Final = timedelta(days=14)
"""Whoever never said *seen* is told of this long: a holiday. Ours."""


@dataclass(frozen=True, slots=True)
class Span:
    """What was written down after a moment and until another, by anybody but one person."""

    after: datetime
    until: datetime
    but: int | None
    zone: ZoneInfo

    def written(self, column: str = "recorded_at", by: str = "recorded_by") -> Q:
        """Rows that were written within the span."""
        within = Q(**{f"{column}__gt": self.after, f"{column}__lte": self.until})
        return within if self.but is None else within & ~Q(**{by: self.but})

    def day(self, moment: datetime) -> date:
        """The park's day of a moment."""
        return day_of(moment, self.zone)


@dataclass(frozen=True, slots=True)
class _Bands:
    """Bands of one bird that were put on and taken off, and the days of it."""

    on: list[str] = field(default_factory=list)
    off: list[str] = field(default_factory=list)
    days: list[date] = field(default_factory=list)


def looked_until(person_id: int, now: datetime) -> datetime:
    """Until when somebody has seen what is new: their latest *seen*, else a fortnight back.

    Nothing but the ledger remembers a look; opening a page does not count as one, so that a page opened on
    the way does not take away what was not read.
    """
    told = ToldDeed.objects.filter(kind="today_seen", by=person_id).values_list("contents", flat=True)
    looks = [datetime.fromisoformat(contents["until"]) for contents in told.order_by("-recorded_at")[:5]]
    return max(looks, default=now - LONGEST)


def news_since(after: datetime, until: datetime, but: int | None = None) -> tuple[News, ...]:
    """What was written down about birds in a span: who came, went, moved, changed marks, was found, is under
    the vet's eye; in a constant number of queries.

    Args:
        after: exclusive, by when it was written, so that a phone that sends late is news too.
        until: inclusive.
        but: whoever knows, because they wrote it themselves.

    Returns:
        In no order. What was taken back is no news.
    """
    span = Span(after, until, but, park_zone())
    came_and_went = list(_came_and_went(span))
    newcomers = {one.bird for one in came_and_went if one.kind == CAME}
    return (
        *came_and_went,
        *_moved(span),
        *(one for one in _marks(span) if one.bird not in newcomers),
        *_found(span),
        *_vet(span),
    )


def _came_and_went(span: Span) -> Iterator[News]:
    """Arrivals, departures, deaths, whose carcase it was, and whereabouts, in one query; then birds that are
    new without an arrival.
    """
    tables = (
        (Arrival, CAME, F("came_from")),
        (Departure, WENT, F("went_to")),
        (Death, WENT, Value("")),
        (CarcaseNamed, WENT, Value("")),
        (Missing, "", F("state")),
    )
    first, *rest = (
        standing(table._default_manager.filter(span.written(), bird__isnull=False))
        .annotate(news=Value(kind), what=Cast(what, CharField()))
        .values_list("news", "bird_id", "bird__house_name", "bird__number", "what", "happened_at")
        for table, kind, what in tables
    )
    arrived = set()
    for kind, bird, name, number, what, at in first.union(*rest, all=True):
        called = name or number or f"bird {bird}"
        if kind == CAME:
            arrived.add(bird)
            yield News(CAME, bird, called, f"from {what}", span.day(at))
        elif what == Whereabouts.FOUND_AGAIN and not kind:
            yield News(FOUND, bird, called, what, span.day(at))
        else:
            words = what if not kind else f"to {what}" if what else "died"
            yield News(WENT, bird, called, words, span.day(at))
    rows = Bird.objects.filter(span.written(), stays__taken_back_at__isnull=True).exclude(pk__in=arrived)
    for new in rows.filter(stays__isnull=False).distinct():
        words = "hatched here" if new.nest_id else "new in the register"
        yield News(CAME, new.pk, str(new), words, span.day(new.recorded_at))


def _moved(span: Span) -> Iterator[News]:
    rows = MovedBird.objects.filter(span.written("move__recorded_at", "move__recorded_by"), came=True)
    for row in rows.filter(~withdrawn("move_id")).select_related("bird", "move__to_exhibit"):
        words = f"to {row.move.to_exhibit.name}"
        yield News(MOVED, row.bird_id, str(row.bird), words, span.day(row.move.happened_at))


def _marks(span: Span) -> Iterator[News]:
    """Bands put on and taken off, one line a bird."""
    fitted, off = span.written(), Q(to_on__isnull=False) & span.written("ended_at", "ended_by")
    here = Stay.objects.filter(taken_back_at__isnull=True).values("bird")  # a bird that never was has none
    rows = Band.objects.filter(fitted | off, taken_back_at__isnull=True, bird__in=here)
    told: dict[tuple[int, str], _Bands] = defaultdict(_Bands)
    for band in rows.select_related("bird", "colour").order_by("from_on", "site", "order"):
        word = band.colour.name if band.colour else band.kind
        bands = told[band.bird_id, str(band.bird)]
        if span.after < band.recorded_at <= span.until and band.recorded_by_id != span.but:
            bands.on.append(word)
            bands.days.append(band.from_on)
        ended = band.ended_at is not None and span.after < band.ended_at <= span.until
        if ended and band.to_on is not None and band.ended_by_id != span.but:
            bands.off.append(word)
            bands.days.append(band.to_on)
    for (bird, name), bands in told.items():
        yield News(MARKS, bird, name, bands_changed(bands.on, bands.off), max(bands.days))


def _found(span: Span) -> Iterator[News]:
    cleared = standing(Sighting.objects.filter(CLEARED, bird__isnull=False, recorded_at__lte=span.until))
    first = cleared.filter(recorded_at__gt=span.after).aggregate(first=Min("happened_at"))["first"]
    if first is None:
        return
    # What was known before counts too: a phone that sent late tells of days on which others saw the bird.
    rows = standing(Sighting.objects.filter(CLEARED, bird__isnull=False, happened_at__gte=first)).values_list(
        "bird_id",
        "happened_at",
        "recorded_at",
        "recorded_by_id",
        "bird__species__max_unseen_days",
        "bird__house_name",
        "bird__number",
    )
    limits: dict[int, int] = {}
    names: dict[int, str] = {}
    new: set[tuple[int, datetime]] = set()
    seen: list[tuple[int, datetime]] = []
    for bird, at, written, by, limit, name, number in rows:
        if bird is None or written > span.until:
            continue
        limits[bird], names[bird] = limit, name or number or f"bird {bird}"
        seen.append((bird, at))
        if written > span.after and by != span.but:
            new.add((bird, at))
    known = {bird: one.at for bird, one in last_seen(limits, first).items()}
    found = seen_again(seen, known, limits)
    for bird, (at, days) in found.items():
        if (bird, at) in new:
            yield News(FOUND, bird, names[bird], f"seen after {days} days", span.day(at))


def _vet(span: Span) -> Iterator[News]:
    asked = standing(Instruction.objects.filter(span.written())).order_by("happened_at", "recorded_at")
    opened = span.written("opened_at", "opened_by")
    closed = span.written("closed_at", "closed_by")
    told = Case.objects.filter(opened | closed | Q(pk__in=asked.values("case")))
    for case in told.prefetch_related("birds", Prefetch("instructions", asked, "asked")):
        yield from _of_case(case, span)
    ended = standing(TreatmentEnded.objects.all()).values("treatment")
    ordered = standing(Treatment.objects.filter(span.written())).exclude(pk__in=ended)
    for row in ordered.select_related("bird"):
        dose = f", {row.dose}" if row.dose else ""
        yield News(VET, row.bird_id, str(row.bird), f"{row.what}{dose}", span.day(row.happened_at))


def _of_case(case: Case, span: Span) -> Iterator[News]:
    """What is new in one case: that it was closed; else that it was opened, and what the vet asks for."""
    birds = list(case.birds.all())
    told: list[tuple[str, datetime]] = []
    if case.closed_at is not None:
        # One that was opened and closed while somebody was away, or by mistake, asks nothing of them.
        told_now = span.after < case.closed_at <= span.until and case.closed_by_id != span.but
        if told_now and case.opened_at <= span.after and not case.closed_because.startswith(A_MISTAKE):
            told.append((f"case closed: {case.closed_because}", case.closed_at))
    else:
        if case.opened_at > span.after and case.opened_by_id != span.but:
            one_of = f"one of {len(birds)}: " if len(birds) > 1 else ""
            told.append((f"{one_of}{case.about}", case.opened_at))
        asked = case.asked  # type: ignore[attr-defined]  # named by the prefetch of the caller
        told += [(f"keepers: {row.text}", row.happened_at) for row in asked[-1:]]
    for bird in birds:
        for words, at in told:
            yield News(VET, bird.pk, str(bird), words, span.day(at))
