"""What was told of roll calls, out of the tables as plain facts: what the fold of `core.rounds` takes.

Withdrawn facts are left out here by the database; `records.standing` says how, and a test plays the published
cases through the tables so that it stays the fold's own rule.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any, Final

from django.db.models import Q, QuerySet

from tarsus.core.marks.marks import Reading
from tarsus.core.rounds.facts import Closed, Counted, Grouped, NotDone, Reopened, RoundFact, Sighted, Started
from tarsus.queries.last_seen import CLEARED
from tarsus.records.models import (
    Count,
    Group,
    Round,
    RoundClosed,
    RoundNotDone,
    RoundReopened,
    RoundStarted,
    Sighting,
)
from tarsus.records.standing import standing

ByExhibit = dict[int, list[RoundFact]]
"""Facts by the exhibit whose roll was called."""

_TOLD: Final = ("pk", "round_id", "happened_at", "recorded_by_id")
_BARE: Final = (*_TOLD, "recorded_at")


def rounds_begun(first: datetime, last: datetime, exhibits: Iterable[int] | None = None) -> QuerySet[Round]:
    """The rounds begun, or never begun and not done, from one moment until another."""
    started = standing(RoundStarted.objects.filter(happened_at__gte=first, happened_at__lt=last))
    not_done = standing(RoundNotDone.objects.filter(happened_at__gte=first, happened_at__lt=last))
    named = Q(pk__in=started.values("round")) | Q(pk__in=not_done.values("round"), started__isnull=True)
    rounds = Round.objects.filter(named)
    return rounds if exhibits is None else rounds.filter(exhibit_id__in=list(exhibits))


def course_facts(where: Mapping[str, Any]) -> ByExhibit:
    """What was told of the course of rounds: started, closed, opened again, not done, counted; five queries.

    Args:
        where: which facts, by columns that all those tables have.

    Returns:
        exhibit -> facts that stand.
    """
    found: ByExhibit = defaultdict(list)
    for table, kind in ((RoundStarted, Started), (RoundClosed, Closed), (RoundReopened, Reopened)):
        for exhibit, *told in _rows(table, where, *_BARE):
            found[exhibit].append(kind(*told))
    for exhibit, *told in _rows(RoundNotDone, where, *_TOLD, "because", "lookalike", "recorded_at"):
        found[exhibit].append(NotDone(*told))
    for exhibit, *told in _rows(Count, where, *_TOLD, "lookalike", "counted", "recorded_at"):
        found[exhibit].append(Counted(*told))
    return found


def facts_of_rounds(rounds: QuerySet[Round]) -> ByExhibit:
    """Everything that was told of some rounds, readings and groups in view among it; seven queries."""
    where = {"round__in": rounds}
    found = course_facts(where)
    columns = ("group", "size", "place_id", "flew", "recorded_at")
    for exhibit, *told in _rows(Group, where, *_TOLD, *columns):
        found[exhibit].append(Grouped(*told))
    for row in standing(Sighting.objects.filter(**where)):
        found[row.exhibit_id].append(as_sighted(row))
    return found


def as_sighted(row: Sighting) -> Sighted:
    """A row as a plain fact, with what was read."""
    return Sighted(
        id=row.pk,
        round=row.round_id,
        happened_at=row.happened_at,
        by=row.recorded_by_id,
        lookalike=row.lookalike,
        bird=row.bird_id,
        how=row.how,
        chance=row.chance,
        candidates=tuple((one["bird"], one["chance"]) for one in row.candidates),
        none_of_these=row.none_of_these,
        reading=None if row.reading is None else Reading.of(row.reading),
        group=row.group,
        position=row.position,
        place=row.place_id,
        recorded_at=row.recorded_at,
        photographed=row.photographed,
    )


def names_told(sightings: QuerySet[Sighting]) -> Iterator[tuple[int, Sighted]]:
    """Sightings with their exhibits as far as a roll asks: who, how surely, when; in two queries.

    What was read is left out, and the ids are numbers of this answer only, in order of time: a year has a
    hundred thousand of them, and making their ids would take half the time.
    """
    columns = ("exhibit_id", *_TOLD[1:], "lookalike", "bird_id", "how", "chance")
    rows = standing(sightings).order_by("happened_at", "pk")
    number = 0
    sure = rows.filter(CLEARED).values_list(*columns, "photographed")
    for exhibit, round_id, at, by, lookalike, bird, how, chance, pictured in sure.iterator(5000):
        number += 1
        seen = Sighted(number, round_id, at, by, lookalike, bird, how, chance, photographed=pictured)
        yield exhibit, seen
    unsure = rows.exclude(CLEARED).values_list(*columns, "candidates")
    for exhibit, round_id, at, by, lookalike, bird, how, chance, candidates in unsure.iterator(5000):
        number += 1
        shares = tuple((int(one["bird"]), one["chance"]) for one in candidates)
        yield exhibit, Sighted(number, round_id, at, by, lookalike, bird, how, chance, shares)


def _rows(table: Any, where: Mapping[str, Any], *columns: str) -> Iterator[tuple[Any, ...]]:
    rows = standing(table.objects.filter(**where)).values_list("round__exhibit_id", *columns)
    yield from rows.order_by()
