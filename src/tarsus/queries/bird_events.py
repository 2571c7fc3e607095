"""What happened to a bird, told line by line: who, when, from whose session, what it was before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet

from tarsus.core.deeds.register import DEEDS
from tarsus.core.words.numbers import in_words
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.pairs import deaths_of, mates_of
from tarsus.queries.told_deeds import NOTHING_MORE, Provenance, names_for, provenance_of, told_in_words
from tarsus.records.models import (
    Arrival,
    Band,
    BandCheck,
    BodyCondition,
    CarcaseNamed,
    Concern,
    Death,
    Departure,
    Handling,
    HealthCheck,
    Missing,
    Note,
    PostMortem,
    Report,
    SexFinding,
    Stay,
    ToldDeed,
)
from tarsus.records.standing import standing

_SEX = {"F": "Female", "M": "Male", "U": "Sex not known"}
_SEES_ROWS: Final = frozenset(
    {
        "handling", "band_checked", "health_check", "concern", "arrival", "departure", "whereabouts",
        "presumed_dead", "death", "carcase_named", "note", "sex_finding", "moved", "band_on", "band_off",
        "withdrawn", "sighting", "bird_added", "birds_come", "report",
        "result_placed", "body_condition", "post_mortem",
    }
)  # fmt: skip
"""Deeds whose lines are told from their rows; all others are told from the ledger."""


@dataclass(frozen=True, slots=True)
class Event:
    """One line of a bird's history.

    `kind` is one word, for those who look for one thing. `who` recorded it. `deed` and `fact` name what would
    be put right; `where_from` says what else is to be told of it.
    """

    day: date
    text: str
    kind: str
    who: str = ""
    deed: str = ""
    fact: UUID | None = None
    where_from: Provenance = NOTHING_MORE


def events_of(bird_id: int) -> tuple[Event, ...]:
    """What happened to a bird, the latest first, in a constant number of queries.

    A line that was taken back stays and says so; one that was corrected stands in the line that corrects it,
    unless that one is in another bird's history: it was put right to be about that bird.
    """
    zone = park_zone()
    told = [
        *_bands(bird_id),
        *_stays(bird_id),
        *_sexes(bird_id, zone),
        *_handlings(bird_id, zone),
        *_checks(bird_id, zone),
        *_conditions(bird_id, zone),
        *_concerns(bird_id, zone),
        *_reports(bird_id, zone),
        *_coming_and_going(bird_id, zone),
        *_notes(bird_id, zone),
        *_widowed(bird_id),
        *_of_the_ledger(bird_id, zone),
    ]
    sources = provenance_of(event.fact for event in told if event.fact is not None)
    lines = [
        replace(event, where_from=sources.get(event.fact, NOTHING_MORE)) if event.fact else event
        for event in told
    ]
    own = {line.fact for line in lines}
    standing_lines = [line for line in lines if line.where_from.replaced_by not in own - {None}]
    return tuple(sorted(standing_lines, key=lambda event: (event.day, event.text), reverse=True))


def _of(zone: ZoneInfo, row: Any, text: str, kind: str, deed: str) -> Event:
    """A line about a fact."""
    day = day_of(row.happened_at, zone)
    return Event(day, text, kind, row.recorded_by.display_name, deed, row.pk)


def _facts(rows: QuerySet[Any]) -> QuerySet[Any]:
    return rows.select_related("recorded_by")


def _bands(bird_id: int) -> Iterator[Event]:
    """Bands fitted or taken off together, by one person, are one line."""
    rows = Band.objects.filter(bird_id=bird_id, taken_back_at__isnull=True)
    fitted: dict[tuple[date, str], list[Band]] = defaultdict(list)
    off: dict[tuple[date, str, str], list[Band]] = defaultdict(list)
    for band in rows.select_related("colour", "recorded_by", "ended_by").order_by("from_on", "site", "order"):
        fitted[band.from_on, band.recorded_by.display_name].append(band)
        if band.to_on:
            ended_by = band.ended_by.display_name if band.ended_by else ""
            off[band.to_on, band.why_off, ended_by].append(band)
    alone = [bands[0].deed for bands in fitted.values() if len(bands) == 1 and bands[0].deed]
    told = set(ToldDeed.objects.filter(pk__in=alone, kind="band_on").values_list("pk", flat=True))
    for (day, who), bands in fitted.items():
        deed = bands[0].deed if len(bands) == 1 and bands[0].deed in told else None
        yield Event(day, f"{_listed(bands, 'on')}.", "bands", who, "band_on" if deed else "", deed)
    for (day, why, who), bands in off.items():
        yield Event(day, f"{_listed(bands, 'off')}{': ' if why else ''}{why}.", "bands", who)


def _listed(bands: Iterable[Band], where: str) -> str:
    return _capital(", ".join(f"{_name(band)} {where} the {band.site}" for band in bands))


def _name(band: Band) -> str:
    return f"{band.colour.name if band.colour else 'metal'} {band.engraving}".strip()


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _stays(bird_id: int) -> Iterator[Event]:
    rows = Stay.objects.filter(bird_id=bird_id).select_related("exhibit", "recorded_by")
    begun = ToldDeed.objects.filter(pk__in=rows.values("begun_through"))
    by_deed = dict(begun.values_list("pk", "kind"))
    arrived = set(Arrival.objects.filter(bird_id=bird_id).values_list("pk", flat=True))
    for stay in rows.order_by("from_on"):
        if stay.taken_back_at is not None and stay.begun_through is None:
            continue
        reason = f": {stay.reason}" if stay.reason else ""
        text = f"Came to live in {stay.exhibit.name}{reason}."
        through = stay.begun_through
        deed = "" if through is None else by_deed.get(through, "arrival" if through in arrived else "moved")
        yield Event(stay.from_on, text, "moves", stay.recorded_by.display_name, deed, through)


def _sexes(bird_id: int, zone: ZoneInfo) -> Iterator[Event]:
    rows = SexFinding.objects.filter(bird_id=bird_id)
    placed = ToldDeed.objects.filter(kind="result_placed", pk__in=rows.values("pk"))
    by_laboratory = set(placed.values_list("pk", flat=True))
    for row in _facts(rows).select_related("test"):
        by = "" if row.known_by == "not said" else f", by {row.known_by}"
        of = f", sample {row.test.label}" if row.test else ""
        deed = "result_placed" if row.pk in by_laboratory else "sex_finding"
        yield _of(zone, row, f"{_SEX[row.sex]}{by}{of}.", "sex", deed)


def _handlings(bird_id: int, zone: ZoneInfo) -> Iterator[Event]:
    for row in _facts(Handling.objects.filter(bird_id=bird_id)).prefetch_related("weighings"):
        weights = ", ".join(f"{weighing.weight_g:g} g" for weighing in row.weighings.all())
        rest = "; ".join(part for part in (weights, row.condition, row.release, row.note) if part)
        vet = " Vet told." if row.tell_vet else ""
        yield _of(zone, row, f"In hand: {row.why}{'; ' if rest else ''}{rest}.{vet}", "in hand", "handling")


def _checks(bird_id: int, zone: ZoneInfo) -> Iterator[Event]:
    checks = _facts(BandCheck.objects.filter(band__bird_id=bird_id)).exclude(condition="good")
    for check in checks.select_related("recorded_by", "band__colour"):
        name = check.band.colour.name if check.band.colour else "metal"
        text = f"{_capital(name)} on the {check.band.site}: {check.condition}."
        yield _of(zone, check, text, "bands", "band_checked")
    for health in _facts(HealthCheck.objects.filter(bird_id=bird_id)):
        found = f": {health.found}" if health.found else ""
        word = "Health check, nothing wrong" if health.well else "Health check, not well"
        yield _of(zone, health, f"{word}{found}.", "health", "health_check")


def _conditions(bird_id: int, zone: ZoneInfo) -> Iterator[Event]:
    for row in _facts(BodyCondition.objects.filter(bird_id=bird_id)):
        felt = ", felt in the hand" if row.in_hand else ""
        note = f". {row.note}" if row.note else ""
        text = f"Body condition {row.score} of {row.scale_to}{felt}{note}."
        yield _of(zone, row, text, "health", "body_condition")


def _or_others(about: int) -> str:
    others = "another" if about == 2 else f"one of {in_words(about - 1)} others"
    return f" (it, or {others})" if about > 1 else ""


def _concerns(bird_id: int, zone: ZoneInfo) -> Iterator[Event]:
    for row in _facts(Concern.objects.filter(birds__bird_id=bird_id)).prefetch_related("birds"):
        of = _or_others(len(row.birds.all()))
        seen = ", ".join(row.seen) + (f", {row.side}" if row.side else "")
        note = f" {row.note}" if row.note else ""
        vet = " Vet told." if row.tell_vet else ""
        yield _of(zone, row, f"Concern{of}: {seen}.{note}{vet}", "health", "concern")


def _reports(bird_id: int, zone: ZoneInfo) -> Iterator[Event]:
    for row in _facts(Report.objects.filter(birds__bird_id=bird_id)).prefetch_related("birds"):
        told_by = row.told_by or "a visitor"
        of = _or_others(len(row.birds.all()))
        yield _of(zone, row, f"Reported by {told_by}{of}: {row.said}", "health", "report")


def _coming_and_going(bird_id: int, zone: ZoneInfo) -> Iterator[Event]:
    for row in _facts(Arrival.objects.filter(bird_id=bird_id)):
        yield _of(zone, row, f"Arrived from {row.came_from}.", "moves", "arrival")
    for row in _facts(Departure.objects.filter(bird_id=bird_id)):
        yield _of(zone, row, f"Left for {row.went_to}.", "moves", "departure")
    for row in _facts(Missing.objects.filter(bird_id=bird_id)):
        note = f": {row.note}" if row.note else ""
        deed = "presumed_dead" if row.state == "presumed dead" else "whereabouts"
        yield _of(zone, row, f"{row.state.capitalize()}{note}.", "moves", deed)
    # A carcase that was named later has its day and its examination in the bird's history too.
    named = standing(CarcaseNamed.objects.filter(bird_id=bird_id)).values("death")
    its_own = Q(bird_id=bird_id) | Q(pk__in=named)
    for row in _facts(Death.objects.filter(its_own)):
        yield _of(zone, row, f"Found dead by {row.found_by}.", "moves", "death")
    for row in _facts(PostMortem.objects.filter(death__in=Death.objects.filter(its_own))):
        by_whom = f" ({row.by_whom})" if row.by_whom else ""
        yield _of(zone, row, f"Post-mortem: {row.answer}{by_whom}", "moves", "post_mortem")
    for row in _facts(CarcaseNamed.objects.filter(bird_id=bird_id)):
        yield _of(zone, row, f"A carcase was known as its own: {row.because}", "moves", "carcase_named")


def _notes(bird_id: int, zone: ZoneInfo) -> Iterator[Event]:
    for note in _facts(Note.objects.filter(bird_id=bird_id)):
        yield _of(zone, note, note.text, "notes", "note")


def _widowed(bird_id: int) -> Iterator[Event]:
    """A mate's death, told on the page of the bird that is left; it is put right where the death is."""
    left = [mate for mate in mates_of(bird_id) if mate.widowed and mate.until is not None]
    died = deaths_of([mate.bird_id for mate in left])
    for mate in left:
        told = died[mate.bird_id]
        yield Event(told.on, f"Widowed: {mate.name} died.", "pairs", told.who)


def _of_the_ledger(bird_id: int, zone: ZoneInfo) -> Iterator[Event]:
    """Deeds that have no line of their own above."""
    rows = list(
        ToldDeed.objects.filter(birds__bird_id=bird_id)
        .exclude(kind__in=_SEES_ROWS)
        .select_related("by")
        .order_by("happened_at")
    )
    names = names_for([(DEEDS[row.kind], row.contents) for row in rows])
    for row in rows:
        text = told_in_words(DEEDS[row.kind], row.contents, names)
        day = day_of(row.happened_at, zone)
        yield Event(day, text, "deeds", row.by.display_name, row.kind, row.pk)
