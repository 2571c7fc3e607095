"""An inventory that balances: what was here, what came, what went, what is here now, per species and sex."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, fields
from datetime import date
from typing import Final

from tarsus.core.care.inventory.lives import BirdLife, NestLife, UnnamedCarcase
from tarsus.core.care.inventory.steps import (
    Counted,
    Step,
    bandings,
    bird_steps,
    carcase_steps,
    eggs_on,
    nest_steps,
)
from tarsus.core.errors import WrongValue

SEX_ORDER: Final = "FMU?"


@dataclass(frozen=True, slots=True)
class InventoryLine:
    """One species and sex over a span of days. ``?`` is the line of carcases that nobody could name yet."""

    species: str
    sex: str
    opening: int = 0
    hatched: int = 0
    arrived: int = 0
    moved_in: int = 0
    found_again: int = 0
    resexed_in: int = 0
    died: int = 0
    departed: int = 0
    moved_out: int = 0
    missing: int = 0
    resexed_out: int = 0
    closing: int = 0

    @property
    def balances(self) -> bool:
        """Whether what was here and came, less what went, is what is here now."""
        came = self.hatched + self.arrived + self.moved_in + self.found_again + self.resexed_in
        went = self.died + self.departed + self.moved_out + self.missing + self.resexed_out
        return self.opening + came - went == self.closing


def by_sex(lines: Iterable[InventoryLine], species: str, column: str = "closing") -> str:
    """One number of a species as keepers write it: males, females and unsexed, *12.14.3* (common practice).

    Args:
        lines: of an inventory, held or owned.
        species: whose.
        column: which number of the lines.

    Source:
        Males, females, unsexed: common practice.
    """
    found = {line.sex: int(getattr(line, column)) for line in lines if line.species == species}
    told = ".".join(str(found.get(sex, 0)) for sex in "MFU")
    return f"{told} ({found['?']:+d} unnamed)" if found.get("?") else told


@dataclass(frozen=True, slots=True)
class Inventory:
    """The inventory of a span of days, both days included.

    `held` counts the birds that are here, `owned` those that are this park's wherever they are. `eggs` are
    outside both: how many lie in nests on the last day, by species. `held_steps` and `owned_steps` are what
    the lines were summed from (`birds_behind`).
    """

    first_day: date
    last_day: date
    held: tuple[InventoryLine, ...]
    owned: tuple[InventoryLine, ...]
    eggs: tuple[tuple[str, int], ...]
    held_steps: tuple[Step, ...] = field(default=(), repr=False, compare=False)
    owned_steps: tuple[Step, ...] = field(default=(), repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Behind:
    """Which birds a number of the inventory stands for, and the chicks and carcases among it without a name.

    `birds`: with the day of the step; for *opening* and *closing* the day since when the bird counts so.
    """

    birds: tuple[tuple[int, date], ...]
    nameless: int


def birds_behind(
    steps: Iterable[Step], line: InventoryLine, column: str, first_day: date, last_day: date
) -> Behind:
    """Name the birds behind one number of an inventory.

    Args:
        steps: all of the inventory, held or owned.
        line: the line in question.
        column: and its column, *opening* and *closing* included.
        first_day: the first day of the inventory, and
        last_day: its last.

    Returns:
        As many birds, with those without a name, as the number says; a bird that did the same twice in the
        span is named twice.

    Source:
        docs/science/inventory.md, eq. 1.
    """
    own = [step for step in steps if (step.species, step.sex) == (line.species, line.sex)]
    if column not in ("opening", "closing"):
        own = [step for step in own if step.column == column and first_day <= step.day <= last_day]
        named = tuple((step.bird, step.day) for step in own if step.bird is not None)
        return Behind(named, sum(abs(step.change) for step in own if step.bird is None))
    until = [step for step in own if (step.day < first_day if column == "opening" else step.day <= last_day)]
    since: dict[int, date] = {}
    for step in until:  # a bird's own steps are in order and take turns: in, out, in
        if step.bird is not None and step.change > 0:
            since[step.bird] = step.day
        elif step.bird is not None:
            since.pop(step.bird, None)
    return Behind(tuple(since.items()), sum(step.change for step in until if step.bird is None))


def inventory(
    birds: Sequence[BirdLife],
    nests: Sequence[NestLife],
    carcases: Sequence[UnnamedCarcase],
    first_day: date,
    last_day: date,
    *,
    exhibits: Collection[int] | None = None,
) -> Inventory:
    """Count what was here, what came and went, and what is here now.

    Args:
        birds: every bird there ever was; those that never lived in the scope do no harm.
        nests: every nest; its unbanded chicks are counted as a number of unsexed birds.
        carcases: those that have no name yet.
        first_day: the first day of the span, and
        last_day: its last; both belong to it.
        exhibits: count only birds in these; moves over their border are *moved in* and *moved out*. `None` is
            the whole park. What is owned is always counted for the whole park.

    Returns:
        Lines by species and sex for birds held and birds owned, each balanced; the eggs outside.

    Raises:
        WrongValue: the span ends before it begins.

    Assumes:
        A dead unbanded chick is told at its nest, as a lower number, and not as a carcase without bands:
        otherwise it would be missed twice.

    Source:
        docs/science/inventory.md.
    """
    if last_day < first_day:
        raise WrongValue("last_day", f"{last_day} is before {first_day}; exchange them")
    scope = None if exhibits is None else frozenset(exhibits)
    held = _all_steps(birds, nests, carcases, scope, _held(scope), "moved_out")
    owned = _all_steps(birds, nests, carcases, None, _owned, "departed")
    return Inventory(
        first_day,
        last_day,
        lines_of(held, first_day, last_day),
        lines_of(owned, first_day, last_day),
        _eggs(nests, scope, last_day),
        tuple(held),
        tuple(owned),
    )


def _all_steps(
    birds: Sequence[BirdLife],
    nests: Sequence[NestLife],
    carcases: Sequence[UnnamedCarcase],
    scope: frozenset[int] | None,
    counts: Counted,
    leaves: str,
) -> list[Step]:
    banded = bandings(birds, counts)
    steps: list[Step] = []
    raised: dict[int, str] = {}
    for nest in nests:
        inside = scope is None or nest.exhibit in scope
        of_nest, of_birds = nest_steps(nest, banded.get(nest.nest, ()), counted=inside, leaves=leaves)
        steps += of_nest
        raised |= of_birds
    for bird in birds:
        steps += bird_steps(bird, counts, raised)
    return [*steps, *carcase_steps(carcases, scope)]


def _held(scope: frozenset[int] | None) -> Counted:
    return lambda here, exhibit, _: here and (scope is None or exhibit in scope)


def _owned(_here: bool, _exhibit: int | None, ours: bool) -> bool:
    return ours


def lines_of(steps: Iterable[Step], first_day: date, last_day: date) -> tuple[InventoryLine, ...]:
    """Sum steps into lines by species and sex: those before the span, those within it, those until its end.

    Args:
        steps: in any order.
        first_day: the first day of the span, and
        last_day: its last; both belong to it.

    Returns:
        Lines in the order of species and sex; one in which nothing ever was is left out.

    Source:
        docs/science/inventory.md, eq. 1.
    """
    totals: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    for step in steps:
        total = totals[step.species, step.sex]
        if step.day < first_day:
            total["opening"] += step.change
        if step.day <= last_day:
            total["closing"] += step.change
        if first_day <= step.day <= last_day:
            total[step.column] += abs(step.change)
    order = sorted(totals, key=lambda key: (key[0], SEX_ORDER.index(key[1])))
    numbers = [one.name for one in fields(InventoryLine)][2:]
    return tuple(
        InventoryLine(*key, *(totals[key][name] for name in numbers))
        for key in order
        if any(totals[key][name] for name in numbers)
    )


def _eggs(
    nests: Sequence[NestLife], scope: frozenset[int] | None, last_day: date
) -> tuple[tuple[str, int], ...]:
    eggs: Counter[str] = Counter()
    for nest in nests:
        if scope is None or nest.exhibit in scope:
            eggs[nest.species] += eggs_on(nest, last_day)
    return tuple(sorted((species, number) for species, number in eggs.items() if number))
