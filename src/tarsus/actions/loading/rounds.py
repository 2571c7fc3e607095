"""The rounds with their counts, groups and sightings, in batches: a year makes a hundred thousand facts."""

from __future__ import annotations

from collections.abc import Callable
from itertools import islice
from typing import Final
from uuid import UUID, uuid5

from tarsus.actions.loading.inserting import insert_rows
from tarsus.actions.loading.keys import BATCH, Keys
from tarsus.actions.loading.prepared import PreparedPark, PreparedRound, PreparedSighting
from tarsus.core.rounds.naming import INFERRED, clears
from tarsus.records.models import Count, Group, Round, RoundClosed, RoundNotDone, RoundStarted, Sighting

ROUNDS_AT_ONCE: Final = 60


def load_rounds(park: PreparedPark, keys: Keys, progress: Callable[[int], None]) -> None:
    """Write down every round; `progress` hears how many rounds were written each time."""
    rounds = iter(park.rounds)
    while batch := list(islice(rounds, ROUNDS_AT_ONCE)):
        _load_batch(batch, keys)
        progress(len(batch))


def _load_batch(batch: list[PreparedRound], keys: Keys) -> None:
    Round.objects.bulk_create(
        [Round(id=UUID(one.id), exhibit_id=keys.exhibits[one.exhibit]) for one in batch], batch_size=BATCH
    )
    made = [one for one in batch if not one.not_done_because]
    RoundNotDone.objects.bulk_create([_not_done(one, keys) for one in batch if one.not_done_because])
    RoundStarted.objects.bulk_create([_started(one, keys) for one in made])
    Count.objects.bulk_create([row for one in made for row in _counts(one, keys)], batch_size=BATCH)
    Group.objects.bulk_create([row for one in made for row in _groups(one, keys)], batch_size=BATCH)
    rows = [_sighting(one, UUID(one.id), seen, keys) for one in made for seen in one.sightings]
    insert_rows(Sighting, SIGHTING_COLUMNS, rows)
    RoundClosed.objects.bulk_create([_closed(one, keys) for one in made])


def _fact_id(one: PreparedRound, what: str) -> UUID:
    """An id that follows from the round's own, so that a prepared park loads the same every time."""
    return uuid5(UUID(one.id), what)


def _not_done(one: PreparedRound, keys: Keys) -> RoundNotDone:
    told = keys.told(one.started_at, one.by)
    return RoundNotDone(
        id=_fact_id(one, "not done"), round_id=UUID(one.id), because=one.not_done_because, **told
    )


def _started(one: PreparedRound, keys: Keys) -> RoundStarted:
    return RoundStarted(
        id=_fact_id(one, "started"), round_id=UUID(one.id), **keys.told(one.started_at, one.by)
    )


def _counts(one: PreparedRound, keys: Keys) -> list[Count]:
    told = keys.told(one.started_at, one.by)
    return [
        Count(
            id=_fact_id(one, f"count {name}"),
            round_id=UUID(one.id),
            lookalike=name,
            counted=number,
            **told,
        )
        for name, number in one.counts.items()
    ]


def _groups(one: PreparedRound, keys: Keys) -> list[Group]:
    return [
        Group(
            id=_fact_id(one, f"group {view.id}"),
            round_id=UUID(one.id),
            group=UUID(view.id),
            place_id=keys.places[one.exhibit, view.place],
            size=view.size,
            flew=view.flew,
            **keys.told(view.at, one.by),
        )
        for view in one.groups
    ]


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


def _closed(one: PreparedRound, keys: Keys) -> RoundClosed:
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
    return RoundClosed(id=_fact_id(one, "closed"), round_id=UUID(one.id), version=version, **told)


def _named(one: PreparedRound, keys: Keys, seen: set[str], *, inferred: bool) -> list[int]:
    named = {s.bird for s in one.sightings if s.bird and (s.how == INFERRED) is inferred}
    return sorted(keys.birds[name] for name in named - seen)
