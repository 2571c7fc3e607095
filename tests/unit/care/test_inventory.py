"""The inventory, on months worked out by hand."""

from __future__ import annotations

from datetime import date

import pytest

from tarsus.core.care.inventory import lives
from tarsus.core.care.inventory.balance import Inventory, InventoryLine, inventory
from tarsus.core.care.inventory.lives import BirdLife, LifeEvent, NestEvent, NestLife, UnnamedCarcase
from tarsus.core.errors import WrongValue

SHINGLE, REED, QUARANTINE = 1, 2, 3


def on(day: int, kind: str, month: int = 6, **told: object) -> LifeEvent:
    return LifeEvent(date(2026, month, day), kind, **told)  # type: ignore[arg-type]  # a test's shorthand


def bird(number: int, *events: LifeEvent, species: str = "Ruff", ours: bool = True) -> BirdLife:
    return BirdLife(number, species, events, ours)


def june(
    birds: list[BirdLife],
    nests: list[NestLife] | None = None,
    carcases: list[UnnamedCarcase] | None = None,
    exhibits: set[int] | None = None,
) -> Inventory:
    told = inventory(
        birds, nests or [], carcases or [], date(2026, 6, 1), date(2026, 6, 30), exhibits=exhibits
    )
    assert all(line.balances for line in (*told.held, *told.owned))
    return told


def lines(told: tuple[InventoryLine, ...]) -> dict[str, InventoryLine]:
    return {line.sex: line for line in told}


def test_a_month_with_one_of_everything() -> None:
    home = on(3, lives.ARRIVED, month=5, exhibit=SHINGLE)
    female = on(3, lives.SEXED, month=5, sex="F")
    male = on(3, lives.SEXED, month=5, sex="M")
    flock = [
        bird(1, home, female),
        bird(2, home, female, on(4, lives.DIED)),
        bird(3, home, male, on(5, lives.MISSING), on(9, lives.FOUND)),
        bird(4, home, male, on(6, lives.MISSING)),
        bird(5, home, on(7, lives.SEXED, sex="F")),
        bird(6, on(8, lives.HATCHED, exhibit=SHINGLE)),
        bird(7, on(9, lives.ARRIVED, exhibit=SHINGLE), on(9, lives.SEXED, sex="M", order=3600)),
        bird(8, home, male, on(30, lives.DEPARTED, ours=False)),
        bird(9, home, male, on(1, lives.DIED, month=7)),
    ]
    held = lines(june(flock).held)
    assert held["F"] == InventoryLine("Ruff", "F", opening=2, resexed_in=1, died=1, closing=2)
    assert held["M"] == InventoryLine(
        "Ruff", "M", opening=4, arrived=1, found_again=1, departed=1, missing=2, closing=3
    )
    assert held["U"] == InventoryLine("Ruff", "U", opening=1, hatched=1, resexed_out=1, closing=1)


def test_the_first_and_the_last_day_belong_to_the_month() -> None:
    flock = [
        bird(1, on(1, lives.HATCHED, exhibit=SHINGLE)),
        bird(2, on(30, lives.HATCHED, exhibit=SHINGLE)),
        bird(3, on(31, lives.HATCHED, month=5, exhibit=SHINGLE)),
        bird(4, on(1, lives.HATCHED, month=7, exhibit=SHINGLE)),
    ]
    assert june(flock).held == (InventoryLine("Ruff", "U", opening=1, hatched=2, closing=3),)


def test_what_is_held_and_what_is_owned_are_told_apart() -> None:
    lent = bird(
        1, on(1, lives.ARRIVED, month=5, exhibit=SHINGLE, ours=True), on(10, lives.DEPARTED, ours=None)
    )
    guest = bird(2, on(12, lives.ARRIVED, exhibit=SHINGLE, ours=False), ours=False)
    bought = bird(
        3,
        on(1, lives.ARRIVED, month=5, exhibit=SHINGLE, ours=False),
        on(20, lives.OWNED, ours=True),
        ours=False,
    )
    told = june([lent, guest, bought])
    assert told.held == (InventoryLine("Ruff", "U", opening=2, arrived=1, departed=1, closing=2),)
    assert told.owned == (InventoryLine("Ruff", "U", opening=1, arrived=1, closing=2),)


def test_one_exhibit_has_moves_over_its_border_and_the_park_has_none() -> None:
    flock = [
        bird(1, on(1, lives.ARRIVED, month=5, exhibit=REED), on(5, lives.MOVED, exhibit=SHINGLE)),
        bird(2, on(1, lives.ARRIVED, month=5, exhibit=SHINGLE), on(6, lives.MOVED, exhibit=REED)),
        bird(3, on(1, lives.ARRIVED, month=5, exhibit=SHINGLE), on(7, lives.MOVED, exhibit=QUARANTINE)),
    ]
    assert june(flock, exhibits={SHINGLE}).held == (
        InventoryLine("Ruff", "U", opening=2, moved_in=1, moved_out=2, closing=1),
    )
    assert june(flock).held == (InventoryLine("Ruff", "U", opening=3, closing=3),)


