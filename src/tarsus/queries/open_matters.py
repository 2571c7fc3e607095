"""What is still open in a park: the vet's cases, bands on the floor, nameless carcases, forecast."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db.models import Prefetch

from tarsus.core.marks.loose_bands import BandOnRecord, likeliest_first, may_have_lost
from tarsus.core.marks.marks import METAL, Reading
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.deaths import unnamed_deaths
from tarsus.queries.flock import FlockBird
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.presence import BirdPresence
from tarsus.queries.whose import unanswered_finds
from tarsus.records.models import BandFound, Case, CaseNote, ForecastNote, Instruction, Sighting
from tarsus.records.standing import standing


@dataclass(frozen=True, slots=True)
class NoteInCase:
    """What somebody wrote into a case, the vet or a keeper who replies."""

    fact: UUID
    text: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class OpenCase:
    """A case of the vet's that is not closed; it may be about one of several birds.

    `instruction`: what the keepers are to do at the exhibit, the vet's latest word, or empty.
    """

    case_id: int
    about: str
    opened_at: datetime
    opened_by: str
    birds: tuple[Portrait, ...]
    bird_ids: tuple[int, ...]
    names: tuple[str, ...]
    instruction: str
    notes: tuple[NoteInCase, ...]
    see_again_on: date | None


@dataclass(frozen=True, slots=True)
class FoundBand:
    """A band that lay on the floor, and the birds there that wear its like by the record, the
    likeliest to have lost it first.

    `not_read_since` are those of them that nobody has read with such a band since it was found.
    """

    found_id: UUID
    exhibit: str
    place: str
    word: str
    engraving: str
    note: str
    found_at: datetime
    wearers: tuple[Portrait, ...]
    not_read_since: tuple[Portrait, ...]


@dataclass(frozen=True, slots=True)
class UnnamedCarcase:
    """A dead bird whose name is not known yet."""

    death_id: UUID
    species: str
    exhibit: str
    found_at: datetime
    carcase_label: str


@dataclass(frozen=True, slots=True)
class Forecast:
    """How warm and how cold (`None` where nobody said) a day is expected to be, as somebody wrote it."""

    high_c: float
    low_c: float | None
    note: str
    by: str
    at: datetime


def open_cases(birds: Mapping[int, FlockBird]) -> tuple[OpenCase, ...]:
    """The vet's open cases, the longest open first; a bird that lives nowhere now has no drawing."""
    told = standing(CaseNote.objects.select_related("recorded_by")).order_by("happened_at", "recorded_at")
    asked = standing(Instruction.objects.all()).order_by("happened_at", "recorded_at")
    notes = (Prefetch("notes", told, "notes_told"), Prefetch("instructions", asked, "asked"))
    rows = (
        Case.objects.filter(closed_at__isnull=True)
        .select_related("opened_by")
        .prefetch_related("birds", *notes)
        .order_by("opened_at", "id")
    )
    return tuple(_open_case(row, birds) for row in rows)


def _open_case(row: Case, birds: Mapping[int, FlockBird]) -> OpenCase:
    about = list(row.birds.all())
    told = row.notes_told  # type: ignore[attr-defined]  # named by the prefetch of the caller
    asked = row.asked  # type: ignore[attr-defined]  # as above
    return OpenCase(
        case_id=row.pk,
        about=row.about,
        opened_at=row.opened_at,
        opened_by=row.opened_by.display_name,
        birds=tuple(portrait_of(birds[bird.pk]) for bird in about if bird.pk in birds),
        bird_ids=tuple(bird.pk for bird in about),
        names=tuple(str(bird) for bird in about),
        instruction=asked[-1].text if asked else "",
        notes=tuple(
            NoteInCase(note.pk, note.text, note.recorded_by.display_name, note.happened_at) for note in told
        ),
        see_again_on=max((note.see_again_on for note in told if note.see_again_on), default=None),
    )


