"""What became of each bird of a catch-up, and what of its work waits again."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

HANDLED: Final = "handled"
OPEN: Final = "not told yet"


@dataclass(frozen=True, slots=True)
class Missed:
    """Somebody told that a bird was not handled: how (*not caught*, *let go unhandled*), why, who, when."""

    how: str
    because: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one bird: `how` is `HANDLED`, a word of `Missed`, or `OPEN` while nobody told.

    `waits`: what was planned and is still due, back among the duties.
    """

    bird: int
    how: str
    because: str = ""
    by: str = ""
    at: datetime | None = None
    waits: tuple[str, ...] = ()

    @property
    def untold(self) -> bool:
        """Whether nobody told yet what became of it."""
        return self.how == OPEN

    @property
    def words(self) -> str:
        """In a few words, with the reason where there is one."""
        return f"{self.how}: {self.because}" if self.because else self.how


def outcomes(
    planned: Mapping[int, Sequence[str]],
    handled: Mapping[int, tuple[datetime, str]],
    missed: Iterable[tuple[int, Missed]],
    due: Mapping[int, Collection[str]],
) -> tuple[Outcome, ...]:
    """Tell what became of each bird, in the order of the plan and whatever order things were told in.

    Args:
        planned: the birds, each with what was to be done, as its duties say it.
        handled: when each was in hand, and in whose: a handling tells more than a word that there was none.
        missed: what was told of birds that were not handled; of several the latest counts.
        due: what is due for each bird now, as its duties say it.

    Returns:
        One outcome a bird.
    """
    latest: dict[int, Missed] = {}
    for bird, told in sorted(missed, key=lambda one: (one[1].at, one[1].how, one[1].because)):
        latest[bird] = told
    found = []
    for bird, why in planned.items():
        waits = tuple(what for what in why if what in due.get(bird, ()))
        if bird in handled:
            at, by = handled[bird]
            found.append(Outcome(bird, HANDLED, "", by, at, waits))
        elif bird in latest:
            one = latest[bird]
            found.append(Outcome(bird, one.how, one.because, one.by, one.at, waits))
        else:
            found.append(Outcome(bird, OPEN, waits=waits))
    return tuple(found)
