"""Each step by which a bird enters or leaves the count, with the column of the inventory it belongs to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from tarsus.core.care.inventory import lives
from tarsus.core.care.inventory.lives import BirdLife, LifeEvent, NestEvent, NestLife, UnnamedCarcase
from tarsus.core.care.nests import NestStanding, nest_standing, standing_after

Counted = Callable[[bool, int | None, bool], bool]
"""Whether a bird counts, from: it is here, in which exhibit, it is ours."""

_ENTERS: Final = {
    lives.HATCHED: "hatched",
    lives.ARRIVED: "arrived",
    lives.BANDED: "hatched",  # unless it was one of a nest's number before
    lives.MOVED: "moved_in",
    lives.FOUND: "found_again",
}
_LEAVES: Final = {
    lives.DIED: "died",
    lives.DEPARTED: "departed",
    lives.MOVED: "moved_out",
    lives.FOUND: "moved_out",  # found in an exhibit that is not counted
    lives.MISSING: "missing",
}
# A bird that was given to this park or given away enters as arrived and leaves as departed.


@dataclass(frozen=True, slots=True)
class Step:
    """One bird more (+1) or fewer (−1) on a day, in one line and one column.

    `bird`: whose step it is; `None` for unbanded chicks, which are a number, and for carcases without a name.
    """

    day: date
    species: str
    sex: str
    change: int
    column: str
    bird: int | None = None


@dataclass(frozen=True, slots=True)
class Banding:
    """An unbanded chick became a bird of its own; `counted` says whether that bird is in the scope."""

    day: date
    order: float
    bird: int
    sex: str
    counted: bool


@dataclass(frozen=True, slots=True)
class _Standing:
    """How it stands with a bird between two events."""

    known: bool = False
    here: bool = False
    lost: bool = False
    dead: bool = False
    exhibit: int | None = None
    sex: str = "U"
    ours: bool = True

    def counted(self, counts: Counted) -> bool:
        """Whether it is one of the birds that are counted."""
        return self.known and not self.lost and not self.dead and counts(self.here, self.exhibit, self.ours)


def bird_steps(bird: BirdLife, counts: Counted, raised: Mapping[int, str]) -> Iterator[Step]:
    """The steps of one bird, in order.

    Args:
        bird: its life.
        counts: which birds are counted: those here, or those that are ours.
        raised: the column in which a bird enters that was a chick of a nest's number before (`nest_steps`).

    Returns:
        At most two steps an event: a bird that is resexed leaves one line and enters another.

    Source:
        docs/science/inventory.md.
    """
    now = _Standing(ours=bird.ours)
    for event in bird.in_order():
        then = _after(now, event)
        yield from _steps(bird, event, now, then, counts, raised)
        now = then


def _steps(
    bird: BirdLife,
    event: LifeEvent,
    before: _Standing,
    after: _Standing,
    counts: Counted,
    raised: Mapping[int, str],
) -> Iterator[Step]:
    was, is_now = before.counted(counts), after.counted(counts)
    if was and is_now and before.sex != after.sex:
        yield Step(event.day, bird.species, before.sex, -1, "resexed_out", bird.bird)
        yield Step(event.day, bird.species, after.sex, +1, "resexed_in", bird.bird)
    elif was and not is_now:
        yield Step(event.day, bird.species, before.sex, -1, _LEAVES.get(event.kind, "departed"), bird.bird)
    elif is_now and not was:
        column = _ENTERS.get(event.kind, "arrived")
        if event.kind == lives.BANDED:
            column = raised.get(bird.bird, column)
        yield Step(event.day, bird.species, after.sex, +1, column, bird.bird)


def bandings(birds: Iterable[BirdLife], counts: Counted) -> dict[int, list[Banding]]:
    """Which chicks were banded out of which nest, each nest's in order.

    Source:
        docs/science/inventory.md.
    """
    found: dict[int, list[Banding]] = defaultdict(list)
    for bird in birds:
        now = _Standing(ours=bird.ours)
        for event in bird.in_order():
            then = _after(now, event)
            if event.kind == lives.BANDED and event.nest is not None and not now.known:
                counted = then.counted(counts)
                found[event.nest].append(Banding(event.day, event.order, bird.bird, then.sex, counted))
            now = then
    return found


def _after(now: _Standing, event: LifeEvent) -> _Standing:
    kind = event.kind
    if kind == lives.SEXED:
        return replace(now, sex=event.sex)
    if kind == lives.OWNED:
        return replace(now, ours=bool(event.ours))
    if now.dead:
        return now
    if kind == lives.DIED:
        return replace(now, dead=True, here=False)
    if kind in (lives.HATCHED, lives.ARRIVED, lives.BANDED):
        ours = now.ours if event.ours is None else event.ours
        return replace(now, known=True, here=True, lost=False, exhibit=event.exhibit, ours=ours)
    if kind == lives.MOVED:
        return replace(now, exhibit=event.exhibit)
    if kind == lives.MISSING:
        return replace(now, lost=now.known)
    if kind == lives.FOUND:
        exhibit = now.exhibit if event.exhibit is None else event.exhibit
        return replace(now, lost=False, exhibit=exhibit)
    assert kind == lives.DEPARTED
    return replace(now, here=False, ours=now.ours if event.ours is None else event.ours)


def nest_steps(
    nest: NestLife, banded: Iterable[Banding], *, counted: bool, leaves: str
) -> tuple[list[Step], dict[int, str]]:
    """The steps of a nest's unbanded chicks, who are a number of unsexed birds.

    Args:
        nest: what was found there. A lower number of chicks is that many dead, a higher one so many hatched.
        banded: the chicks that became birds of their own.
        counted: whether the nest is in the scope.
        leaves: the column of a chick that became a bird outside the scope.

    Returns:
        The steps in order, and for each bird that was one of the number, the column in which it enters. A
        bird banded out of a nest that had no chick left is not among them: its hatching was never told.

    Source:
        docs/science/inventory.md.
    """
    steps: list[Step] = []
    raised: dict[int, str] = {}
    now = NestStanding()

    def step(day: date, change: int, column: str) -> None:
        if counted and change:
            steps.append(Step(day, nest.species, "U", change, column))

    both: list[NestEvent | Banding] = [*nest.events, *banded]
    for told in sorted(both, key=lambda one: (one.day, one.order)):
        if isinstance(told, Banding):
            if now.chicks:
                now = replace(now, chicks=now.chicks - 1)
                same = "" if told.sex == "U" else "resexed_out"
                step(told.day, -1, same if told.counted else leaves)
                raised[told.bird] = ("" if told.sex == "U" else "resexed_in") if counted else "moved_in"
            continue
        then = standing_after(now, told.found)
        step(told.day, then.chicks - now.chicks, "hatched" if then.chicks > now.chicks else "died")
        now = then
    return steps, raised


def eggs_on(nest: NestLife, day: date) -> int:
    """How many eggs lay in a nest at the end of a day.

    Source:
        docs/science/inventory.md.
    """
    return nest_standing(told.found for told in nest.in_order() if told.day <= day).eggs


def carcase_steps(carcases: Iterable[UnnamedCarcase], scope: frozenset[int] | None) -> Iterator[Step]:
    """One bird fewer for each carcase that nobody could name yet, in a line of its own.

    Source:
        docs/science/inventory.md.
    """
    for one in carcases:
        if scope is None or one.exhibit in scope:
            yield Step(one.day, one.species, "?", -1, "died")
