"""How one person misreads bands: their error chances, their eyes, and the colours as the bands look now."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from statistics import median
from typing import Final

from django.db.models import Q

from tarsus.core.marks.colour_vision import NORMAL, ColourVision
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.readings.colour_hypotheses import between
from tarsus.core.readings.lights import STATES, under
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, UNTRAINED, Reader
from tarsus.core.readings.teaching import Lesson, taught
from tarsus.queries.flock import FlockBird
from tarsus.queries.once import once
from tarsus.queries.one_park import one_park
from tarsus.records.models import Colour, LearnedReader, Person
from tarsus.records.models.words import ColourVision as Vision
from tarsus.records.models.words import ReadsAs

DAYS_A_YEAR: Final = 365.25


@dataclass(frozen=True, slots=True)
class Observers:
    """One person, and an untrained one, over the same colours as they look now; and the person in each state
    of light and mud, in the order of `STATES`."""

    person: Misreading
    untrained: Misreading
    in_states: tuple[Misreading, ...]


def observers_of(person_id: int, birds: Iterable[FlockBird], day: date) -> Observers:
    """The errors of one person over the park's colours, and those of a visitor, in three queries.

    What checks taught of the person serves where it has earned its use, else what they taught of the park.

    Args:
        person_id: whose eyes.
        birds: whose bands say how faded each colour is by now.
        day: the day of the reading.

    Returns:
        The error chances with their confusion tables in full.

    Assumes:
        Bands of one colour in one exhibit are about equally old: each colour is taken to look as its band of
        median age does, on the straight way in sRGB from the new colour to the faded one that the park
        entered.
    """
    person = Person.objects.get(pk=person_id)
    colours = list(Colour.objects.order_by("order", "id"))
    palette = _palette(colours)
    looks = Palette.of(dict(palette.colours) | _faded(colours, birds, day))
    base = Misreading.of(_reader(person.reads_as), palette, looks=looks, vision=_eyes(person))
    lesson = _lesson_for(person_id)
    own = taught(base, lesson)
    return Observers(
        own,
        Misreading.of(UNTRAINED, palette, looks=looks),
        tuple(under(own, palette, state) for state in STATES),
    )


def _palette(colours: Iterable[Colour]) -> Palette:
    return Palette.of({colour.name: colour.hex for colour in colours} or BUILT_IN.as_mapping())


def palette_now() -> Palette:
    """The park's colours as their names mean them, in one query."""
    return _palette(Colour.objects.order_by("order", "id"))


def _lesson_for(person_id: int | None) -> Lesson | None:
    """The lesson that serves a person: their own where it has earned its use, else the park's."""
    rows = LearnedReader.objects.filter(Q(person_id=person_id) | Q(person__isnull=True))
    kept: dict[int | None, Lesson] = {row.person_id: Lesson.of_plain(row.lesson) for row in rows}
    own = kept.get(person_id)
    return own if own is not None and own.earned else kept.get(None)


@dataclass(frozen=True)
class Thought:
    """Everybody as they were thought to read new bands, before any check: the park's reader, each person."""

    palette: Palette
    park: Misreading
    people: dict[int, Misreading]


def thought_of() -> Thought:
    """Everybody's errors as thought, over new bands, in three queries."""
    palette = palette_now()
    people = {
        person.pk: Misreading.of(_reader(person.reads_as), palette, vision=_eyes(person))
        for person in Person.objects.all()
    }
    return Thought(palette, Misreading.of(_reader(_chosen()), palette), people)


def _chosen() -> str:
    """What the park is thought to read as."""
    park = one_park()
    return park.reader if park else ReadsAs.TRAINED


def _reader(reads_as: str) -> Reader:
    return UNTRAINED if reads_as == ReadsAs.UNTRAINED else TRAINED


def _eyes(person: Person) -> ColourVision:
    if person.colour_vision == Vision.USUAL:
        return NORMAL
    return ColourVision(person.colour_vision, person.vision_severity)


def _faded(colours: Iterable[Colour], birds: Iterable[FlockBird], day: date) -> dict[str, str]:
    """The colours that look otherwise than new, by the median age of the bands that are worn."""
    ages: dict[str, list[float]] = defaultdict(list)
    for bird in birds:
        for band in bird.bands:
            ages[band.word].append((day - band.from_on).days / DAYS_A_YEAR)
    return {
        colour.name: between(colour.hex, colour.faded_hex, median(ages[colour.name]) / colour.fades_in_years)
        for colour in colours
        if colour.faded_hex and colour.fades_in_years and ages.get(colour.name)
    }


@dataclass(frozen=True, slots=True)
class ParkReader:
    """The reader that the park has chosen, and its colours, ready for any of its flocks."""

    reader: Reader
    colours: tuple[Colour, ...]
    lesson: Lesson | None = None

    def over(self, birds: Iterable[FlockBird], day: date, vision: ColourVision = NORMAL) -> Misreading:
        """Its errors, with usual eyes or others, over colours as they look now on these birds."""
        palette = _palette(self.colours)
        looks = Palette.of(dict(palette.colours) | _faded(self.colours, birds, day))
        return taught(Misreading.of(self.reader, palette, looks=looks, vision=vision), self.lesson)


@once
def park_reader() -> ParkReader:
    """The park's reader as checks have taught it, and colours, in three queries; for several flocks ask
    once."""
    return ParkReader(_reader(_chosen()), tuple(Colour.objects.order_by("order", "id")), _lesson_for(None))


def park_misreading(birds: Iterable[FlockBird], day: date, vision: ColourVision = NORMAL) -> Misreading:
    """The errors of the reader that the park has chosen, over colours as they look now.

    Args:
        birds: whose bands say how faded each colour is by now.
        day: the day of the reading.
        vision: with which eyes; usual ones.
    """
    return park_reader().over(birds, day, vision)
