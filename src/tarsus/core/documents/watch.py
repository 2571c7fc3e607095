"""The documents of `tarsus watch`: rounds and who was seen in, who is still here out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.documents.fields import optional
from tarsus.core.documents.values import (
    child,
    parse_chance,
    parse_choice,
    parse_day,
    parse_each,
    parse_list,
    parse_object,
    parse_whole,
    shown,
)
from tarsus.core.errors import WrongValue
from tarsus.core.presence.loss import daily_loss
from tarsus.core.presence.short_count import ShortCount, among_whom
from tarsus.core.presence.watch import FlockWatch, watch_flock

Floats = NDArray[np.float64]

EXCUSED: Final = "x"
LOOKS: Final = {"1": 1.0, "0": 0.0, ".": np.nan, EXCUSED: np.nan}
_KEYS: Final = ("rounds", "seen", "gone_per_year", "max_unseen_days", "doubtful", "counted")


@dataclass(frozen=True)
class WatchDocument:
    """What was asked.

    `chance` is ``(B, R)``, NaN where nobody looked or need have; `excused` ``(B, R)`` where nobody need have.
    `counted` is the last count made, after its round.
    """

    birds: tuple[str, ...]
    days: tuple[date, ...]
    chance: Floats
    excused: NDArray[np.bool_]
    gone_per_year: float
    max_unseen_days: int
    counted: tuple[int, int] | None


def parse_watch(value: Any) -> WatchDocument:
    """Read a document of `tarsus watch`.

    Raises:
        MalformedInput: a key, a day, a look or a number that cannot be right, with its place.
    """
    document = parse_object(value, "", _KEYS, required=("rounds", "seen"))
    days = _days(document["rounds"])
    seen = parse_object(document["seen"], "seen")
    chance = np.array([_looks(text, child("seen", bird), days) for bird, text in seen.items()])
    chance = chance.reshape(len(seen), len(days))
    _doubt(document.get("doubtful", []), tuple(seen), chance)
    return WatchDocument(
        birds=tuple(seen),
        days=days,
        chance=chance,
        excused=_excused(seen, days),
        gone_per_year=optional(document, "gone_per_year", _loss, 0.05),
        max_unseen_days=optional(document, "max_unseen_days", parse_whole, 3),
        counted=_last_count(document.get("counted", []), len(days)),
    )


def _days(value: Any) -> tuple[date, ...]:
    days = parse_each(value, "rounds", parse_day)
    if not days:
        raise WrongValue("rounds", "has no round; give at least one day")
    for at in range(1, len(days)):
        if days[at] < days[at - 1]:
            raise WrongValue(
                f"rounds[{at}]",
                f"{days[at]} is before the round above it; put rounds in the order of their days",
            )
    return days


def _looks(value: Any, place: str, days: tuple[date, ...]) -> list[float]:
    if not isinstance(value, str):
        raise WrongValue(place, f'{shown(value)} is no text; write one character a round, such as "110."')
    for at, look in enumerate(value):
        if look not in LOOKS:
            raise WrongValue(
                child(place, at),
                f"'{look}' is no look; write 1 seen, 0 not seen, . nobody looked or x excused",
            )
    if len(value) != len(days):
        raise WrongValue(place, f"has {len(value)} looks for {len(days)} rounds; write one character a round")
    return [LOOKS[look] for look in value]


def _excused(seen: Mapping[str, str], days: tuple[date, ...]) -> NDArray[np.bool_]:
    told = [[look == EXCUSED for look in text] for text in seen.values()]
    return np.array(told, dtype=bool).reshape(len(seen), len(days))


def _doubt(value: Any, birds: tuple[str, ...], chance: Floats) -> None:
    """Put doubtful sightings into the table."""
    for at, entry in enumerate(parse_list(value, "doubtful")):
        place = child("doubtful", at)
        doubtful = parse_object(entry, place, ("bird", "round", "p"), required=("bird", "round", "p"))
        bird = parse_choice(doubtful["bird"], child(place, "bird"), "bird of this document", birds)
        r = parse_whole(doubtful["round"], child(place, "round"), 0, chance.shape[1] - 1)
        row = birds.index(bird)
        if chance[row, r] == 1.0:
            raise WrongValue(place, f"{bird} was seen in this round; leave the doubtful sighting out")
        # A sighting that nobody observed stays short of one, so that it clears nobody.
        chance[row, r] = min(parse_chance(doubtful["p"], child(place, "p")), np.nextafter(1.0, 0.0))


def _loss(value: Any, place: str) -> float:
    share = parse_chance(value, place)
    daily_loss(share)  # refuses 1: then nobody would be here
    return share


def _last_count(value: Any, rounds: int) -> tuple[int, int] | None:
    counts = parse_list(value, "counted")
    if counts and len(counts) != rounds:
        raise WrongValue(
            "counted", f"has {len(counts)} counts for {rounds} rounds; write null where none was made"
        )
    told = [(at, n) for at, n in enumerate(counts) if n is not None]
    read = [(at, parse_whole(n, child("counted", at))) for at, n in told]
    return read[-1] if read else None


@dataclass(frozen=True)
class WatchAnswer:
    """The watch, and who may be missing where the last count was short."""

    watch: FlockWatch
    short: ShortCount | None
    on_the_roll: tuple[str, ...]


def answer_watch(asked: WatchDocument) -> WatchAnswer:
    """Answer a document of `tarsus watch`.

    The count is held against the birds that were looked for in its round; who is *not looked for* stands
    outside.

    Source:
        docs/science/presence.md.
    """
    watch = watch_flock(
        asked.birds,
        asked.days,
        asked.chance,
        gone_per_year=asked.gone_per_year,
        max_unseen_days=asked.max_unseen_days,
        excused=asked.excused,
    )
    if asked.counted is None:
        return WatchAnswer(watch, None, ())
    r, counted = asked.counted
    roll = [row for row in range(len(asked.birds)) if not np.isnan(asked.chance[row, r])]
    missing = len(roll) - counted
    if missing < 1:
        return WatchAnswer(watch, None, ())
    gone = np.array([1.0 - watch.birds[row].still_here for row in roll])
    return WatchAnswer(watch, among_whom(gone, missing), tuple(asked.birds[row] for row in roll))


def watch_as_document(asked: WatchDocument, answer: WatchAnswer) -> dict[str, Any]:
    """The answer as `documents.md` has it, with `looks_needed` and, for a short count, `missing` added."""
    document: dict[str, Any] = {
        "birds": {
            bird.bird: {
                "still_here": bird.still_here,
                "usual": bird.usual,
                "unseen_rounds": bird.unseen_rounds,
                "unseen_days": bird.unseen_days,
                "advice": bird.advice,
                "looks_needed": bird.looks_needed,
            }
            for bird in answer.watch.birds
        },
        "rounds": [
            {"date": day.isoformat(), "ease": ease}
            for day, ease in zip(asked.days, answer.watch.eases, strict=True)
        ],
    }
    if answer.short is not None:
        document["missing"] = _missing(answer.short, answer.on_the_roll)
    return document


def _missing(short: ShortCount, roll: tuple[str, ...]) -> dict[str, Any]:
    chances: Mapping[str, float] = dict(zip(roll, short.among.tolist(), strict=True))
    likeliest = sorted(chances, key=lambda bird: -chances[bird])
    return {
        "birds": short.missing,
        "advice": "search",
        "miscount": short.miscount,
        "among": [{"id": bird, "p": chances[bird]} for bird in likeliest],
    }
