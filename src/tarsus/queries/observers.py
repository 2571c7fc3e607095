"""How one person misreads bands: their error chances, their eyes, and the colours as the bands look now."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from statistics import median
from typing import Final

from tarsus.core.marks.colour_vision import NORMAL, ColourVision
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, UNTRAINED, Reader
from tarsus.queries.flock import FlockBird
from tarsus.records.models import Colour, Park, Person
from tarsus.records.models.words import ColourVision as Vision
from tarsus.records.models.words import ReadsAs

DAYS_A_YEAR: Final = 365.25


@dataclass(frozen=True, slots=True)
class Observers:
    """One person, and an untrained one, over the same colours as they look now."""

    person: Misreading
    untrained: Misreading


def observers_of(person_id: int, birds: Iterable[FlockBird], day: date) -> Observers:
    """The errors of one person over the park's colours, and those of a visitor, in two queries.

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
    palette = Palette.of({colour.name: colour.hex for colour in colours}) if colours else BUILT_IN
    looks = Palette.of(dict(palette.colours) | _faded(colours, birds, day))
    return Observers(
        Misreading.of(_reader(person.reads_as), palette, looks=looks, vision=_eyes(person)),
        Misreading.of(UNTRAINED, palette, looks=looks),
    )


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
        colour.name: _between(colour.hex, colour.faded_hex, median(ages[colour.name]) / colour.fades_in_years)
        for colour in colours
        if colour.faded_hex and colour.fades_in_years and ages.get(colour.name)
    }


def _between(new: str, faded: str, share: float) -> str:
    share = min(1.0, max(0.0, share))
    channels = [
        round(int(new[at : at + 2], 16) * (1 - share) + int(faded[at : at + 2], 16) * share)
        for at in (1, 3, 5)
    ]
    return "#" + "".join(f"{channel:02x}" for channel in channels)


@dataclass(frozen=True, slots=True)
class ParkReader:
    """The reader that the park has chosen, and its colours, ready for any of its flocks."""

    reader: Reader
    colours: tuple[Colour, ...]

    def over(self, birds: Iterable[FlockBird], day: date) -> Misreading:
        """Its errors, with usual eyes, over colours as they look now on these birds."""
        palette = Palette.of({colour.name: colour.hex for colour in self.colours} or BUILT_IN.as_mapping())
        looks = Palette.of(dict(palette.colours) | _faded(self.colours, birds, day))
        return Misreading.of(self.reader, palette, looks=looks, vision=NORMAL)


def park_reader() -> ParkReader:
    """The park's reader and colours, in two queries; for several flocks ask once."""
    chosen = Park.objects.values_list("reader", flat=True).first() or ReadsAs.TRAINED
    return ParkReader(_reader(chosen), tuple(Colour.objects.order_by("order", "id")))


def park_misreading(birds: Iterable[FlockBird], day: date) -> Misreading:
    """The errors of the reader that the park has chosen, with usual eyes, over colours as they look now.

    Args:
        birds: whose bands say how faded each colour is by now.
        day: the day of the reading.
    """
    return park_reader().over(birds, day)
