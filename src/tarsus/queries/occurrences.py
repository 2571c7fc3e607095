"""Observed sightings, as they are exported to the world: those that clear their bird and stand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from django.db.models import QuerySet

from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import sexes_of
from tarsus.queries.last_seen import CLEARED
from tarsus.queries.park import park_face
from tarsus.records.models import Bird, Sighting
from tarsus.records.standing import standing
from tarsus.tables.darwin_core import TERMS, Observed, occurrence
from tarsus.tables.writing import Table, Value

NAME: Final = "occurrences"
_COLUMNS: Final = (
    *("pk", "happened_at", "recorded_by__display_name", "bird_id", "exhibit__name", "place__name"),
    *("how", "chance", "round_id"),
)


def occurrences_held() -> int:
    """How many occurrences an export has to write."""
    return _observed().count()


def occurrences(progress: Callable[[int], None] = lambda _: None) -> Table:
    """Every observed sighting as an occurrence of Darwin Core, the earliest first; read as it is written.

    Args:
        progress: hears 1 for each row.
    """
    return Table(NAME, TERMS, _rows(progress))


def _observed() -> QuerySet[Sighting]:
    return standing(Sighting.objects.filter(CLEARED)).order_by("happened_at", "pk")


def _rows(progress: Callable[[int], None]) -> Iterator[Sequence[Value]]:
    park, zone = park_face().on_paper, park_zone()
    birds = {bird.pk: bird for bird in Bird.objects.select_related("species")}
    newest = _observed().values_list("happened_at", flat=True).last()
    sexes = sexes_of(birds, day_of(newest, zone)) if newest else {}
    for pk, at, by, bird_id, exhibit, place, how, chance, round_id in (
        _observed().values_list(*_COLUMNS).iterator(chunk_size=2000)
    ):
        assert bird_id is not None, "a sighting that clears names its bird"
        bird = birds[bird_id]
        progress(1)
        yield occurrence(
            Observed(
                id=str(pk),
                at=at.astimezone(zone),
                by=by,
                bird=bird_id,
                bird_name=str(bird),
                sex=sexes.get(bird_id, ("U", ""))[0],
                species=bird.species.name,
                scientific_name=bird.species.scientific_name,
                exhibit=exhibit,
                place=place or "",
                how=how,
                chance=chance,
                round=str(round_id or ""),
            ),
            park,
        )
