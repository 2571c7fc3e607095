"""What happened to birds, nests and carcases, as an inventory needs it: plain events in order."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from tarsus.core.care.nests import Found

# What can happen to a bird. `came` words say how a bird enters, `left` words how it leaves.
HATCHED: Final = "hatched"
ARRIVED: Final = "arrived"
BANDED: Final = "banded"
MOVED: Final = "moved"
FOUND: Final = "found again"
MISSING: Final = "missing"
DIED: Final = "died"
DEPARTED: Final = "departed"
SEXED: Final = "sexed"
OWNED: Final = "owned"

KINDS: Final = (HATCHED, ARRIVED, BANDED, MOVED, FOUND, MISSING, DIED, DEPARTED, SEXED, OWNED)


@dataclass(frozen=True, slots=True)
class LifeEvent:
    """One thing that happened to a bird.

    `order` is the second of the day, for events of one day. `exhibit` says where it is afterwards (came,
    moved, found again); `sex` what it was found to be; `ours` whether it belongs to this park from now on
    (arrived, departed, owned); `nest` out of which nest a banded chick came.
    """

    day: date
    kind: str
    order: float = 0.0
    exhibit: int | None = None
    sex: str = ""
    ours: bool | None = None
    nest: int | None = None


@dataclass(frozen=True, slots=True)
class BirdLife:
    """One bird with all that happened to it, in any order of telling."""

    bird: int
    species: str
    events: tuple[LifeEvent, ...]
    ours: bool = True

    def in_order(self) -> tuple[LifeEvent, ...]:
        """The events as they happened.

        A sex that became known on a day holds for that whole day: a bird that arrives in the morning and is
        sexed at noon was never an unsexed bird of this park.
        """
        return tuple(sorted(self.events, key=lambda one: (one.day, one.kind != SEXED, one.order)))


@dataclass(frozen=True, slots=True)
class NestEvent:
    """What was found at a nest, in the words of `tarsus.core.care.nests`."""

    day: date
    kind: str
    amount: int | None = None
    order: float = 0.0

    @property
    def found(self) -> Found:
        """The same, as a nest's standing takes it."""
        return Found(self.day, self.kind, self.amount)


@dataclass(frozen=True, slots=True)
class NestLife:
    """One nest with what was found there. Its chicks are a number until they are banded."""

    nest: int
    species: str
    exhibit: int
    events: tuple[NestEvent, ...]

    def in_order(self) -> tuple[NestEvent, ...]:
        """The events as they happened."""
        return tuple(sorted(self.events, key=lambda one: (one.day, one.order)))


@dataclass(frozen=True, slots=True)
class UnnamedCarcase:
    """A carcase without bands: one bird fewer of its species, and nobody knows which."""

    species: str
    exhibit: int
    day: date
