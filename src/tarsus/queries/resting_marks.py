"""Marks that rest: nobody wears them now, and readers still have the bird in mind that did."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta

from tarsus.core.marks.marks import Marks
from tarsus.queries.marks import bands_of, marks_of
from tarsus.queries.one_park import one_park
from tarsus.records.models import Bird, Park, Stay


@dataclass(frozen=True, slots=True)
class Resting:
    """The marks of a bird that died or left, and the day from which they may be given again."""

    bird_id: int
    name: str
    form: str
    marks: Marks
    until: date


def resting_marks(lookalike: str, today: date) -> tuple[Resting, ...]:
    """The marks of a look-alike group that rest on a day, those that rest longest first.

    A bird that is presumed dead has left too; one that came back wears its marks again and rests none.

    Args:
        lookalike: the look-alike group, anywhere in the park.
        today: the park's day.

    Returns:
        In a number of queries that grows with the days on which birds went, not with the birds.
    """
    days = (one_park() or Park()).marks_rest_days
    if not days:
        return ()
    went = _went(lookalike, today - timedelta(days=days), today)
    names = {bird.pk: bird for bird in Bird.objects.filter(pk__in=went).select_related("species")}
    by_day: dict[date, list[int]] = defaultdict(list)
    for bird, on in went.items():
        by_day[on].append(bird)
    found = []
    for on, birds in by_day.items():
        # What was taken off on the day it went was worn that day.
        before, then = bands_of(birds, on - timedelta(days=1)), bands_of(birds, on)
        for bird in birds:
            marks = marks_of(then.get(bird) or before.get(bird, ()))
            if marks.sites:
                until = on + timedelta(days=days)
                found.append(Resting(bird, str(names[bird]), names[bird].species.form, marks, until))
    return tuple(sorted(found, key=lambda one: (one.until, one.name), reverse=True))


def _went(lookalike: str, after: date, today: date) -> dict[int, date]:
    """Birds that live nowhere now, and the day on which they went."""
    stays = Stay.objects.filter(taken_back_at__isnull=True, bird__species__lookalike=lookalike)
    gone: dict[int, date] = {}
    for bird, to_on in stays.order_by("from_on", "pk").values_list("bird_id", "to_on"):
        if to_on is None or to_on > today:
            gone.pop(bird, None)
        else:
            gone[bird] = to_on
    return {bird: on for bird, on in gone.items() if on > after}
