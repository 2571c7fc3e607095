"""The birds: who they are, where they lived, what they wore, who their mates are."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from tarsus.actions.bulk.frozen import FrozenRows, frozen
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.prepared import PreparedBand, PreparedBird, PreparedPark, PreparedStay
from tarsus.tables.known import engraving_key


def bird_rows(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    """All birds with their stays, marks, findings and mates."""
    keys.birds.update({bird.name: number for number, bird in enumerate(park.birds, start=1)})
    yield frozen("bird", [_bird(bird, keys) for bird in park.birds])
    yield from _stays(park, keys)
    yield frozen("band", [_band(bird, band, keys) for bird in park.birds for band in bird.bands])
    yield from _other_marks(park, keys)
    yield frozen("pair", list(_pairs(park, keys)))


def _bird(bird: PreparedBird, keys: Keys) -> dict[str, object]:
    number = keys.birds[bird.name]
    return {
        "id": number,
        "species_id": keys.species[bird.species],
        "house_name": bird.name,
        "number": f"W{number:04d}",
        "hatched_on": bird.hatched_on,
        "hatched_precision": bird.hatched_precision,
        "origin": bird.origin,
        "owner": bird.owner,
        "dam_id": keys.birds.get(bird.dam),
        "sire_id": keys.birds.get(bird.sire),
        "recorded_by_id": keys.by,
        "recorded_at": keys.at_noon(bird.stays[0].since),
    }


def _stays(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    lived = [(bird, stay) for bird in park.birds for stay in bird.stays]
    yield frozen(
        "stay",
        [
            {
                "bird_id": keys.birds[bird.name],
                "exhibit_id": keys.exhibits[stay.exhibit],
                "reason": stay.how,
                **keys.spell(stay.since, stay.until),
            }
            for bird, stay in lived
        ],
    )
    yield frozen("arrival", [_arrival(bird, stay, keys) for bird, stay in lived if stay.how == "arrived"])
    yield frozen(
        "quarantine_release",
        [
            {"bird_id": keys.birds[bird.name], **keys.told(keys.at_noon(stay.released_on))}
            for bird, stay in lived
            if stay.released_on is not None
        ],
    )
    yield frozen(
        "departure",
        [
            {
                "bird_id": keys.birds[bird.name],
                "went_to": bird.left_for,
                **keys.told(keys.at_noon(bird.left_on)),
            }
            for bird in park.birds
            if bird.left == "departed" and bird.left_on is not None
        ],
    )


def _arrival(bird: PreparedBird, stay: PreparedStay, keys: Keys) -> dict[str, object]:
    return {
        "bird_id": keys.birds[bird.name],
        "came_from": stay.came_from,
        "exhibit_id": keys.exhibits[stay.exhibit],
        "on_loan": bool(bird.owner),
        **keys.told(keys.at_noon(stay.since)),
    }


def _band(bird: PreparedBird, band: PreparedBand, keys: Keys) -> dict[str, object]:
    number = keys.bands[bird.name, band.site, band.order, band.since] = len(keys.bands) + 1
    return {
        "id": number,
        "bird_id": keys.birds[bird.name],
        "site": band.site,
        "order": band.order,
        "kind": band.kind,
        "colour_id": keys.colours[band.colour] if band.colour else None,
        "series": band.engraving.split(" ")[0],
        "engraving": band.engraving,
        "engraving_key": engraving_key(band.engraving),
        "size": band.size,
        "temporary": band.kind == "cable tie",
        "came_with_it": band.came_with_it,
        "why_off": band.off_because,
        **keys.spell(band.since, band.until),
    }


def _other_marks(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    chips, marks, findings = [], [], []
    for bird in park.birds:
        key = {"bird_id": keys.birds[bird.name]}
        if bird.transponder:
            since = max(bird.stays[0].since, bird.hatched_on + timedelta(days=40))
            told = keys.spell(since, None)
            chips.append({**key, "number": bird.transponder, "where": "left of the neck", **told})
        for mark in bird.natural_marks:
            told = keys.spell(mark.noted_on, None)
            pin = {"text": mark.text, "x": mark.x, "y": mark.y, "review_on": mark.review_by}
            marks.append({**key, **pin, **told})
        if bird.sex_known_on is not None:
            fact = keys.told(keys.at_noon(bird.sex_known_on))
            findings.append({**key, "sex": bird.sex, "known_by": bird.sex_known_by, **fact})
    yield frozen("transponder", chips)
    yield frozen("natural_mark", marks)
    yield frozen("sex_finding", findings)


def _pairs(park: PreparedPark, keys: Keys) -> Iterator[dict[str, object]]:
    for pair in park.pairs:
        first, second = sorted((keys.birds[pair.female], keys.birds[pair.male]))
        number = keys.pairs[first, second] = len(keys.pairs) + 1
        yield {"id": number, "first_id": first, "second_id": second, **keys.spell(pair.since, None)}
