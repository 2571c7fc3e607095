"""Whose may it be: a band on the floor, a carcase without bands. Nobody is taken for dead."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Q, QuerySet

from tarsus.core.errors import NoAnswer
from tarsus.core.marks.loose_bands import number_fits
from tarsus.queries.days import day_begins, day_ends, day_of, park_zone
from tarsus.queries.deaths import unnamed_deaths
from tarsus.queries.flock import birds_named, flock_of
from tarsus.queries.last_seen import LastSeen, last_seen
from tarsus.queries.marks import bands_of, engraving_key
from tarsus.records.models import Band, BandFound, BandOwnerNamed, Death, Stay
from tarsus.records.standing import standing

LOOKED_BACK = timedelta(days=730)
"""A band recorded as lost may lie somewhere for a while before it is found."""


class NothingFound(NoAnswer):
    """No find has this id."""

    def __init__(self, found_id: UUID) -> None:
        self.found_id = found_id
        super().__init__(f"no find {found_id} is in this register; write it down first")


@dataclass(frozen=True, slots=True)
class PossibleOwner:
    """A bird that a find may belong to, and why it is thought of. `rank` 0 is the likeliest reason."""

    bird_id: int
    name: str
    band_id: int | None
    rank: int
    because: str
    last_seen: LastSeen | None


@dataclass(frozen=True, slots=True)
class Find:
    """A band that lay somewhere, of which nobody knows yet whose it was."""

    found_id: UUID
    exhibit_id: int
    exhibit: str
    place: str
    kind: str
    colour: str
    engraving: str
    at: datetime
    finder: str
    note: str


@dataclass(frozen=True, slots=True)
class OpenCarcase:
    """A carcase without bands: *which?* is open. `missed` are birds it may be, the longest unseen first."""

    death_id: UUID
    exhibit_id: int
    exhibit: str
    species: str
    lookalike: str
    label: str
    at: datetime
    missed: tuple[PossibleOwner, ...]


def unanswered_finds() -> QuerySet[BandFound]:
    """Bands found of which nobody has said whose they were, or of which that was taken back."""
    named = standing(BandOwnerNamed.objects.all()).values("found")
    return standing(BandFound.objects.all()).exclude(pk__in=named)


def open_finds() -> tuple[Find, ...]:
    """Bands found whose owner nobody has named yet, the newest first."""
    rows = unanswered_finds()
    rows = rows.select_related("exhibit", "place", "colour", "recorded_by")
    return tuple(_find(row) for row in rows.order_by("-happened_at", "pk"))


def possible_owners(found_id: UUID) -> tuple[PossibleOwner, ...]:
    """Whose a found band may be, the likeliest reason first, then the birds unseen for longest.

    A number that is read names one bird; one that is read in part (``?`` for a sign not read) those whose
    number it can be. Otherwise: birds here whose band was found missing, birds here whose band was written
    off as lost within two years, and all others here that wear such a band by the record.

    Raises:
        NothingFound: no find has this id.
    """
    row = BandFound.objects.filter(pk=found_id).select_related("colour").first()
    if row is None:
        raise NothingFound(found_id)
    day = day_of(row.happened_at, park_zone())
    if row.engraving and (read := _by_its_number(row, day)):
        return _owners(read, day)
    return _owners(_by_its_look(row, day), day)


def owners_to_choose(found_id: UUID) -> tuple[tuple[int, str], ...]:
    """The bands that a found one may be, the likeliest first, each with its bird and why it is thought of.

    Where no bird here comes into question, every such band of the park that was on a bird by then; nothing
    where there is no such find.
    """
    row = BandFound.objects.filter(pk=found_id).first()
    if row is None:
        return ()
    owners = [
        (one.band_id, f"{one.name}: {one.because}")
        for one in possible_owners(found_id)
        if one.band_id is not None
    ]
    if owners:
        return tuple(owners)
    alike = _such_bands(row, day_of(row.happened_at, park_zone())).order_by("bird__house_name", "pk")
    return tuple((band.pk, f"{band.bird}, {band.site}") for band in alike)


def open_carcases(exhibit_id: int | None = None) -> tuple[OpenCarcase, ...]:
    """Carcases without bands whose bird nobody has named yet, each with the birds it may be."""
    rows = unnamed_deaths()
    if exhibit_id is not None:
        rows = rows.filter(exhibit_id=exhibit_id)
    return tuple(_carcase(row) for row in rows.select_related("species", "exhibit").order_by("happened_at"))


def _find(row: BandFound) -> Find:
    return Find(
        found_id=row.pk,
        exhibit_id=row.exhibit_id,
        exhibit=row.exhibit.name,
        place=row.place.name if row.place else "",
        kind=row.kind,
        colour=row.colour.name if row.colour else "",
        engraving=row.engraving,
        at=row.happened_at,
        finder=row.recorded_by.display_name,
        note=row.note,
    )


def _such_bands(row: BandFound, day: date) -> QuerySet[Band]:
    """Bands of its kind and colour that were on a bird by then; what was fitted later cannot be it."""
    return Band.objects.select_related("bird").filter(
        kind=row.kind, colour=row.colour, taken_back_at__isnull=True, from_on__lte=day
    )


def _by_its_number(row: BandFound, day: date) -> list[tuple[Band, int, str]]:
    numbered = Band.objects.select_related("bird").filter(taken_back_at__isnull=True, from_on__lte=day)
    whole = numbered.filter(engraving_key=engraving_key(row.engraving))
    told = [(band, 0, f"its number is {band.engraving}") for band in whole]
    if told:
        return told
    return [
        (band, 0, f"{row.engraving} can be its number {band.engraving}")
        for band in numbered.exclude(engraving_key="")
        if number_fits(band.engraving, row.engraving)
    ]


def _by_its_look(row: BandFound, day: date) -> list[tuple[Band, int, str]]:
    alike = _such_bands(row, day)
    here = _birds_here(row.exhibit_id, day)
    lost = alike.filter(here, why_off="lost", to_on__gte=day - LOOKED_BACK)
    worn = list(alike.filter(here).filter(Q(to_on__isnull=True) | Q(to_on__gt=day)))
    last = {
        band.band_id: band.conditions
        for bands in bands_of({band.bird_id for band in worn}, day).values()
        for band in bands
    }
    told = [
        (band, 1, "this band was missing at its last check")
        if "missing" in last.get(band.pk, ())
        else (band, 3, "it wears such a band by the record")
        for band in worn
    ]
    return told + [(band, 2, f"such a band was written off as lost on {band.to_on}") for band in lost]


def _birds_here(exhibit_id: int, day: date) -> Q:
    began = Q(from_on__lte=day, taken_back_at__isnull=True)
    stays: QuerySet[Stay] = Stay.objects.filter(began, Q(to_on__isnull=True) | Q(to_on__gt=day))
    return Q(bird_id__in=stays.filter(exhibit_id=exhibit_id).values("bird"))


def _owners(told: Iterable[tuple[Band, int, str]], day: date) -> tuple[PossibleOwner, ...]:
    by_bird: dict[int, tuple[Band, int, str]] = {}
    for band, rank, because in told:
        if band.bird_id not in by_bird or rank < by_bird[band.bird_id][1]:
            by_bird[band.bird_id] = (band, rank, because)
    seen = last_seen(by_bird, day_ends(day, park_zone()))
    owners = [
        PossibleOwner(bird, str(band.bird), band.pk, rank, because, seen.get(bird))
        for bird, (band, rank, because) in by_bird.items()
    ]
    return tuple(sorted(owners, key=_longest_unseen))


def _longest_unseen(owner: PossibleOwner) -> tuple[int, float, int]:
    return owner.rank, owner.last_seen.at.timestamp() if owner.last_seen else 0.0, owner.bird_id


def _carcase(row: Death) -> OpenCarcase:
    zone = park_zone()
    day = day_of(row.happened_at, zone)
    before = day - timedelta(days=1)
    flock = [
        bird
        for bird in flock_of(row.exhibit_id, before)
        if bird.lookalike == row.species.lookalike and bird.species == row.species.name
    ]
    alive = {bird.bird_id for bird in birds_named([bird.bird_id for bird in flock], day)}
    after = last_seen([bird.bird_id for bird in flock])
    missed = [
        PossibleOwner(bird.bird_id, bird.name, None, 0, "not seen since", after.get(bird.bird_id))
        for bird in flock
        if bird.bird_id in alive and _unseen_since(after.get(bird.bird_id), day_begins(day, zone))
    ]
    return OpenCarcase(
        death_id=row.pk,
        exhibit_id=row.exhibit_id,
        exhibit=row.exhibit.name,
        species=row.species.name,
        lookalike=row.species.lookalike,
        label=row.carcase_label,
        at=row.happened_at,
        missed=tuple(sorted(missed, key=_longest_unseen)),
    )


def _unseen_since(seen: LastSeen | None, moment: datetime) -> bool:
    return seen is None or seen.at < moment
