"""Over random histories the inventory balances, and opens and closes with what a plain tally counted."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from tarsus.core.care.inventory import lives
from tarsus.core.care.inventory.balance import birds_behind, inventory
from tarsus.core.care.inventory.lives import BirdLife, LifeEvent, NestEvent, NestLife, UnnamedCarcase

BEGUN = date(2026, 1, 1)
DAYS = 12
EXHIBITS = (1, 2, 3)
SPECIES = ("Ruff", "Avocet")
DEEDS = (
    "hatch",
    "arrive",
    "arrive on loan",
    "move",
    "lose",
    "find",
    "die",
    "depart",
    "lend",
    "sex",
    "give",
    "chicks hatch",
    "a chick dies",
    "brood fails",
    "band a chick",
    "carcase",
)


@dataclass
class Tally:
    """A bird as a keeper with a pencil would keep track of it."""

    species: str
    exhibit: int
    ours: bool = True
    sex: str = "U"
    here: bool = True
    lost: bool = False
    dead: bool = False


@dataclass
class World:
    """What is true on a day, kept without any of the inventory's code."""

    birds: list[Tally] = field(default_factory=list)
    told: list[list[LifeEvent]] = field(default_factory=list)
    chicks: list[int] = field(default_factory=lambda: [0, 0])
    at_nests: list[list[NestEvent]] = field(default_factory=lambda: [[], []])
    carcases: list[UnnamedCarcase] = field(default_factory=list)
    flows: dict[str, Counter[date]] = field(default_factory=dict)

    def flow(self, column: str, day: date, number: int = 1) -> None:
        self.flows.setdefault(column, Counter())[day] += number

    def held(self, exhibits: set[int]) -> Counter[tuple[str, str]]:
        count = Counter(
            (b.species, b.sex)
            for b in self.birds
            if b.here and not b.lost and not b.dead and b.exhibit in exhibits
        )
        for nest, number in enumerate(self.chicks):
            if EXHIBITS[nest] in exhibits:
                count[SPECIES[nest], "U"] += number
        for one in self.carcases:
            if one.exhibit in exhibits:
                count[one.species, "?"] -= 1
        return count

    def owned(self) -> Counter[tuple[str, str]]:
        count = Counter((b.species, b.sex) for b in self.birds if b.ours and not b.lost and not b.dead)
        for nest, number in enumerate(self.chicks):
            count[SPECIES[nest], "U"] += number
        for one in self.carcases:
            count[one.species, "?"] -= 1
        return count


def deed(world: World, what: str, pick: int, number: int, day: date, order: float) -> None:
    """Carry one deed out in the tally and tell it as an event; one that cannot be is not told."""
    exhibit, nest = EXHIBITS[number % 3], number % 2
    if what in ("hatch", "arrive", "arrive on loan"):
        ours = what != "arrive on loan"
        world.birds.append(Tally(SPECIES[nest], exhibit, ours))
        kind = lives.HATCHED if what == "hatch" else lives.ARRIVED
        world.told.append([LifeEvent(day, kind, order, exhibit=exhibit, ours=ours)])
        world.flow("hatched" if what == "hatch" else "arrived", day)
    elif what == "chicks hatch":
        world.chicks[nest] += number
        world.at_nests[nest].append(NestEvent(day, "hatched", number, order))
        world.flow("hatched", day, number)
    elif what == "a chick dies" and world.chicks[nest]:
        world.chicks[nest] -= 1
        world.at_nests[nest].append(NestEvent(day, "unbanded chicks", world.chicks[nest], order))
        world.flow("died", day)
    elif what == "brood fails":
        world.flow("died", day, world.chicks[nest])
        world.chicks[nest] = 0
        world.at_nests[nest].append(NestEvent(day, "failed", None, order))
    elif what == "band a chick" and world.chicks[nest]:
        world.chicks[nest] -= 1
        world.birds.append(Tally(SPECIES[nest], exhibit))
        world.told.append([LifeEvent(day, lives.BANDED, order, exhibit=exhibit, nest=nest)])
    elif what == "carcase":
        world.carcases.append(UnnamedCarcase(SPECIES[nest], exhibit, day))
        world.flow("died", day)
    elif world.birds:
        _to_a_bird(world, what, pick % len(world.birds), exhibit, day, order)


