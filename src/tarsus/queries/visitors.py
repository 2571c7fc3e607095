"""What visitors may read of the birds of an exhibit: an allow-list, put together here and nowhere else."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

from django.db.models import QuerySet

from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.words.age import age_in_words
from tarsus.paper.bands import ColourOnPaper
from tarsus.queries.flock import flock_of
from tarsus.queries.park import colours_worn, park_face
from tarsus.records.models import Bird, Exhibit, Park, Place, Species, Story
from tarsus.records.models.words import PlaceKind, Purpose, VisitorPages
from tarsus.records.standing import standing

_FOR: Final = b"tarsus page for visitors"
_APART: Final = (PlaceKind.OFF_SHOW, PlaceKind.HOSPITAL, PlaceKind.QUARANTINE)
_SEX: Final = {"F": "female", "M": "male"}


@dataclass(frozen=True, slots=True)
class VisitorBird:
    """One bird as anybody may read of it: nothing of its health, its handlings, its number or its place.

    `sex` and `age` are words, empty where they are not known; `story` is what the lead keeper wrote.
    """

    name: str
    sex: str
    age: str
    form: str
    marks: Marks
    story: str


@dataclass(frozen=True, slots=True)
class VisitorSpecies:
    """The birds of one species, by name."""

    name: str
    scientific_name: str
    birds: tuple[VisitorBird, ...]


@dataclass(frozen=True, slots=True)
class VisitorExhibit:
    """An exhibit as anybody may read of it."""

    park: str
    exhibit: str
    species: tuple[VisitorSpecies, ...]
    colours: dict[str, ColourOnPaper]
    metal_letter: str


def way_for_visitors() -> str:
    """Whether visitors may open pages: ``off``, ``link`` or ``plain``."""
    said = Park.objects.values_list("visitor_pages", flat=True).first()
    return str(said or VisitorPages.OFF)


def visitor_key(exhibit_id: int, signing_key: str, way: str) -> str:
    """What stands in the address of an exhibit's page: its number, or what nobody guesses; or nothing."""
    if way == VisitorPages.PLAIN:
        return str(exhibit_id)
    if way == VisitorPages.LINK:
        told = hmac.new(signing_key.encode(), _FOR + str(exhibit_id).encode(), hashlib.sha256)
        return told.hexdigest()[:32]
    return ""


def exhibit_of_key(key: str, signing_key: str) -> int | None:
    """The exhibit on display whose page this key opens; nothing where the park opens none."""
    way = way_for_visitors()
    if way == VisitorPages.OFF:
        return None
    found = (
        number
        for number in _on_display().values_list("pk", flat=True)
        if hmac.compare_digest(visitor_key(number, signing_key, way).encode(), key.encode())
    )
    return next(found, None)


def is_on_display(exhibit_id: int) -> bool:
    """Whether visitors see this exhibit at all."""
    return _on_display().filter(pk=exhibit_id).exists()


def visitors_read(exhibit_id: int, day: date) -> VisitorExhibit | None:
    """What visitors may read of an exhibit on display; nothing of any other.

    Only birds that have a house name, count and are there by the record: a chick in a nest, a bird that is
    missing, in quarantine, in a hospital or off show, be it in a place of this very exhibit, is nobody's
    business yet.

    Args:
        exhibit_id: which exhibit.
        day: the park's day.
    """
    name = _on_display().filter(pk=exhibit_id).values_list("name", flat=True).first()
    if name is None:
        return None
    face = park_face()
    apart = set(Place.objects.filter(exhibit_id=exhibit_id, kind__in=_APART).values_list("pk", flat=True))
    here = [
        bird
        for bird in flock_of(exhibit_id, day)
        if bird.counted and not bird.whereabouts and bird.place_id not in apart
    ]
    ids = [bird.bird_id for bird in here]
    known = Bird.objects.in_bulk(ids)
    stories = stories_of(ids)
    by_species: dict[int, list[VisitorBird]] = {}
    for bird in here:
        row = known[bird.bird_id]
        if row.house_name:
            age = age_in_words(row.hatched_on, row.hatched_precision, day)
            told = VisitorBird(
                row.house_name, _SEX.get(bird.sex, ""), age, bird.form, bird.marks, stories.get(row.pk, "")
            )
            by_species.setdefault(bird.species_id, []).append(told)
    told_of = [bird for birds in by_species.values() for bird in birds]
    return VisitorExhibit(
        face.on_paper,
        name,
        tuple(_species(by_species)),
        colours_worn(face, (bird.marks for bird in told_of)),
        face.letters[METAL],
    )


def stories_of(bird_ids: Iterable[int]) -> dict[int, str]:
    """What visitors read of each bird; the latest that stands, birds of whom it says nothing left out."""
    told = standing(Story.objects.filter(bird_id__in=list(bird_ids))).order_by("recorded_at", "pk")
    latest = dict(told.values_list("bird_id", "text"))
    return {bird: text for bird, text in latest.items() if text}


def _species(birds: dict[int, list[VisitorBird]]) -> Iterable[VisitorSpecies]:
    rows = Species.objects.filter(pk__in=birds).order_by("name")
    for row in rows:
        listed = tuple(sorted(birds[row.pk], key=lambda bird: bird.name))
        yield VisitorSpecies(row.name, row.scientific_name, listed)


def _on_display() -> QuerySet[Exhibit]:
    return Exhibit.objects.filter(purpose=Purpose.DISPLAY, closed_on__isnull=True)
