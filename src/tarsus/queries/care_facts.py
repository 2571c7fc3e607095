"""The plain facts of each bird's care, as the core derives duties from them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from tarsus.core.care.facts import (
    Alike,
    BandOn,
    BirdFacts,
    CaseOpen,
    InHand,
    MarkOn,
    SampleTaken,
    SexFound,
    UnderTreatment,
)
from tarsus.core.care.weights import Weight
from tarsus.core.marks.marks import METAL
from tarsus.queries import care_rows
from tarsus.queries.clarity import too_alike
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.decision import park_decision
from tarsus.queries.exhibit_names import exhibit_names
from tarsus.queries.flock import FlockBird
from tarsus.queries.marks import WornBand, on_day
from tarsus.queries.observers import park_reader
from tarsus.queries.presence import BirdPresence
from tarsus.queries.quarantine import held_in_quarantine
from tarsus.queries.unseen import usual_places_of
from tarsus.records.models import Pair, Rule


@dataclass(frozen=True, slots=True)
class CareFacts:
    """Facts of birds, with what a catch-up needs beside them."""

    birds: tuple[BirdFacts, ...]
    last_handled: Mapping[int, date]


def care_facts(birds: Sequence[FlockBird], presence: Mapping[int, BirdPresence], now: datetime) -> CareFacts:
    """Gather what the register says of the care of birds, in a constant number of queries.

    Args:
        birds: the birds asked for, and those they live with if marks too alike are to be told.
        presence: where each stands.
        now: the moment of asking.

    Returns:
        Facts in the order of the birds.
    """
    zone = park_zone()
    today = day_of(now, zone)
    rows = _Rows.of(birds, presence, now, today, zone)
    facts = tuple(_facts(bird, presence.get(bird.bird_id), rows, zone) for bird in birds)
    return CareFacts(facts, rows.handled)


@dataclass(frozen=True, slots=True)
class _Rows:
    """Every table's answer, by bird."""

    exhibits: Mapping[int, str]
    weights: dict[int, tuple[Weight, ...]]
    checked: dict[int, date]
    handled: dict[int, date]
    handlings: dict[int, tuple[InHand, ...]]
    samples: dict[int, tuple[SampleTaken, ...]]
    findings: dict[int, tuple[SexFound, ...]]
    cases: dict[int, tuple[CaseOpen, ...]]
    treatments: dict[int, tuple[UnderTreatment, ...]]
    told: dict[int, date]
    marks: dict[int, tuple[MarkOn, ...]]
    planned: dict[int, dict[str, list[str]]]
    moulting: frozenset[int]
    moults: dict[int, date]
    readings: dict[int, list[tuple[datetime, dict[str, list[str]]]]]
    quarantined: dict[int, date]
    places: dict[int, tuple[tuple[str, float], ...]]
    alike: dict[int, tuple[Alike, ...]]

    @classmethod
    def of(
        cls,
        birds: Sequence[FlockBird],
        presence: Mapping[int, BirdPresence],
        now: datetime,
        today: date,
        zone: ZoneInfo,
    ) -> _Rows:
        ids = [bird.bird_id for bird in birds]
        weights = care_rows.weights_of(ids, now, zone)
        worrying = [bird for bird in ids if bird in presence and presence[bird].advice != "present"]
        return cls(
            exhibits=exhibit_names(),
            weights=weights,
            checked=care_rows.health_checked(ids, zone),
            handled=care_rows.last_handled(ids, zone),
            handlings=care_rows.handlings_of(ids, now, zone),
            samples=care_rows.samples_of(ids, zone),
            findings=care_rows.findings_of(ids, zone),
            cases=care_rows.cases_of(ids, zone),
            treatments=care_rows.treatments_of(ids, zone),
            told=care_rows.vet_told(ids, zone),
            marks=care_rows.natural_marks_of(ids, today),
            planned=care_rows.planned_of(ids),
            moulting=care_rows.moulting_birds(weights, now, today),
            moults=care_rows.moults_of(ids, today),
            readings=care_rows.readings_of(ids, now),
            quarantined=held_in_quarantine(ids, now, zone),
            places=usual_places_of(worrying, now),
            alike=_alike(birds, today),
        )


