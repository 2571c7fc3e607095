"""One exhibit: its flocks and the birds in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from tarsus.core.errors import NoAnswer
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.exhibit_names import exhibit_names
from tarsus.queries.flock import FlockBird, birds_everywhere, flock_of
from tarsus.queries.once import once
from tarsus.queries.portraits import Portrait, mfu, portrait_of
from tarsus.queries.reports import OpenReport, open_reports
from tarsus.queries.roll_today import ExhibitToday, exhibits_today
from tarsus.records.models import Exhibit


class NoSuchExhibit(NoAnswer):
    """No exhibit has this id."""

    def __init__(self, exhibit_id: int) -> None:
        self.exhibit_id = exhibit_id
        super().__init__("no such exhibit is in this register; go to Exhibits and choose one")


@dataclass(frozen=True, slots=True)
class FlockListed:
    """Birds of one exhibit that look alike."""

    exhibit_id: int
    exhibit: str
    lookalike: str
    species: tuple[str, ...]
    mfu: str
    on_roll: int
    birds: tuple[Portrait, ...]
    uncounted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ExhibitPage:
    """An exhibit with its places, its roll call of today, its flocks and what was reported of it."""

    today: ExhibitToday | None
    name: str
    exhibit_id: int
    places: tuple[tuple[str, str], ...]
    flocks: tuple[FlockListed, ...]
    reports: tuple[OpenReport, ...]


def flocks_among(birds: tuple[FlockBird, ...], names: Mapping[int, str]) -> tuple[FlockListed, ...]:
    """Birds by exhibit and look-alike group."""
    found: dict[tuple[int, str], list[FlockBird]] = {}
    for bird in birds:
        found.setdefault((bird.exhibit_id, bird.lookalike), []).append(bird)
    return tuple(
        FlockListed(
            exhibit_id=exhibit,
            exhibit=names[exhibit],
            lookalike=lookalike,
            species=tuple(sorted({bird.species for bird in flock})),
            mfu=mfu(flock),
            on_roll=sum(bird.counted for bird in flock),
            birds=tuple(portrait_of(bird) for bird in flock),
            uncounted=tuple(bird.name for bird in flock if not bird.counted),
        )
        for (exhibit, lookalike), flock in sorted(
            found.items(), key=lambda one: (names[one[0][0]], one[0][1])
        )
    )


@once
def exhibit_page(exhibit_id: int, now: datetime) -> ExhibitPage:
    """One exhibit as of a moment.

    Raises:
        NoSuchExhibit: the register has none of this id.
    """
    row = Exhibit.objects.filter(pk=exhibit_id).first()
    if row is None:
        raise NoSuchExhibit(exhibit_id)
    birds = flock_of(exhibit_id, day_of(now, park_zone()))
    shown = [one for one in exhibits_today(birds, now) if one.exhibit_id == exhibit_id]
    places = row.places.filter(closed_on__isnull=True).order_by("order", "name").values_list("name", "kind")
    return ExhibitPage(
        today=shown[0] if shown else None,
        name=row.name,
        exhibit_id=row.pk,
        places=tuple(places),
        flocks=flocks_among(birds, {row.pk: row.name}),
        reports=tuple(one for one in open_reports(birds) if row.pk in one.exhibits),
    )


def exhibit_named(exhibit_id: int) -> str:
    """What an exhibit is called.

    Raises:
        NoSuchExhibit: none has this id.
    """
    name = Exhibit.objects.filter(pk=exhibit_id).values_list("name", flat=True).first()
    if name is None:
        raise NoSuchExhibit(exhibit_id)
    return name


def all_flocks(now: datetime) -> tuple[FlockListed, ...]:
    """Every flock of the park as of a moment."""
    birds = birds_everywhere(day_of(now, park_zone()))
    return flocks_among(birds, exhibit_names())


def exhibits_now(now: datetime) -> tuple[ExhibitToday, ...]:
    """Every exhibit with its roll call of today."""
    return exhibits_today(birds_everywhere(day_of(now, park_zone())), now)
