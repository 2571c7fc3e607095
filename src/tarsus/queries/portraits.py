"""A bird as it is drawn: its marks with what is noted of each band, and the pins of its natural marks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import FlockBird, birds_named
from tarsus.queries.marks import WornBand


@dataclass(frozen=True, slots=True)
class Portrait:
    """What a page needs to draw a bird and to name it. `told` are its natural marks in words."""

    bird_id: int
    name: str
    species: str
    lookalike: str
    form: str
    sex: str
    exhibit_id: int
    marks: dict[str, list[str]]
    flags: dict[str, list[str]]
    pins: tuple[dict[str, float], ...]
    told: tuple[str, ...]


def portrait_of(bird: FlockBird) -> Portrait:
    """The portrait of one bird of a flock."""
    marks, flags = drawn_marks(bird.bands)
    pins = tuple(
        {"x": mark.x, "y": mark.y} for mark in bird.natural_marks if mark.x is not None and mark.y is not None
    )
    return Portrait(
        bird_id=bird.bird_id,
        name=bird.name,
        species=bird.species,
        lookalike=bird.lookalike,
        form=bird.form,
        sex=bird.sex,
        exhibit_id=bird.exhibit_id,
        marks=marks,
        flags=flags,
        pins=pins,
        told=tuple(mark.text for mark in bird.natural_marks),
    )


def portrait_of_bird(bird_id: int, now: datetime) -> Portrait | None:
    """The portrait of one bird, none for one that lives nowhere now."""
    found = birds_named([bird_id], day_of(now, park_zone()))
    return portrait_of(found[0]) if found else None


def drawn_marks(bands: Iterable[WornBand]) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    """Bands by site and, parallel to them, what is noted of each; the second is empty where nothing is."""
    marks: dict[str, list[str]] = defaultdict(list)
    flags: dict[str, list[str]] = defaultdict(list)
    for band in bands:
        marks[band.site].append(band.word)
        flags[band.site].append(" ".join(band.flags))
    return dict(marks), {site: said for site, said in flags.items() if any(said)}


def mfu(birds: Iterable[FlockBird]) -> str:
    """Counted birds as they are written: male.female.unsexed."""
    counted = [bird.sex for bird in birds if bird.counted]
    return f"{counted.count('M')}.{counted.count('F')}.{counted.count('U')}"
