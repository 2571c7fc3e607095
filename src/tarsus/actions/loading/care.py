"""Handlings with what they found, weights, samples, cases, and what forbids or explains an absence."""

from __future__ import annotations

from datetime import timedelta

from tarsus.actions.loading.keys import BATCH, Keys
from tarsus.actions.loading.prepared import PreparedCase, PreparedHandling, PreparedPark
from tarsus.records.models import (
    BandCheck,
    Case,
    CaseNote,
    Concern,
    ConcernBird,
    ConfirmedReading,
    ForecastNote,
    Handling,
    NextDayCheck,
    Note,
    NotLookedFor,
    SexFinding,
    SexTest,
    Weighing,
)


def load_care(park: PreparedPark, keys: Keys) -> None:
    """Write down everything about the birds' care."""
    _load_handlings(park, keys)
    _load_weights(park, keys)
    _load_sex_tests(park, keys)
    for case in park.cases:
        _load_case(park, case, keys)
    _load_words(park, keys)


def _load_handlings(park: PreparedPark, keys: Keys) -> None:
    rows = [
        Handling(
            bird_id=keys.birds[one.bird],
            engraving_read=one.engraving_read,
            why=one.why,
            nails="good",
            release=one.release,
            walked_well=True,
            note=one.note,
            **keys.told(one.at, one.by),
        )
        for one in park.handlings
    ]
    Handling.objects.bulk_create(rows, batch_size=BATCH)
    checks, weights, days_after, readings = [], [], [], []
    for one, row in zip(park.handlings, rows, strict=True):
        told = keys.told(one.at, one.by)
        checks += _checks(one, row, keys)
        if one.grams is not None:
            weights.append(
                Weighing(
                    bird_id=row.bird_id,
                    handling=row,
                    weight_g=one.grams,
                    where="in hand",
                    scale="hanging scale",
                    fed=False,
                    **told,
                )
            )
        after = keys.told(one.at + timedelta(days=1, hours=3), one.by)
        days_after.append(NextDayCheck(handling=row, well=one.well_next_day, **after))
        if one.read_before is not None:
            readings.append(_reading(one, row, keys))
    BandCheck.objects.bulk_create(checks, batch_size=BATCH)
    Weighing.objects.bulk_create(weights, batch_size=BATCH)
    NextDayCheck.objects.bulk_create(days_after, batch_size=BATCH)
    ConfirmedReading.objects.bulk_create(readings, batch_size=BATCH)


def _checks(one: PreparedHandling, row: Handling, keys: Keys) -> list[BandCheck]:
    told = keys.told(one.at, one.by)
    return [
        BandCheck(
            band_id=keys.bands[one.bird, site, order, since],
            condition=condition,
            in_hand=True,
            handling=row,
            **told,
        )
        for (site, order, since), condition in one.conditions.items()
    ]


def _reading(one: PreparedHandling, row: Handling, keys: Keys) -> ConfirmedReading:
    assert one.read_before is not None
    assert one.worn is not None
    return ConfirmedReading(
        bird_id=row.bird_id,
        read=one.read_before.as_mapping(),
        worn=one.worn.as_mapping(),
        reader_id=keys.people[one.read_by or one.by],
        handling=row,
        **keys.told(one.at, one.by),
    )


def _load_weights(park: PreparedPark, keys: Keys) -> None:
    rows = [
        Weighing(
            bird_id=keys.birds[one.bird],
            weight_g=one.grams,
            where="perch scale",
            scale=one.scale,
            fed=one.fed,
            moulting=one.moulting,
            **keys.told(one.at, one.by),
        )
        for one in park.weights
    ]
    Weighing.objects.bulk_create(rows, batch_size=BATCH)


def _load_sex_tests(park: PreparedPark, keys: Keys) -> None:
    for one in park.sex_tests:
        band = next((key for (name, *_), key in keys.bands.items() if name == one.bird), None)
        test = SexTest.objects.create(
            bird_id=keys.birds[one.bird],
            sample=one.sample,
            label=one.label,
            band_id=band,
            laboratory=one.laboratory,
            **keys.told(keys.at_noon(one.taken_on), one.by),
        )
        if one.result and one.result_on is not None:
            told = keys.told(keys.at_noon(one.result_on), one.by)
            SexFinding.objects.create(bird=test.bird, sex=one.result, known_by="DNA", test=test, **told)


def _load_case(park: PreparedPark, case: PreparedCase, keys: Keys) -> None:
    told = keys.told(case.opened_at, case.told_by)
    concern = Concern.objects.create(
        seen=list(case.seen), side=case.side, note=case.note, tell_vet=True, **told
    )
    birds = [keys.birds[name] for name in case.birds]
    ConcernBird.objects.bulk_create([ConcernBird(concern=concern, bird_id=bird) for bird in birds])
    vet = next(keys.people[p.username] for p in park.people if p.role == "vet")
    row = Case.objects.create(
        about=", ".join(case.seen) + (f", {case.side}" if case.side else ""),
        concern=concern,
        opened_by_id=keys.people[case.told_by],
        opened_at=case.opened_at,
        closed_at=case.closed_at,
        closed_by_id=None if case.closed_at is None else vet,
        closed_because=case.closed_because,
    )
    row.birds.set(birds)
    if case.asked:
        asked = case.opened_at + timedelta(minutes=35)
        CaseNote.objects.create(
            case=row, text=case.asked, recorded_by_id=vet, happened_at=asked, recorded_at=asked
        )


def _load_words(park: PreparedPark, keys: Keys) -> None:
    for gone in park.absences:
        NotLookedFor.objects.create(
            bird_id=keys.birds[gone.bird],
            why=gone.why,
            from_on=gone.since,
            to_on=gone.until,
            note=gone.note,
            recorded_by_id=keys.by,
            recorded_at=keys.at_noon(min(gone.since, park.today - timedelta(days=1))),
        )
    for one in park.forecasts:
        told = keys.told(one.at, one.by)
        ForecastNote.objects.create(for_day=one.for_day, high_c=one.high_c, note=one.note, **told)
    for note in park.notes:
        Note.objects.create(
            exhibit_id=keys.exhibits.get(note.exhibit),
            bird_id=keys.birds.get(note.bird),
            text=note.text,
            **keys.told(note.at, note.by),
        )
