"""What a list must know of the register: which bird a cell means, which exhibit, drawer or sample."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, tzinfo
from uuid import UUID

from tarsus.core.marks.palette import Palette
from tarsus.tables.known import engraving_key, name_key


class NotFound(Exception):
    """Nothing of the register is meant by a text, or more than one thing; `near` are what may be meant."""

    def __init__(self, reason: str, near: tuple[str, ...]) -> None:
        self.reason = reason
        self.near = near
        super().__init__(reason)


@dataclass(frozen=True, slots=True)
class ListBird:
    """A bird that a list may name. `stays` are (from, to, exhibit); open ones have no end.

    `lookalike`: the group in which it is called; `counts_on`: from which day it is looked for.
    """

    bird_id: int
    name: str
    number: str
    also: tuple[str, ...] = ()
    stays: tuple[tuple[date, date | None, int], ...] = ()
    lookalike: str = ""
    counts_on: date | None = None

    def exhibit_on(self, day: date) -> int | None:
        """Where it lived on a day."""
        for begun, ended, exhibit in reversed(self.stays):
            if begun <= day and (ended is None or day <= ended):
                return exhibit
        return None

    def on_roll(self, exhibit: int, day: date) -> bool:
        """Whether it is looked for in an exhibit on a day; on that of its leaving it is not."""
        if self.counts_on is not None and day < self.counts_on:
            return False
        return any(
            home == exhibit and begun <= day and (ended is None or day < ended)
            for begun, ended, home in self.stays
        )


@dataclass(frozen=True, slots=True)
class ListKnown:
    """The register as a list must know it. Names map to ids; `samples` to (sample, bird).

    `changed` says of a drawer when it was last counted, filled or taken from; `groups` which look-alike group
    a name of one, or of a species, means; `rounds` which rounds were begun in an exhibit on a day, and when.
    """

    today: date
    now: datetime
    zone: tzinfo
    birds: tuple[ListBird, ...]
    exhibits: Mapping[str, int]
    places: Mapping[tuple[int, str], int]
    species: Mapping[str, int]
    palette: Palette
    samples: Mapping[str, tuple[str, int]]
    drawers: Mapping[tuple[str, str, str], int]
    colours: Mapping[int, str] = field(default_factory=dict)
    changed: Mapping[int, datetime] = field(default_factory=dict)
    groups: Mapping[str, str] = field(default_factory=dict)
    rounds: Mapping[tuple[int, date], Mapping[UUID, datetime]] = field(default_factory=dict)
    _by_id: dict[int, ListBird] = field(default_factory=dict)
    _several: dict[str, list[ListBird]] = field(default_factory=dict)

    def roll(self, exhibit: int, day: date) -> Mapping[str, tuple[ListBird, ...]]:
        """Who was to be looked for in an exhibit on a day, by look-alike group."""
        found: dict[str, list[ListBird]] = {}
        for one in self.birds:
            if one.on_roll(exhibit, day):
                found.setdefault(one.lookalike, []).append(one)
        return {lookalike: tuple(birds) for lookalike, birds in found.items()}

    def exhibit_name(self, exhibit: int) -> str:
        """What an exhibit of the register is called."""
        return next(name for name, key in self.exhibits.items() if key == exhibit)

    def moment(self, day: date, hour: time | None) -> datetime:
        """A moment of a day: at its hour, else at noon; in the morning today's noon is still to come."""
        at = datetime.combine(day, hour or time(12), self.zone)
        return min(at, self.now) if hour is None and day == self.today else at

    def bird(self, text: str) -> ListBird:
        """The bird that a cell means: by number, name, engraving or transponder, in this order.

        Raises:
            NotFound: no bird, or several.
        """
        if not self._several:
            self._index()
        key = name_key(text)
        meant = self._several.get(key) or self._several.get(f"#{engraving_key(text)}") or []
        if len(meant) == 1:
            return meant[0]
        if meant:
            numbers = tuple(one.number or one.name for one in meant)
            raise NotFound(f"may be {len(meant)} birds", numbers)
        names = [one for one in self._several if one[:1] != "#"]
        near = difflib.get_close_matches(key, names, n=3, cutoff=0.75)
        raise NotFound("is no bird of this register", tuple(_called(self._several[one][0]) for one in near))

    def bird_by_id(self, number: int) -> ListBird:
        """The bird of this id, as a table of an export names it.

        Raises:
            NotFound: there is none.
        """
        if not self._by_id:
            self._by_id.update({one.bird_id: one for one in self.birds})
        if number in self._by_id:
            return self._by_id[number]
        raise NotFound("is the number of no bird in this register", ())

    def _index(self) -> None:
        # Numbers first: a name that is another bird's number means the number.
        for one in self.birds:
            if one.number:
                self._several.setdefault(name_key(one.number), []).append(one)
        numbers = set(self._several)
        named: dict[str, list[ListBird]] = {}
        for one in self.birds:
            if one.name and name_key(one.name) not in numbers:
                named.setdefault(name_key(one.name), []).append(one)
            for worn in one.also:
                named.setdefault(f"#{engraving_key(worn)}", []).append(one)
        self._several.update(named)


def _called(bird: ListBird) -> str:
    return bird.name or bird.number


def one_named(text: str, names: Mapping[str, int], what: str) -> int:
    """The id of what a cell names, whatever its case.

    Raises:
        NotFound: nothing has this name.
    """
    by_key = {name_key(name): key for name, key in names.items()}
    if name_key(text) in by_key:
        return by_key[name_key(text)]
    raise NotFound(f"is no {what} of this register", nearest(text, names))


def nearest(text: str, names: Iterable[str]) -> tuple[str, ...]:
    """The names that are written nearly like a text."""
    by_key = {name_key(name): name for name in names}
    return tuple(by_key[key] for key in difflib.get_close_matches(name_key(text), by_key, n=3, cutoff=0.6))