def test_chicks_are_a_number_until_they_are_banded_and_eggs_stay_outside() -> None:
    nest = NestLife(
        7,
        "Ruff",
        SHINGLE,
        (
            NestEvent(date(2026, 5, 20), "eggs", 5),
            NestEvent(date(2026, 6, 4), "hatched", 4),
            NestEvent(date(2026, 6, 9), "unbanded chicks", 3),
        ),
    )
    chick = bird(
        1,
        on(20, lives.BANDED, exhibit=SHINGLE, nest=7, order=60.0),
        on(20, lives.SEXED, sex="M", order=90.0),
    )
    unsexed = bird(2, on(21, lives.BANDED, exhibit=SHINGLE, nest=7))
    told = june([chick, unsexed], [nest])
    held = lines(told.held)
    assert held["U"] == InventoryLine("Ruff", "U", hatched=4, died=1, resexed_out=1, closing=2)
    assert held["M"] == InventoryLine("Ruff", "M", resexed_in=1, closing=1)
    assert told.eggs == (("Ruff", 1),)


def test_a_chick_banded_out_of_a_nest_nobody_told_of_hatched_then() -> None:
    nest = NestLife(7, "Ruff", SHINGLE, (NestEvent(date(2026, 5, 20), "eggs", 5),))
    chick = bird(1, on(20, lives.BANDED, exhibit=SHINGLE, nest=7))
    assert june([chick], [nest]).held == (InventoryLine("Ruff", "U", hatched=1, closing=1),)


def test_a_failed_brood_is_that_many_dead_and_no_egg_left() -> None:
    nest = NestLife(
        7,
        "Ruff",
        SHINGLE,
        (
            NestEvent(date(2026, 5, 20), "eggs", 5),
            NestEvent(date(2026, 5, 30), "hatched", 3),
            NestEvent(date(2026, 6, 9), "failed"),
        ),
    )
    told = june([], [nest])
    assert told.held == (InventoryLine("Ruff", "U", opening=3, died=3, closing=0),)
    assert told.eggs == ()


def test_a_brood_that_fails_in_part_loses_its_eggs_first() -> None:
    found = (
        NestEvent(date(2026, 5, 20), "eggs", 3),
        NestEvent(date(2026, 5, 30), "hatched", 2),
        NestEvent(date(2026, 6, 9), "failed", 2),
    )
    told = june([], [NestLife(7, "Ruff", SHINGLE, found)])
    assert told.held == (InventoryLine("Ruff", "U", opening=2, died=1, closing=1),)
    assert told.eggs == ()


def test_a_carcase_without_bands_is_one_fewer_and_nobody_knows_which() -> None:
    flock = [
        bird(n, on(1, lives.ARRIVED, month=5, exhibit=SHINGLE), on(1, lives.SEXED, month=5, sex="F"))
        for n in (1, 2)
    ]
    told = june(flock, carcases=[UnnamedCarcase("Ruff", SHINGLE, date(2026, 6, 9))])
    assert told.held == (
        InventoryLine("Ruff", "F", opening=2, closing=2),
        InventoryLine("Ruff", "?", died=1, closing=-1),
    )


def test_a_missing_bird_that_is_found_dead_went_once() -> None:
    lost = bird(1, on(1, lives.ARRIVED, month=5, exhibit=SHINGLE), on(3, lives.MISSING), on(9, lives.DIED))
    assert june([lost]).held == (InventoryLine("Ruff", "U", opening=1, missing=1, closing=0),)


def test_a_bird_found_again_in_another_exhibit_lives_there_from_then_on() -> None:
    lost = bird(
        1,
        on(1, lives.ARRIVED, month=5, exhibit=SHINGLE),
        on(3, lives.MISSING),
        on(9, lives.FOUND, exhibit=REED),
    )
    shingle = InventoryLine("Ruff", "U", opening=1, missing=1, closing=0)
    assert june([lost], exhibits={SHINGLE}).held == (shingle,)
    assert june([lost], exhibits={REED}).held == (InventoryLine("Ruff", "U", found_again=1, closing=1),)


def test_a_banded_chick_is_no_longer_one_of_the_number_that_fails() -> None:
    hatched, failed = NestEvent(date(2026, 6, 4), "hatched", 3), NestEvent(date(2026, 6, 25), "failed")
    chick = bird(1, on(20, lives.BANDED, exhibit=SHINGLE, nest=7))
    told = june([chick], [NestLife(7, "Ruff", SHINGLE, (hatched, failed))])
    assert told.held == (InventoryLine("Ruff", "U", hatched=3, died=2, closing=1),)


def test_a_chick_banded_into_another_exhibit_crosses_the_border() -> None:
    nest = NestLife(7, "Ruff", SHINGLE, (NestEvent(date(2026, 6, 4), "hatched", 3),))
    chick = bird(1, on(20, lives.BANDED, exhibit=REED, nest=7))
    shingle = InventoryLine("Ruff", "U", hatched=3, moved_out=1, closing=2)
    assert june([chick], [nest], exhibits={SHINGLE}).held == (shingle,)
    assert june([chick], [nest], exhibits={REED}).held == (InventoryLine("Ruff", "U", moved_in=1, closing=1),)


def test_a_span_that_runs_backwards_is_refused() -> None:
    with pytest.raises(WrongValue, match="2026-05-01 is before 2026-06-01; exchange them"):
        inventory([], [], [], date(2026, 6, 1), date(2026, 5, 1))
