"""The document of `tarsus identify`: readings in, candidates out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from tarsus.core.documents import lights
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
from tarsus.core.readings.identification import STRANGERS, Chances
from tarsus.core.readings.lights import shares_of_states
from tarsus.core.readings.looking import look_next
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.shared_state import FlockInStates
from tarsus.core.readings.worn_as_read import fits
from tarsus.core.words.misfit import misfit

KEYS: Final = ("palette", "reader", "birds", "readings", "strangers", *lights.KEYS)

_LEFT_OUT: Final = 1e-6


@dataclass(frozen=True)
class IdentifyDocument:
    """What is asked.

    The observer, the flock, and the readings, each with the look-alike group it names if any; and where a
    light or mud is told, the observer in each: then all readings are of one round.
    """

    misreading: Misreading
    birds: tuple[Bird, ...]
    readings: tuple[tuple[Reading, str | None], ...]
    strangers: float
    in_light: lights.InLight | None = None


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
    misreading = Misreading.of(reader, palette)
    in_light = lights.parse_in_light(document, misreading, palette)
    return IdentifyDocument(misreading, birds, tuple(readings), strangers, in_light)


@dataclass(frozen=True, eq=False)
class RoundIdentified:
    """What all readings tell, and how likely each light and mud was where the document asked for that."""

    readings: tuple[Identified, ...]
    states: Chances | None = None


def answer_identify(asked: IdentifyDocument) -> RoundIdentified:
    """Say of every reading who the bird may be.

    Args:
        asked: observer, flock and readings.

    Returns:
        One answer a reading, in order.

    Raises:
        WrongValue: no bird of a look-alike group has any prior weight.

    Source:
        docs/science/reading.md, eqs. 5 to 8 and 10.
    """
    observers = asked.in_light.observers if asked.in_light else (asked.misreading,)
    flocks: dict[str | None, FlockInStates] = {}
    for _, group in asked.readings:
        if group not in flocks:
            among = [bird for bird in asked.birds if group in (None, bird.lookalike)]
            flocks[group] = FlockInStates(among, observers, strangers=asked.strangers)
    read = [(flocks[group], reading) for reading, group in asked.readings]
    if asked.in_light is None:
        return RoundIdentified(identified_together(read, [1.0])[0])
    return RoundIdentified(*identified_together(read, asked.in_light.prior))


def identified_together(
    read: Sequence[tuple[FlockInStates, Reading]], prior: Sequence[float] | Chances
) -> tuple[tuple[Identified, ...], Chances]:
    """Say of every reading of one round who the bird may be, and how likely each state of the round is.

    Args:
        read: the readings, each with the flock it is of.
        prior: ``(S,)`` how likely each state of those flocks was before.

    Source:
        docs/science/reading.md, eq. 10.
    """
    shares = shares_of_states(prior, [flock.evidence(reading) for flock, reading in read])
    return tuple(_identified(flock, reading, shares) for flock, reading in read), shares


def _identified(flock: FlockInStates, reading: Reading, shares: Chances) -> Identified:
    told = flock.mixed(reading, shares)
    likeliest = flock.flocks[int(shares.argmax())]
    shown = [(likeliest.birds[at], float(told.birds[at])) for at in listed(told.birds)]
    nobody = not any(fits(reading, marks) for marks in likeliest.worn)
    best = misfit(reading, shown[0][0].marks) if nobody and shown else None
    return Identified(
        tuple((bird.id, chance) for bird, chance in shown),
        told.none_of_these,
        look_next(likeliest, reading, likeliest.posterior(reading)),
        nobody,
        (best.if_so.removesuffix("."),) if best else (),
    )


def listed(chances: Chances) -> list[int]:
    """Which candidates to list, the likeliest first: those left out are each, and all together, under the
    millionth.
    """
    # Below this share even all together are left out, and need not be put into order.
    never = _LEFT_OUT / 4 / max(len(chances), 1)
    some = np.flatnonzero(chances > never)
    order = some[np.argsort(-chances[some], kind="stable")]
    # What would be left out with each of them and all that follow.
    after = np.cumsum(chances[order][::-1])[::-1] + float(chances[chances <= never].sum())
    kept: list[int] = order[(chances[order] >= _LEFT_OUT) | (after >= _LEFT_OUT / 2)].tolist()
    return kept


def identify_as_document(answer: RoundIdentified) -> dict[str, Any]:
    """The answer as the contract writes it."""
    states = {} if answer.states is None else {"states": lights.states_as_document(answer.states)}
    return {
        "readings": [
            {
                "candidates": [{"id": who, "p": chance} for who, chance in one.candidates],
                "none_of_these": one.none_of_these,
                "look_next": one.look_next,
                "fits_nobody": one.fits_nobody,
                "because": list(one.because),
            }
            for one in answer.readings
        ],
        **states,
    }
