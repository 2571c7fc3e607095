"""Handlings with what they found, weights, samples, cases, and what forbids or explains an absence."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from uuid import UUID, uuid4

from tarsus.actions.bulk.frozen import FrozenRows, frozen
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.prepared import PreparedCase, PreparedHandling, PreparedPark


def care_rows(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    """Everything about the birds' care."""
    yield from _handlings(park, keys)
    yield frozen(
        "weighing",
        [
            {
                "bird_id": keys.birds[one.bird],
                "weight_g": one.grams,
                "where": "perch scale",
                "scale": one.scale,
                "fed": one.fed,
                "moulting": one.moulting,
                **keys.told(one.at, one.by),
            }
            for one in park.weights
        ],
    )
    yield from _sex_tests(park, keys)
    yield from _cases(park, keys)
    yield from _words(park, keys)


def _handlings(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    held = [(one, uuid4()) for one in park.handlings]
    yield frozen(
        "handling",
        [
            {
                "id": fact,
                "bird_id": keys.birds[one.bird],
                "engraving_read": one.engraving_read,
                "why": one.why,
                "nails": "good",
                "release": one.release,
                "walked_well": True,
                "note": one.note,
                **keys.told(one.at, one.by),
            }
            for one, fact in held
        ],
    )
    yield frozen("band_check", [check for one, fact in held for check in _checks(one, fact, keys)])
    yield frozen(
        "weighing",
        [
            {
                "bird_id": keys.birds[one.bird],
                "handling_id": fact,
                "weight_g": one.grams,
                "where": "in hand",
                "scale": "hanging scale",
                "fed": False,
                **keys.told(one.at, one.by),
            }
            for one, fact in held
            if one.grams is not None
        ],
    )
    yield frozen(
        "next_day_check",
        [
            {
                "handling_id": fact,
                "well": one.well_next_day,
                **keys.told(one.at + timedelta(days=1, hours=3), one.by),
            }
            for one, fact in held
        ],
    )
    yield frozen(
        "confirmed_reading",
        [_reading(one, fact, keys) for one, fact in held if one.read_before is not None],
    )


def _checks(one: PreparedHandling, fact: UUID, keys: Keys) -> Iterator[dict[str, object]]:
    for (site, order, since), condition in one.conditions.items():
        yield {
            "band_id": keys.bands[one.bird, site, order, since],
            "condition": condition,
            "in_hand": True,
            "handling_id": fact,
            **keys.told(one.at, one.by),
        }


def _reading(one: PreparedHandling, fact: UUID, keys: Keys) -> dict[str, object]:
    assert one.read_before is not None
    assert one.worn is not None
    return {
        "bird_id": keys.birds[one.bird],
        "read": one.read_before.as_mapping(),
        "worn": one.worn.as_mapping(),
        "reader_id": keys.people[one.read_by or one.by],
        "handling_id": fact,
        **keys.told(one.at, one.by),
    }


def _sex_tests(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    taken = [(one, uuid4()) for one in park.sex_tests]
    yield frozen(
        "sex_test",
        [
            {
                "id": fact,
                "bird_id": keys.birds[one.bird],
                "sample": one.sample,
                "label": one.label,
                "band_id": next((key for (name, *_), key in keys.bands.items() if name == one.bird), None),
                "laboratory": one.laboratory,
                **keys.told(keys.at_noon(one.taken_on), one.by),
            }
            for one, fact in taken
        ],
    )
    yield frozen(
        "sex_finding",
        [
            {
                "bird_id": keys.birds[one.bird],
                "sex": one.result,
                "known_by": "DNA",
                "test_id": fact,
                **keys.told(keys.at_noon(one.result_on), one.by),
            }
            for one, fact in taken
            if one.result and one.result_on is not None
        ],
    )


def _cases(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    told = [(case, number, uuid4()) for number, case in enumerate(park.cases, start=1)]
    vet = next((keys.people[person.username] for person in park.people if person.role == "vet"), keys.by)
    yield frozen(
        "concern",
        [
            {
                "id": fact,
                "seen": list(case.seen),
                "side": case.side,
                "note": case.note,
                "tell_vet": True,
                **keys.told(case.opened_at, case.told_by),
            }
            for case, _, fact in told
        ],
    )
    yield frozen(
        "concern_bird",
        [{"concern_id": fact, "bird_id": keys.birds[name]} for case, _, fact in told for name in case.birds],
    )
    yield frozen("case", [_case(case, number, fact, vet, keys) for case, number, fact in told])
    yield frozen(
        "case_birds",
        [{"case_id": number, "bird_id": keys.birds[name]} for case, number, _ in told for name in case.birds],
    )
    yield frozen("instruction", [_asked(case, number, vet) for case, number, _ in told if case.asked])


def _case(case: PreparedCase, number: int, fact: UUID, vet: int, keys: Keys) -> dict[str, object]:
    return {
        "id": number,
        "about": ", ".join(case.seen) + (f", {case.side}" if case.side else ""),
        "concern_id": fact,
        "opened_by_id": keys.people[case.told_by],
        "opened_at": case.opened_at,
        "closed_at": case.closed_at,
        "closed_by_id": None if case.closed_at is None else vet,
        "closed_because": case.closed_because,
    }


def _asked(case: PreparedCase, number: int, vet: int) -> dict[str, object]:
    asked = case.opened_at + timedelta(minutes=35)
    told = {"recorded_by_id": vet, "happened_at": asked, "recorded_at": asked}
    return {"case_id": number, "text": case.asked, **told}


def _words(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    yield frozen(
        "not_looked_for",
        [
            {
                "bird_id": keys.birds[gone.bird],
                "why": gone.why,
                "from_on": gone.since,
                "to_on": gone.until,
                "note": gone.note,
                "recorded_by_id": keys.by,
                "recorded_at": keys.at_noon(min(gone.since, park.today - timedelta(days=1))),
            }
            for gone in park.absences
        ],
    )
    yield frozen(
        "forecast_note",
        [
            {"for_day": one.for_day, "high_c": one.high_c, "note": one.note, **keys.told(one.at, one.by)}
            for one in park.forecasts
        ],
    )
    yield frozen(
        "note",
        [
            {
                "exhibit_id": keys.exhibits.get(note.exhibit),
                "bird_id": keys.birds.get(note.bird),
                "text": note.text,
                **keys.told(note.at, note.by),
            }
            for note in park.notes
        ],
    )
