"""The document of `tarsus identify`: readings in, candidates out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from tarsus.core.documents.fields import (
    optional,
    palette_of,
    parse_birds,
    parse_reading,
    reader_of,
    reading_lookalike,
)
from tarsus.core.documents.values import child, parse_chance, parse_choice, parse_list, parse_object
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Reading
from tarsus.core.readings.identification import STRANGERS, Flock
from tarsus.core.readings.looking import look_next
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.worn_as_read import fits
from tarsus.core.words.misfit import misfit

KEYS: Final = ("palette", "reader", "birds", "readings", "strangers")

_LEFT_OUT: Final = 1e-6


@dataclass(frozen=True)
class IdentifyDocument:
    """What is asked.

    The observer, the flock, and the readings, each with the look-alike group it names if any.
    """

    misreading: Misreading
    birds: tuple[Bird, ...]
    readings: tuple[tuple[Reading, str | None], ...]
    strangers: float


@dataclass(frozen=True)
class Identified:
    """What one reading tells: ids with their chances, the likeliest first.

    `fits_nobody` is true where no bird wears what was read; `because` then says what probably went wrong if
    it is the likeliest bird.
    """

    candidates: tuple[tuple[str, float], ...]
    none_of_these: float
    look_next: str | None
    fits_nobody: bool
    because: tuple[str, ...]


def parse_identify(value: Any) -> IdentifyDocument:
    """Read the document of `tarsus identify`.

    Raises:
        MalformedInput: a key, word or value that it does not have.
    """
    document = parse_object(value, "", KEYS, required=("birds", "readings"))
    palette = palette_of(document)
    reader = reader_of(document, palette)
    birds = parse_birds(document["birds"], "birds", palette)
    groups = {bird.lookalike for bird in birds}
    readings: list[tuple[Reading, str | None]] = []
    for at, entry in enumerate(parse_list(document["readings"], "readings")):
        place = child("readings", at)
        reading = parse_reading(entry, place, palette)
        group = reading_lookalike(entry, place)
        if group is not None:
            parse_choice(group, child(place, "lookalike"), "look-alike group of these birds", sorted(groups))
        readings.append((reading, group))
    strangers = optional(document, "strangers", parse_chance, STRANGERS)
    return IdentifyDocument(Misreading.of(reader, palette), birds, tuple(readings), strangers)


def answer_identify(asked: IdentifyDocument) -> tuple[Identified, ...]:
    """Say of every reading who the bird may be.

    Args:
        asked: observer, flock and readings.

    Returns:
        One answer a reading, in order.

    Raises:
        WrongValue: no bird of a look-alike group has any prior weight.

    Source:
        docs/science/reading.md, eqs. 5 to 8.
    """
    flocks: dict[str | None, Flock] = {}
    answers = []
    for reading, group in asked.readings:
        if group not in flocks:
            among = [bird for bird in asked.birds if group in (None, bird.lookalike)]
            flocks[group] = Flock(among, asked.misreading, strangers=asked.strangers)
        answers.append(identified(flocks[group], reading))
    return tuple(answers)


def identified(flock: Flock, reading: Reading) -> Identified:
    """Say of one reading who of a flock the bird may be."""
    posterior = flock.posterior(reading)
    likely = flock.candidates(posterior, at_least=0.0)
    shown = likely[: worth_listing([chance for _, chance in likely])]
    nobody = not any(fits(reading, bird.marks) for bird in flock.birds)
    best = misfit(reading, shown[0][0].marks) if nobody and shown else None
    return Identified(
        tuple((bird.id, chance) for bird, chance in shown),
        posterior.none_of_these,
        look_next(flock, reading, posterior),
        nobody,
        (best.if_so.removesuffix("."),) if best else (),
    )


def worth_listing(chances: Sequence[float]) -> int:
    """How many candidates to list: those left out are each, and all together, under the millionth."""
    left_out = 0.0
    for count in range(len(chances), 0, -1):
        left_out += chances[count - 1]
        if chances[count - 1] >= _LEFT_OUT or left_out >= _LEFT_OUT / 2:
            return count
    return 0


def identify_as_document(answers: Sequence[Identified]) -> dict[str, Any]:
    """The answer as the contract writes it."""
    return {
        "readings": [
            {
                "candidates": [{"id": who, "p": chance} for who, chance in answer.candidates],
                "none_of_these": answer.none_of_these,
                "look_next": answer.look_next,
                "fits_nobody": answer.fits_nobody,
                "because": list(answer.because),
            }
            for answer in answers
        ]
    }
