"""The fewest birds to re-band, against matchings, brute force and cases worked by hand."""

from __future__ import annotations

from itertools import combinations, product

import networkx as nx
import numpy as np
import pytest

from tarsus.core.choosing.clashes import ClashTables, NobodyToRebandLeft, NoMarksLeft, fewest_to_reband


def tables_of(worn: np.ndarray, offered: np.ndarray, distance: int, **changes: object) -> ClashTables:
    """Tables for words over symbols: alike where they differ in fewer than `distance` places."""

    def alike(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.count_nonzero(a[:, None, :] != b[None, :, :], axis=2) < distance

    plain: dict[str, object] = {
        "birds": alike(worn, worn),
        "offered": alike(offered, worn),
        "between": alike(offered, offered),
        "may_wear": np.ones((len(worn), len(offered)), dtype=bool),
        "fixed": np.zeros(len(worn), dtype=bool),
        "names": tuple(map(str, range(len(worn)))),
        "must": np.zeros(len(worn), dtype=bool),
        "weight": np.ones(len(worn)),
        "worse": np.zeros((len(worn), len(offered))),
    }
    return ClashTables(**(plain | changes))  # type: ignore[arg-type]  # the tests change one table at a time


def words(symbols: int, positions: int) -> np.ndarray:
    return np.array(list(product(range(symbols), repeat=positions)))


def assert_apart(tables: ClashTables, given: dict[int, int]) -> None:
    kept = [b for b in range(len(tables.fixed)) if b not in given]
    assert not tables.birds[np.ix_(kept, kept)][np.triu_indices(len(kept), 1)].any()
    for bird, mark in given.items():
        assert tables.may_wear[bird, mark]
        assert not tables.fixed[bird]
        assert not tables.offered[mark, kept].any()
    for one, other in combinations(given.values(), 2):
        assert not tables.between[one, other]


def test_two_clean_flocks_that_meet_need_as_many_as_a_matching_pairs() -> None:
    """König 1931: in a bipartite graph the least cover is as large as the largest matching (networkx finds
    that).
    """
    rng = np.random.default_rng(11)
    universe = words(5, 4)
    one = universe[rng.permutation(len(universe))[:300]]
    clean = [one[0]]
    for word in one[1:]:
        if all(np.count_nonzero(word != other) >= 2 for other in clean):
            clean.append(word)
    half = len(clean) // 2
    second = np.array(clean[half:])
    second[:, 0] = (second[:, 0] + 1) % 5  # still two apart among themselves, no longer from the first flock
    worn = np.concatenate([np.array(clean[:half]), second])
    tables = tables_of(worn, universe, 2)
    graph = nx.Graph([(int(a), int(b)) for a, b in np.argwhere(np.triu(tables.birds, 1))])
    pairs = nx.bipartite.maximum_matching(graph, top_nodes=[n for n in graph if n < half])
    plan = fewest_to_reband(tables)
    assert len(pairs) // 2 == plan.cost == len(plan.given)
    assert plan.proven
    assert_apart(tables, plan.given)


@pytest.mark.parametrize("seed", range(24))
def test_small_flocks_need_no_more_than_brute_force_finds(seed: int) -> None:
    """From the thirteenth on some birds are dearer to catch than others."""
    rng = np.random.default_rng(seed)
    universe = words(2, 3)  # tight on purpose: often no marks are left
    worn = universe[rng.integers(len(universe), size=4)]
    offered = universe[rng.permutation(len(universe))[:5]]
    weight = np.ones(4) if seed < 12 else rng.integers(1, 6, 4).astype(float)
    tables = tables_of(worn, offered, 1 + seed % 2, weight=weight)
    least = cheapest_by_trying_all(tables)
    if least is None:
        with pytest.raises(NoMarksLeft):
            fewest_to_reband(tables)
        return
    plan = fewest_to_reband(tables)
    assert plan.cost == least
    assert plan.proven
    assert_apart(tables, plan.given)


def cheapest_by_trying_all(tables: ClashTables) -> float | None:
    size, marks = tables.may_wear.shape
    least: float | None = None
    for count in range(size + 1):
        for who in combinations(range(size), count):
            for what in product(range(marks), repeat=count):
                try:
                    assert_apart(tables, dict(zip(who, what, strict=True)))
                except AssertionError:
                    continue
                cost = float(tables.weight[list(who)].sum())
                least = cost if least is None else min(least, cost)
                break
    return least


@pytest.mark.parametrize(("kept", "caught"), [(0, 1), (1, 0)])
def test_a_bird_that_may_not_be_caught_keeps_its_marks_however_cheap_it_is(kept: int, caught: int) -> None:
    worn = np.array([[0, 0], [0, 0], [1, 1]])
    fixed, weight = np.arange(3) == kept, np.where(np.arange(3) == kept, 0.1, 1.0)
    tables = tables_of(worn, words(2, 2), 1, fixed=fixed, weight=weight)
    assert list(fewest_to_reband(tables).given) == [caught]


def test_all_that_clash_with_a_bird_that_may_not_be_caught_are_caught_instead() -> None:
    worn = np.array([[0, 0, 0], [0, 0, 1], [0, 1, 0], [1, 0, 0]])  # the first differs from each in one place
    birds = np.zeros((4, 4), dtype=bool)
    birds[0, 1:] = birds[1:, 0] = True
    free = tables_of(worn, words(3, 3), 1, birds=birds)
    assert list(fewest_to_reband(free).given) == [0]
    held = tables_of(worn, words(3, 3), 1, birds=birds, fixed=np.array([True, False, False, False]))
    assert sorted(fewest_to_reband(held).given) == [1, 2, 3]


@pytest.mark.parametrize("seed", range(30))
def test_of_birds_that_may_not_be_caught_none_is_though_brute_force_finds_no_cheaper_way(seed: int) -> None:
    rng = np.random.default_rng(100 + seed)
    universe = words(2, 3)
    worn = universe[rng.integers(len(universe), size=4)]
    offered = universe[rng.permutation(len(universe))[:5]]
    fixed = np.zeros(4, dtype=bool)
    fixed[rng.permutation(4)[: 1 + seed % 2]] = True
    weight = rng.integers(1, 6, 4).astype(float)
    tables = tables_of(worn, offered, 1 + seed % 2, weight=weight, fixed=fixed)
    least = cheapest_by_trying_all(tables)
    if least is None:
        with pytest.raises((NoMarksLeft, NobodyToRebandLeft)):
            fewest_to_reband(tables)
        return
    plan = fewest_to_reband(tables)
    assert plan.cost == least
    assert_apart(tables, plan.given)


def test_two_birds_that_may_not_be_caught_are_named() -> None:
    worn = np.array([[1, 1], [0, 0], [0, 0]])
    with pytest.raises(NobodyToRebandLeft) as refused:
        fewest_to_reband(tables_of(worn, words(2, 2), 1, fixed=np.array([False, True, True])))
    assert refused.value.pair == ("1", "2")


@pytest.mark.parametrize(("weight", "caught"), [([3.0, 1.0], 1), ([1.0, 3.0], 0)])
def test_the_dearer_bird_to_catch_is_left_alone(weight: list[float], caught: int) -> None:
    worn = np.array([[0, 0], [0, 0]])
    plan = fewest_to_reband(tables_of(worn, words(2, 2), 1, weight=np.array(weight)))
    assert list(plan.given) == [caught]
    assert plan.least == 1


def test_the_clearest_marks_that_serve_are_given() -> None:
    worn = np.array([[0, 0], [0, 0]])
    plan = fewest_to_reband(tables_of(worn, words(2, 2), 1, worse=np.array([[0.0, 0.5, 0.2, 0.9]] * 2)))
    assert list(plan.given.values()) == [2]


def test_a_bird_without_a_clash_gives_up_its_marks_when_only_that_makes_room() -> None:
    # Birds 0 and 1 both wear 00; only 11 suits them, and bird 2 wears it; bird 2 alone may wear 22.
    worn = np.array([[0, 0], [0, 0], [1, 1]])
    offered = np.array([[1, 1], [2, 2]])
    may_wear = np.array([[True, False], [True, False], [False, True]])
    plan = fewest_to_reband(tables_of(worn, offered, 1, may_wear=may_wear))
    assert plan.cost == 2
    assert plan.proven
    assert plan.given[2] == 1
    # And if that one may not be caught, there is no way.
    held = np.array([False, False, True])
    with pytest.raises(NoMarksLeft):
        fewest_to_reband(tables_of(worn, offered, 1, may_wear=may_wear, fixed=held))


def test_a_flock_without_clashes_is_left_alone() -> None:
    assert fewest_to_reband(tables_of(words(2, 2), words(3, 2), 1)).given == {}


def test_a_bird_that_needs_other_marks_in_any_case_is_counted_and_serves_its_clash() -> None:
    worn = np.array([[0, 0], [0, 0], [1, 1]])
    plan = fewest_to_reband(tables_of(worn, words(2, 2), 1, must=np.array([False, True, True])))
    assert sorted(plan.given) == [1, 2]
    assert plan.proven


def test_a_bird_that_must_and_may_not_be_re_banded_is_named() -> None:
    worn = np.array([[0, 0], [1, 1]])
    must, fixed = np.array([False, True]), np.array([False, True])
    with pytest.raises(NobodyToRebandLeft, match="1 needs other marks and may not be re-banded"):
        fewest_to_reband(tables_of(worn, words(2, 2), 1, must=must, fixed=fixed))
