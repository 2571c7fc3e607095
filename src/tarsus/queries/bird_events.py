"""What happened to a bird, told line by line."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from tarsus.queries.days import day_of, park_zone
from tarsus.queries.marks import WornBand
from tarsus.records.models import (
    Arrival,
    BandCheck,
    CarcaseNamed,
    Concern,
    Death,
    Departure,
    Handling,
    HealthCheck,
    Missing,
    Note,
    SexFinding,
    Stay,
)
from tarsus.records.standing import standing

_SEX = {"F": "Female", "M": "Male", "U": "Sex not known"}


@dataclass(frozen=True, slots=True)
class Event:
    """One line of a bird's history. `kind` is one word, for those who look for one thing."""

    day: date
    text: str
    kind: str


def events_of(bird_id: int, bands: Iterable[WornBand]) -> tuple[Event, ...]:
    """What happened to a bird, the latest first, in a constant number of queries.

    Args:
        bird_id: whose history.
        bands: every band it ever wore.
    """
    told = [
        *_bands(bands),
        *_stays(bird_id),
        *_sexes(bird_id),
        *_handlings(bird_id),
        *_checks(bird_id),
        *_concerns(bird_id),
        *_coming_and_going(bird_id),
        *_notes(bird_id),
    ]
    return tuple(sorted(told, key=lambda event: (event.day, event.text), reverse=True))


def _bands(bands: Iterable[WornBand]) -> Iterator[Event]:
    """Bands fitted or taken off together are one line."""
    fitted: dict[date, list[str]] = defaultdict(list)
    off: dict[tuple[date, str], list[str]] = defaultdict(list)
    for band in bands:
        name = f"{band.word} {band.engraving}".strip()
        fitted[band.from_on].append(f"{name} on the {band.site}")
        if band.to_on:
            off[band.to_on, band.why_off].append(f"{name} off the {band.site}")
    for day, names in fitted.items():
        yield Event(day, f"{_capital(', '.join(names))}.", "bands")
    for (day, why), names in off.items():
        yield Event(day, f"{_capital(', '.join(names))}{': ' if why else ''}{why}.", "bands")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _stays(bird_id: int) -> Iterator[Event]:
    rows = Stay.objects.filter(bird_id=bird_id, taken_back_at__isnull=True).select_related("exhibit")
    for stay in rows.order_by("from_on"):
        reason = f": {stay.reason}" if stay.reason else ""
        yield Event(stay.from_on, f"Came to live in {stay.exhibit.name}{reason}.", "moves")


def _sexes(bird_id: int) -> Iterator[Event]:
    zone = park_zone()
    for row in standing(SexFinding.objects.filter(bird_id=bird_id)):
        by = "" if row.known_by == "not said" else f", by {row.known_by}"
        yield Event(day_of(row.happened_at, zone), f"{_SEX[row.sex]}{by}.", "sex")


def _handlings(bird_id: int) -> Iterator[Event]:
    zone = park_zone()
    for row in standing(Handling.objects.filter(bird_id=bird_id)).prefetch_related("weighings"):
        weights = ", ".join(f"{weighing.weight_g:g} g" for weighing in row.weighings.all())
        rest = "; ".join(part for part in (weights, row.condition, row.release, row.note) if part)
        vet = " Vet told." if row.tell_vet else ""
        yield Event(
            day_of(row.happened_at, zone), f"In hand: {row.why}{'; ' if rest else ''}{rest}.{vet}", "in hand"
        )


def _checks(bird_id: int) -> Iterator[Event]:
    zone = park_zone()
    for check in standing(BandCheck.objects.filter(band__bird_id=bird_id)).select_related("band__colour"):
        if check.condition != "good":
            name = check.band.colour.name if check.band.colour else "metal"
            text = f"{_capital(name)} on the {check.band.site}: {check.condition}."
            yield Event(day_of(check.happened_at, zone), text, "bands")
    for health in standing(HealthCheck.objects.filter(bird_id=bird_id)):
        found = f": {health.found}" if health.found else ""
        word = "Health check, nothing wrong" if health.well else "Health check, not well"
        yield Event(day_of(health.happened_at, zone), f"{word}{found}.", "health")


def _concerns(bird_id: int) -> Iterator[Event]:
    zone = park_zone()
    rows = standing(Concern.objects.filter(birds__bird_id=bird_id)).prefetch_related("birds")
    for row in rows:
        about = len(row.birds.all())
        of = f" (it, or one of {about - 1} others)" if about > 1 else ""
        seen = ", ".join(row.seen) + (f", {row.side}" if row.side else "")
        note = f" {row.note}" if row.note else ""
        vet = " Vet told." if row.tell_vet else ""
        yield Event(day_of(row.happened_at, zone), f"Concern{of}: {seen}.{note}{vet}", "health")


def _coming_and_going(bird_id: int) -> Iterator[Event]:
    zone = park_zone()
    for arrival in standing(Arrival.objects.filter(bird_id=bird_id)):
        yield Event(day_of(arrival.happened_at, zone), f"Arrived from {arrival.came_from}.", "moves")
    for departure in standing(Departure.objects.filter(bird_id=bird_id)):
        yield Event(day_of(departure.happened_at, zone), f"Left for {departure.went_to}.", "moves")
    for missing in standing(Missing.objects.filter(bird_id=bird_id)):
        note = f": {missing.note}" if missing.note else ""
        yield Event(day_of(missing.happened_at, zone), f"{missing.state.capitalize()}{note}.", "moves")
    for death in standing(Death.objects.filter(bird_id=bird_id)):
        yield Event(day_of(death.happened_at, zone), f"Found dead by {death.found_by}.", "moves")
    for named in standing(CarcaseNamed.objects.filter(bird_id=bird_id)):
        yield Event(
            day_of(named.happened_at, zone), f"A carcase was known as its own: {named.because}", "moves"
        )


def _notes(bird_id: int) -> Iterator[Event]:
    zone = park_zone()
    for note in standing(Note.objects.filter(bird_id=bird_id)).select_related("recorded_by"):
        text = f"{note.text} ({note.recorded_by.display_name})"
        yield Event(day_of(note.happened_at, zone), text, "notes")