def instructions_for(birds: Iterable[int]) -> dict[int, list[Mapping[str, object]]]:
    """The open cases of birds as a tile and the keeper's reply need them: number, what about, what to do."""
    wanted = set(birds)
    found: dict[int, list[Mapping[str, object]]] = {}
    for case in open_cases({}):
        told = {"case": case.case_id, "about": case.about, "of": len(case.names), "do": case.instruction}
        for bird in wanted & set(case.bird_ids):
            found.setdefault(bird, []).append(told)
    return found


def found_bands(birds: Iterable[FlockBird], presence: Mapping[int, BirdPresence]) -> tuple[FoundBand, ...]:
    """Bands found on the floor whose owner is not known, with the birds there that wear their like."""
    living = list(birds)
    rows = list(unanswered_finds().select_related("exhibit", "place", "colour").order_by("-happened_at"))
    read = _read_since(rows)
    return tuple(_found_band(row, owners_of(row, living, presence), read) for row in rows)


_Readings = list[tuple[int, datetime, frozenset[str]]]


def _read_since(rows: list[BandFound]) -> _Readings:
    """Who was read with which bands since the oldest of these was found."""
    if not rows:
        return []
    sightings = standing(
        Sighting.objects.filter(how="by reading", happened_at__gte=min(row.happened_at for row in rows))
    ).values_list("bird_id", "happened_at", "reading")
    return [
        (bird, at, frozenset(band for _, bands in Reading.of(reading or {}).sites for band in bands))
        for bird, at, reading in sightings
        if bird is not None
    ]


def _found_band(row: BandFound, wearers: tuple[FlockBird, ...], read: _Readings) -> FoundBand:
    word = row.colour.name if row.colour else METAL
    read_with = {bird for bird, at, bands in read if at > row.happened_at and word in bands}
    return FoundBand(
        found_id=row.pk,
        exhibit=row.exhibit.name,
        place=row.place.name if row.place else "",
        word=word,
        engraving=row.engraving,
        note=row.note,
        found_at=row.happened_at,
        wearers=tuple(portrait_of(bird) for bird in wearers),
        not_read_since=tuple(portrait_of(bird) for bird in wearers if bird.bird_id not in read_with),
    )


def owners_of(
    row: BandFound, living: Iterable[FlockBird], presence: Mapping[int, BirdPresence]
) -> tuple[FlockBird, ...]:
    """The birds of its exhibit that a loose band may be of, the likeliest first.

    A bird that came after it was found is none of them, and a band fitted since is not it.
    """
    word, found_on = row.colour.name if row.colour else METAL, day_of(row.happened_at, park_zone())
    owners = []
    for bird in living:
        if bird.exhibit_id != row.exhibit_id or bird.since > found_on:
            continue
        by_then = [band for band in bird.bands if band.from_on <= found_on]
        worn = [BandOnRecord(band.word, band.engraving, band.flags) for band in by_then]
        unseen = presence[bird.bird_id].unseen_days
        if owner := may_have_lost(bird.name, worn, unseen, word, row.engraving):
            owners.append((likeliest_first(owner), bird.bird_id, bird))
    return tuple(bird for *_, bird in sorted(owners, key=lambda one: one[:2]))


def unnamed_carcases() -> tuple[UnnamedCarcase, ...]:
    """Dead birds found without a name, while nobody has said which they were."""
    rows = unnamed_deaths().select_related("species", "exhibit").order_by("happened_at")
    return tuple(
        UnnamedCarcase(row.pk, row.species.name, row.exhibit.name, row.happened_at, row.carcase_label)
        for row in rows
    )


def forecast_for(day: date) -> Forecast | None:
    """What was last written down of how warm a day will be."""
    row = (
        standing(ForecastNote.objects.filter(for_day=day))
        .select_related("recorded_by")
        .order_by("-happened_at", "-recorded_at")
        .first()
    )
    if row is None:
        return None
    return Forecast(row.high_c, row.low_c, row.note, row.recorded_by.display_name, row.happened_at)