def _facts(bird: FlockBird, presence: BirdPresence | None, rows: _Rows, zone: ZoneInfo) -> BirdFacts:
    one = bird.bird_id
    looked_for = presence is not None and bird.counted and not presence.excused
    places = rows.places.get(one, ())
    planned = rows.planned.get(one, {})
    return BirdFacts(
        bird=one,
        name=bird.name,
        species=bird.species,
        exhibit=bird.exhibit_id,
        exhibit_name=rows.exhibits.get(bird.exhibit_id, ""),
        sex=bird.sex,
        hatched_on=bird.hatched_on,
        bands=tuple(_band(band, bird, rows.readings.get(one, []), zone) for band in bird.bands),
        has_transponder=bool(bird.transponder),
        marks=rows.marks.get(one, ()),
        advice=presence.advice if presence is not None and looked_for else "present",
        unseen_days=presence.unseen_days if presence is not None and looked_for else 0,
        ran_out=presence.ran_out if presence is not None and bird.counted else "",
        last_place=places[0][0] if places else "",
        weights=rows.weights.get(one, ()),
        health_checked_on=rows.checked.get(one),
        here_since=bird.since,
        handlings=rows.handlings.get(one, ()),
        samples=rows.samples.get(one, ()),
        found=rows.findings.get(one, ()),
        cases=rows.cases.get(one, ()),
        treatments=rows.treatments.get(one, ()),
        vet_told_on=rows.told.get(one),
        moulting=one in rows.moulting,
        moult_from=rows.moults.get(one),
        quarantine_since=rows.quarantined.get(one),
        planned=in_words(planned),
        planned_metal=next((site for site, bands in planned.items() if METAL in bands), ""),
        alike=rows.alike.get(one, ()),
    )


def _band(
    band: WornBand, bird: FlockBird, readings: list[tuple[datetime, dict[str, list[str]]]], zone: ZoneInfo
) -> BandOn:
    return BandOn(
        band=band.band_id,
        site=band.site,
        kind=band.kind,
        colour="" if band.word == METAL else band.word,
        since=band.from_on,
        conditions=frozenset(band.conditions),
        checked_on=None if band.checked_at is None else day_of(band.checked_at, zone),
        temporary=band.temporary,
        certified=band.certified,
        read_without=_read_without(band, bird, readings),
    )


def _read_without(
    band: WornBand, bird: FlockBird, readings: list[tuple[datetime, dict[str, list[str]]]]
) -> int:
    """Readings in a row, the latest first, that saw a band's site with a band too few and this one not."""
    worn = sum(other.site == band.site for other in bird.bands)
    without = 0
    for at, reading in reversed(readings):
        if band.site not in reading:
            continue
        seen = reading[band.site]
        checked_since = band.checked_at is not None and at <= band.checked_at
        if checked_since or band.word in seen or "?" in seen or len(seen) >= worn:
            break
        without += 1
    return without


def in_words(marks: Mapping[str, Sequence[str]]) -> str:
    """Marks as they are spoken: *metal on the left leg, yellow over green on the right leg*."""
    return ", ".join(f"{' over '.join(bands)} on the {site}" for site, bands in marks.items() if bands)


def _alike(birds: Sequence[FlockBird], today: date) -> dict[int, tuple[Alike, ...]]:
    flocks: dict[tuple[int, str], list[FlockBird]] = defaultdict(list)
    for bird in birds:
        flocks[bird.exhibit_id, bird.lookalike].append(bird)
    found: dict[int, list[Alike]] = defaultdict(list)
    reader, decision, by_choice = park_reader(), park_decision(), _mates_marked_alike(today)
    for flock in flocks.values():
        for one, other, pair in too_alike(flock, today, reader, decision):
            if {one.bird_id, other.bird_id} in by_choice:
                continue
            for mine, its in ((one, other), (other, one)):
                found[mine.bird_id].append(Alike(its.bird_id, its.name, pair.cost, pair.same))
    return {bird: tuple(others) for bird, others in found.items()}


def _mates_marked_alike(today: date) -> list[set[int]]:
    """Mates whom the rule gives the same colours on opposite sides: alike because the park chose so.

    The flock's page still says how often one is taken for the other.
    """
    matching = Rule.objects.filter(from_on__lte=today, mates_match=True).values("species_id")
    pairs = Pair.objects.filter(on_day(today), first__species_id__in=matching)
    return [{first, second} for first, second in pairs.values_list("first_id", "second_id")]
