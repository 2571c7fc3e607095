"""The birds: who they are, where they lived, what they wore, who their mates are."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import count

from tarsus.actions.loading.keys import BATCH, Keys
from tarsus.actions.loading.prepared import PreparedBand, PreparedBird, PreparedPark
from tarsus.queries.marks import engraving_key
from tarsus.records.models import (
    Arrival,
    Band,
    Bird,
    Departure,
    NaturalMark,
    Pair,
    QuarantineRelease,
    SexFinding,
    Stay,
    Transponder,
)


def load_birds(park: PreparedPark, keys: Keys) -> None:
    """Write down all birds, dams and sires after everybody has an id."""
    rows = [_bird(bird, number, keys) for bird, number in zip(park.birds, count(1), strict=False)]
    for row in Bird.objects.bulk_create(rows, batch_size=BATCH):
        keys.birds[row.house_name] = row.pk
    hatched_here = [(bird, row) for bird, row in zip(park.birds, rows, strict=True) if bird.dam or bird.sire]
    for bird, row in hatched_here:
        row.dam_id, row.sire_id = keys.birds.get(bird.dam), keys.birds.get(bird.sire)
    Bird.objects.bulk_update([row for _, row in hatched_here], ["dam", "sire"])
    _load_stays(park, keys)
    _load_bands(park, keys)
    _load_other_marks(park, keys)
    _load_pairs(park, keys)


def _bird(bird: PreparedBird, number: int, keys: Keys) -> Bird:
    return Bird(
        species_id=keys.species[bird.species],
        house_name=bird.name,
        number=f"W{number:04d}",
        hatched_on=bird.hatched_on,
        hatched_precision=bird.hatched_precision,
        origin=bird.origin,
        owner=bird.owner,
        recorded_by_id=keys.by,
        recorded_at=keys.at_noon(bird.stays[0].since),
    )


def _spell(since: date, until: date | None, keys: Keys) -> dict[str, object]:
    """What every spell carries, with the end where there is one."""
    ended = None if until is None else keys.at_noon(until)
    return {
        "from_on": since,
        "to_on": until,
        "recorded_by_id": keys.by,
        "recorded_at": keys.at_noon(since),
        "ended_by_id": None if until is None else keys.by,
        "ended_at": ended,
    }


def _load_stays(park: PreparedPark, keys: Keys) -> None:
    stays, arrivals, releases, departures = [], [], [], []
    for bird in park.birds:
        key = keys.birds[bird.name]
        for stay in bird.stays:
            home = keys.exhibits[stay.exhibit]
            told = _spell(stay.since, stay.until, keys)
            stays.append(Stay(bird_id=key, exhibit_id=home, reason=stay.how, **told))
            if stay.how == "arrived":
                fact = keys.told(keys.at_noon(stay.since))
                on_loan = bool(bird.owner)
                arrivals.append(
                    Arrival(bird_id=key, came_from=stay.came_from, exhibit_id=home, on_loan=on_loan, **fact)
                )
            if stay.released_on is not None:
                fact = keys.told(keys.at_noon(stay.released_on))
                releases.append(QuarantineRelease(bird_id=key, **fact))
        if bird.left == "departed" and bird.left_on is not None:
            fact = keys.told(keys.at_noon(bird.left_on))
            departures.append(Departure(bird_id=key, went_to=bird.left_for, **fact))
    Stay.objects.bulk_create(stays, batch_size=BATCH)
    Arrival.objects.bulk_create(arrivals, batch_size=BATCH)
    QuarantineRelease.objects.bulk_create(releases, batch_size=BATCH)
    Departure.objects.bulk_create(departures, batch_size=BATCH)


def _load_bands(park: PreparedPark, keys: Keys) -> None:
    told = [(bird, band) for bird in park.birds for band in bird.bands]
    rows = [_band(bird, band, keys) for bird, band in told]
    for (bird, band), row in zip(told, Band.objects.bulk_create(rows, batch_size=BATCH), strict=True):
        keys.bands[bird.name, band.site, band.order, band.since] = row.pk


def _band(bird: PreparedBird, band: PreparedBand, keys: Keys) -> Band:
    return Band(
        bird_id=keys.birds[bird.name],
        site=band.site,
        order=band.order,
        kind=band.kind,
        colour_id=keys.colours[band.colour] if band.colour else None,
        series=band.engraving.split(" ")[0],
        engraving=band.engraving,
        engraving_key=engraving_key(band.engraving),
        size=band.size,
        temporary=band.kind == "cable tie",
        came_with_it=band.came_with_it,
        why_off=band.off_because,
        **_spell(band.since, band.until, keys),
    )


def _load_other_marks(park: PreparedPark, keys: Keys) -> None:
    chips, marks, findings = [], [], []
    for bird in park.birds:
        key = keys.birds[bird.name]
        if bird.transponder:
            since = max(bird.stays[0].since, bird.hatched_on + timedelta(days=40))
            told = _spell(since, None, keys)
            chips.append(Transponder(bird_id=key, number=bird.transponder, where="left of the neck", **told))
        for mark in bird.natural_marks:
            told = _spell(mark.noted_on, None, keys)
            marks.append(
                NaturalMark(bird_id=key, text=mark.text, x=mark.x, y=mark.y, review_on=mark.review_by, **told)
            )
        if bird.sex_known_on is not None:
            fact = keys.told(keys.at_noon(bird.sex_known_on))
            findings.append(SexFinding(bird_id=key, sex=bird.sex, known_by=bird.sex_known_by, **fact))
    Transponder.objects.bulk_create(chips, batch_size=BATCH)
    NaturalMark.objects.bulk_create(marks, batch_size=BATCH)
    SexFinding.objects.bulk_create(findings, batch_size=BATCH)


def _load_pairs(park: PreparedPark, keys: Keys) -> None:
    rows = []
    for pair in park.pairs:
        first, second = sorted((keys.birds[pair.female], keys.birds[pair.male]))
        rows.append(Pair(first_id=first, second_id=second, **_spell(pair.since, None, keys)))
    Pair.objects.bulk_create(rows, batch_size=BATCH)