def _to_a_bird(world: World, what: str, at: int, exhibit: int, day: date, order: float) -> None:
    bird, told = world.birds[at], world.told[at]
    counted = bird.here and not bird.lost and not bird.dead
    if what == "sex":
        bird.sex = "FMU"[exhibit - 1]
        told.append(LifeEvent(day, lives.SEXED, order, sex=bird.sex))
    elif what == "give" and not bird.dead:
        bird.ours = not bird.ours
        told.append(LifeEvent(day, lives.OWNED, order, ours=bird.ours))
    elif what == "move" and counted:
        bird.exhibit = exhibit
        told.append(LifeEvent(day, lives.MOVED, order, exhibit=exhibit))
    elif what == "lose" and counted:
        bird.lost = True
        told.append(LifeEvent(day, lives.MISSING, order))
        world.flow("missing", day)
    elif what == "find" and bird.lost and not bird.dead:
        bird.lost, bird.exhibit = False, exhibit
        told.append(LifeEvent(day, lives.FOUND, order, exhibit=exhibit))
        world.flow("found_again", day)
    elif what == "die" and not bird.dead and bird.here:
        bird.dead = True
        told.append(LifeEvent(day, lives.DIED, order))
        world.flow("died", day, int(counted))
    elif what in ("depart", "lend") and counted:
        bird.here = False
        bird.ours = bird.ours and what == "lend"
        told.append(LifeEvent(day, lives.DEPARTED, order, ours=None if what == "lend" else False))
        world.flow("departed", day)


step = st.tuples(st.integers(0, DAYS - 1), st.sampled_from(DEEDS), st.integers(0, 50), st.integers(0, 5))


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.lists(step, min_size=20, max_size=60), st.integers(0, DAYS - 1), st.integers(0, DAYS - 1))
def test_the_inventory_balances_over_any_history(
    steps: list[tuple[int, str, int, int]], one: int, other: int
) -> None:
    first, last = sorted((one, other))
    world = World()
    snapshots = []
    for number in range(DAYS):
        day = BEGUN + timedelta(days=number)
        todays = [told for told in steps if told[0] == number]
        for order, (_, what, pick, amount) in enumerate(todays):
            deed(world, what, pick, amount, day, float(order))
        snapshots.append((world.held(set(EXHIBITS)), world.held({1}), world.owned()))
    birds = [
        BirdLife(n, tally.species, tuple(told))
        for n, (tally, told) in enumerate(zip(world.birds, world.told, strict=True))
    ]
    nests = [NestLife(n, SPECIES[n], EXHIBITS[n], tuple(at)) for n, at in enumerate(world.at_nests)]
    begins, ends = BEGUN + timedelta(days=first), BEGUN + timedelta(days=last)
    park = inventory(birds, nests, world.carcases, begins, ends)
    part = inventory(birds, nests, world.carcases, begins, ends, exhibits={1})
    empty: tuple[Counter[tuple[str, str]], ...] = (Counter(), Counter(), Counter())
    before = snapshots[first - 1] if first else empty
    for lines, opening, closing in zip(
        (park.held, part.held, park.owned), before, snapshots[last], strict=True
    ):
        assert all(line.balances for line in lines)
        steps = {id(park.held): park.held_steps, id(part.held): part.held_steps}.get(
            id(lines), park.owned_steps
        )
        for line in lines:
            for column in ("opening", "arrived", "resexed_in", "died", "moved_out", "closing"):
                behind = birds_behind(steps, line, column, begins, ends)
                assert len(behind.birds) + behind.nameless == getattr(line, column), (line, column)
        assert {(x.species, x.sex): x.opening for x in lines if x.opening} == _there(opening)
        assert {(x.species, x.sex): x.closing for x in lines if x.closing} == _there(closing)
    days = [begins + timedelta(days=n) for n in range(last - first + 1)]
    for column in ("hatched", "arrived", "found_again", "missing", "died", "departed"):
        told = sum(getattr(line, column) for line in park.held)
        assert told == sum(world.flows.get(column, Counter())[day] for day in days), column
    assert sum(line.moved_in + line.moved_out for line in park.held) == 0
    resexed = sum(line.resexed_in - line.resexed_out for line in park.held)
    assert resexed == 0


def _there(count: Counter[tuple[str, str]]) -> dict[tuple[str, str], int]:
    return {key: number for key, number in count.items() if number}
