"""What a report is asked about, and what several of them ask of the register."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from tarsus.core.words.days import day_words
from tarsus.queries.days import day_begins, day_ends, day_of, park_zone
from tarsus.records.models import Bird, Exhibit, Stay
from tarsus.records.standing import end_of, lasting_after


@dataclass(frozen=True, slots=True)
class Asked:
    """A span of days, both included, one exhibit or the whole park, and the moment of asking."""

    first: date
    last: date
    now: datetime
    exhibit_id: int | None = None

    @property
    def begins(self) -> datetime:
        """The first moment of the span."""
        return day_begins(self.first, park_zone())

    @property
    def ends(self) -> datetime:
        """The first moment after it."""
        return day_ends(self.last, park_zone())

    @property
    def words(self) -> str:
        """The span as it is read: *May 2026*, or from which day to which."""
        following = self.last + timedelta(days=1)
        if self.first.day == 1 and following.day == 1 and (following - self.first).days <= 31:
            return f"{self.first:%B %Y}"
        if self.first == self.last:
            return day_words(self.first)
        return f"{day_words(self.first)} to {day_words(self.last)}"


@dataclass(frozen=True, slots=True)
class Lived:
    """A bird that lived here in the span of a report, and in which exhibits, the latest last."""

    bird_id: int
    name: str
    species: str
    limit: int
    hatched_on: date | None
    exhibits: tuple[tuple[int, str], ...]

    @property
    def where(self) -> str:
        """Its exhibits in words."""
        return ", ".join(dict.fromkeys(name for _, name in self.exhibits))


def lived_between(asked: Asked) -> tuple[Lived, ...]:
    """The birds that lived here in a span, by species and name; in one query."""
    rows = lasting_after(Stay.objects.filter(from_on__lte=asked.last), asked.first - timedelta(days=1))
    found: dict[int, Lived] = {}
    for stay in rows.select_related("bird__species", "exhibit").order_by("bird_id", "from_on", "pk"):
        if (end := end_of(stay.to_on, stay.ended_at)) is not None and end <= max(asked.first, stay.from_on):
            continue
        before = found[stay.bird_id].exhibits if stay.bird_id in found else ()
        found[stay.bird_id] = Lived(
            stay.bird_id,
            str(stay.bird),
            stay.bird.species.name,
            stay.bird.species.max_unseen_days,
            stay.bird.hatched_on,
            (*before, (stay.exhibit_id, stay.exhibit.name)),
        )
    told = (
        one
        for one in found.values()
        if asked.exhibit_id is None or asked.exhibit_id in {pk for pk, _ in one.exhibits}
    )
    return tuple(sorted(told, key=lambda one: (one.species, one.name, one.bird_id)))


@dataclass(frozen=True, slots=True)
class Named:
    """A bird's name and species, wherever it lives or lived."""

    name: str
    species: str


def names_of_birds(bird_ids: Iterable[int]) -> dict[int, Named]:
    """The names of birds, in one query."""
    rows = Bird.objects.filter(pk__in=set(bird_ids)).select_related("species")
    return {row.pk: Named(str(row), row.species.name) for row in rows}


def lived_in(bird_ids: Iterable[int], days: Iterable[date]) -> dict[tuple[int, date], str]:
    """In which exhibit birds lived on days, in one query; nothing for a day on which one lived nowhere."""
    pairs = list(zip(bird_ids, days, strict=True))
    spells: dict[int, list[tuple[date, date | None, str]]] = {}
    if pairs:
        rows = lasting_after(Stay.objects.filter(bird_id__in={bird for bird, _ in pairs}), date.min)
        for stay in rows.select_related("exhibit").order_by("from_on", "pk"):
            end = end_of(stay.to_on, stay.ended_at)
            spells.setdefault(stay.bird_id, []).append((stay.from_on, end, stay.exhibit.name))
    told = {}
    for bird, day in pairs:
        homes = [
            name for start, end, name in spells.get(bird, ()) if start <= day and (not end or day <= end)
        ]
        if homes:
            told[bird, day] = homes[-1]
    return told


def exhibits_by_name() -> list[tuple[int, str]]:
    """The exhibits that a report may be asked of, closed ones among them."""
    return list(Exhibit.objects.order_by("order", "name").values_list("pk", "name"))


def at_park(moment: datetime) -> datetime:
    """A moment by the park's clock, as cells carry it."""
    return moment.astimezone(park_zone())


def day_at_park(moment: datetime) -> date:
    """The park's day of a moment."""
    return day_of(moment, park_zone())
