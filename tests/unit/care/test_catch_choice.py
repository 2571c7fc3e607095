"""The choice of birds is the best there is, by trying every one."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from tarsus.core.care.catch_choice import choose


def best_by_trying_all(
    worth: list[float], minutes: list[float], room: float, together: list[tuple[int, int]], must: set[int]
) -> tuple[float, float]:
    """The most that any allowed choice is worth, and the least minutes of such a one."""
    found = []
    for size in range(len(worth) + 1):
        for chosen in combinations(range(len(worth)), size):
            inside = set(chosen)
            apart = any((one in inside) != (other in inside) for one, other in together)
            spent = sum(minutes[bird] for bird in chosen)
            if not apart and must <= inside and spent <= room + 1e-9:
                found.append((-round(sum(worth[bird] for bird in chosen), 6), round(spent, 6)))
    value, spent = min(found)
    return -value, spent


@pytest.mark.parametrize("seed", range(40))
def test_the_choice_is_the_best_and_of_equals_the_shortest(seed: int) -> None:
    rng = np.random.default_rng(seed)
    birds = int(rng.integers(2, 10))
    worth = [float(value) for value in rng.integers(0, 5, birds) * rng.choice([1.0, 0.1, 0.3])]
    minutes = [float(value) for value in rng.integers(0, 8, birds) * rng.choice([1.0, 0.1, 0.7])]
    together = [
        (int(one), int(other))
        for one, other in (rng.choice(birds, 2, replace=False) for _ in range(rng.integers(0, 3)))
    ]
    must = {int(bird) for bird in rng.integers(0, birds, rng.integers(0, 2))}
    room = float(rng.uniform(0.0, sum(minutes) + 0.1))
    taken = choose(worth, minutes, room, together, must=must)
    if taken is None:
        with pytest.raises(ValueError, match="empty"):
            best_by_trying_all(worth, minutes, room, together, must)
        return
    best, shortest = best_by_trying_all(worth, minutes, room, together, must)
    assert round(sum(worth[bird] for bird in taken), 6) == best
    assert round(sum(minutes[bird] for bird in taken), 6) == shortest


def test_a_bird_that_must_not_be_caught_never_is() -> None:
    worth, minutes = [9.0, 1.0, 1.0], [1.0, 1.0, 1.0]
    assert choose(worth, minutes, 3.0) == {0, 1, 2}
    assert choose(worth, minutes, 3.0, never={0}) == {1, 2}
    assert choose(worth, minutes, 3.0, [(0, 1)], never={1}) == {2}
    assert choose(worth, minutes, 3.0, [(0, 1), (1, 2)], never={2}) == frozenset()


def test_what_each_bird_is_worth_decides_and_not_how_many_there_are() -> None:
    assert choose([8.0, 3.0, 3.0], [6.0, 3.0, 3.0], 6.0) == {0}
    assert choose([8.0, 5.0, 5.0], [6.0, 3.0, 3.0], 6.0) == {1, 2}
    assert choose([8.0, 4.0, 4.0], [6.0, 3.0, 2.5], 6.0) == {1, 2}, "worth the same and shorter"


def test_a_bird_that_must_be_caught_is_whatever_it_is_worth() -> None:
    assert choose([0.0, 9.0], [4.0, 3.0], 6.0, must={0}) == {0}
    assert choose([0.0, 9.0], [7.0, 3.0], 6.0, must={0}) is None
    assert choose([1.0], [3.0], -2.0) == frozenset()


def test_more_choices_than_can_be_weighed_finely_still_fit_the_room() -> None:
    rng = np.random.default_rng(3)
    minutes = [float(value) for value in rng.uniform(1.0, 9.0, 60)]
    worth = [value + 1.0 for value in minutes]
    taken = choose(worth, minutes, 40.0)
    assert taken is not None
    assert 39.9 < sum(minutes[bird] for bird in taken) <= 40.0
