"""The rounds with their counts, groups and sightings, in batches: a year makes a hundred thousand facts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import islice
from typing import Final
from uuid import UUID, uuid5

from tarsus.actions.bulk.frozen import FrozenRows, frozen
from tarsus.core.rounds.naming import INFERRED, clears
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.prepared import PreparedPark, PreparedRound, PreparedSighting

ROUNDS_AT_ONCE: Final = 60


def round_rows(park: PreparedPark, keys: Keys, progress: Callable[[int], None]) -> Iterator[FrozenRows]:
    """Every round; `progress` hears how many rounds were told each time."""
    rounds = iter(park.rounds)
    while batch := list(islice(rounds, ROUNDS_AT_ONCE)):
        yield from _batch(batch, keys)
        progress(len(batch))


def _batch(batch: list[PreparedRound], keys: Keys) -> Iterator[FrozenRows]:
    made = [one for one in batch if not one.not_done_because]
    yield frozen("round", [{"id": UUID(one.id), "exhibit_id": keys.exhibits[one.exhibit]} for one in batch])
    yield frozen("round_not_done", [_not_done(one, keys) for one in batch if one.not_done_because])
    yield frozen("round_started", [_started(one, keys) for one in made])
    yield frozen("count", [row for one in made for row in _counts(one, keys)])
    yield frozen("group", [row for one in made for row in _groups(one, keys)])
    rows = [_sighting(one, UUID(one.id), seen, keys) for one in made for seen in one.sightings]
    yield FrozenRows("sighting", SIGHTING_COLUMNS, rows)
    yield frozen("round_closed", [_closed(one, keys) for one in made])


def _fact(one: PreparedRound, what: str) -> dict[str, object]:
    """An id that follows from the round's own, so that the park's rounds are told the same every time."""
    return {"id": uuid5(UUID(one.id), what), "round_id": UUID(one.id)}


def _not_done(one: PreparedRound, keys: Keys) -> dict[str, object]:
    told = keys.told(one.started_at, one.by)
    return {**_fact(one, "not done"), "because": one.not_done_because, **told}


def _started(one: PreparedRound, keys: Keys) -> dict[str, object]:
    return {**_fact(one, "started"), **keys.told(one.started_at, one.by)}


def _counts(one: PreparedRound, keys: Keys) -> Iterator[dict[str, object]]:
    told = keys.told(one.started_at, one.by)
    for name, number in one.counts.items():
        yield {**_fact(one, f"count {name}"), "lookalike": name, "counted": number, **told}


def _groups(one: PreparedRound, keys: Keys) -> Iterator[dict[str, object]]:
    for view in one.groups:
        yield {
            **_fact(one, f"group {view.id}"),
            "group": UUID(view.id),
            "place_id": keys.places[one.exhibit, view.place],
            "size": view.size,
            "flew": view.flew,
            **keys.told(view.at, one.by),
        }


SIGHTING_COLUMNS: Final = (
    "id",
    "recorded_by_id",
    "recorded_at",
    "happened_at",
    "round_id",
    "exhibit_id",
    "bird_id",
    "lookalike",
    "how",
    "reading",
    "candidates",
    "none_of_these",
    "chance",
    "accepted_by_id",
    "group",
    "position",
    "place_id",
)


def _sighting(one: PreparedRound, round_id: UUID, seen: PreparedSighting, keys: Keys) -> tuple[object, ...]:
    """One row in the order of `SIGHTING_COLUMNS`."""
    bird, by = keys.birds.get(seen.bird), keys.people[seen.by]
    return (
        UUID(seen.id),
        by,
        seen.at,
        seen.at,
        round_id,
        keys.exhibits[one.exhibit],
        bird,
        seen.lookalike,
        seen.how,
        None if seen.reading is None else seen.reading.as_mapping(),
        [{"bird": keys.birds[name], "chance": chance} for name, chance in seen.candidates],
        seen.none_of_these,
        seen.chance,
        None if bird is None else by,
        UUID(seen.group) if seen.group else None,
        seen.position,
        keys.places[one.exhibit, seen.place],
    )


def _closed(one: PreparedRound, keys: Keys) -> dict[str, object]:
    assert one.closed_at is not None
    seen = {s.bird for s in one.sightings if clears(keys.birds.get(s.bird), s.how, s.chance)}
    named = {s.lookalike for s in one.sightings if s.bird in seen}
    version = {
        "counts": dict(one.counts),
        "called": sorted(named | set(one.counts)),
        "observed": sorted(keys.birds[name] for name in seen),
        "doubtful": _named(one, keys, seen, inferred=False),
        "inferred": _named(one, keys, seen, inferred=True),
        "sightings": [s.id for s in one.sightings],
    }
    told = keys.told(one.closed_at, one.by)
    return {**_fact(one, "closed"), "version": version, **told}


def _named(one: PreparedRound, keys: Keys, seen: set[str], *, inferred: bool) -> list[int]:
    named = {s.bird for s in one.sightings if s.bird and (s.how == INFERRED) is inferred}
    return sorted(keys.birds[name] for name in named - seen)
