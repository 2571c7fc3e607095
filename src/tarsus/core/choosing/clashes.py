"""The fewest birds to re-band so that every two of a flock are apart, and what to give them.

Which marks are too alike is decided elsewhere (`pairs`) and comes as tables; here stands the choice. The
birds to catch are a cover of the clashes: of every clashing pair at least one. The least cover is an
integer programme, and what it gives is a floor that no plan can pass. Marks for the covered birds are then
filled in, the clearest first; where the least cover cannot be filled, one programme over birds and marks
together decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import NoAnswer

Bools = NDArray[np.bool_]
MOST_STEPS: Final = 20_000
MOST_NODES: Final = 20_000
MOST_TOGETHER: Final = 6_000
"""Choices (a bird, a mark) that the joint programme weighs at most."""


class NobodyToRebandLeft(NoAnswer):
    """Two birds clash and neither may be re-banded, or one that must be may not."""

    def __init__(self, one: str, other: str) -> None:
        self.pair = (one, other)
        said = (
            f"{one} and {other} are too alike and neither may be re-banded"
            if one != other
            else f"{one} needs other marks and may not be re-banded"
        )
        super().__init__(said)


class NoMarksLeft(NoAnswer):
    """No marks are left that would keep every two birds apart, whoever is re-banded.

    `certain` is false where only the best of very many marks were weighed.
    """

    def __init__(self, *, certain: bool) -> None:
        self.certain = certain
        lead = "no marks are left" if certain else "among the best marks none were found"
        super().__init__(
            f"{lead} that keep every two birds apart; allow more colours, or ask for less clarity"
        )


@dataclass(frozen=True)
class ClashTables:
    """Who is too alike, as tables over birds B and marks on offer M.

    Attributes:
        names: what the B birds are called, for refusals.
        birds: ``(B, B)`` symmetric; two birds as they are banded now are too alike. The diagonal is unused.
        offered: ``(M, B)``; marks on offer are too alike to what a bird wears now.
        between: ``(M, M)`` symmetric; two marks on offer are too alike; the diagonal is true (given once
        only). may_wear: ``(B, M)``; the rule lets this bird wear these marks. fixed: ``(B,)``; this bird
        must not be caught, or keeps its marks whatever happens. weight: ``(B,)`` what catching each bird
        costs, 1 for the plain count. unclear: ``(M,)`` how unclear marks are; of marks that serve, the
        clearest are given.
    """

    names: tuple[str, ...]
    birds: Bools
    offered: Bools
    between: Bools
    may_wear: Bools
    fixed: Bools
    must: Bools
    weight: NDArray[np.float64]
    worse: NDArray[np.float64]


@dataclass(frozen=True)
class Rebanding:
    """Who gets which marks: ``given[bird] = mark``; `least` is a floor on the cost of any plan."""

    given: dict[int, int]
    cost: float
    least: float

    @property
    def proven(self) -> bool:
        """Whether no cheaper plan can exist."""
        return self.cost <= self.least + 1e-6


def fewest_to_reband(tables: ClashTables) -> Rebanding:
    """Choose the fewest birds to re-band, and marks for them, so that every two birds are apart.

    Returns:
        A plan after which no two birds are too alike. Its `least` is what the cover alone needs, or what
        the joint programme proved.

    Raises:
        NobodyToRebandLeft: two fixed birds clash.
        NoMarksLeft: no plan exists among the marks on offer.

    Source:
        Minimum vertex cover as an integer programme (Nemhauser & Wolsey 1988, ch. II.1); for two clean
        flocks that meet it is a matching (König 1931), which the tests check. docs/science/clashes.md
    """
    cover = _least_cover(tables)
    least = float(tables.weight[cover].sum())
    given = _filled(tables, cover)
    if given is not None:
        return Rebanding(given, least, least)
    return _jointly(tables, least)


def _clashing_pairs(tables: ClashTables) -> NDArray[np.intp]:
    """``(E, 2)`` clashing birds, each pair once."""
    pairs = np.argwhere(np.triu(tables.birds, 1))
    for one, other in pairs:
        if tables.fixed[one] and tables.fixed[other]:
            raise NobodyToRebandLeft(tables.names[one], tables.names[other])
    for bird in np.flatnonzero(tables.must & tables.fixed):
        raise NobodyToRebandLeft(tables.names[bird], tables.names[bird])
    return pairs


def _least_cover(tables: ClashTables) -> NDArray[np.intp]:
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    pairs = _clashing_pairs(tables)
    size = len(tables.fixed)
    if not len(pairs):
        return np.flatnonzero(tables.must)
    rows = np.repeat(np.arange(len(pairs)), 2)
    matrix = csr_array((np.ones(2 * len(pairs)), (rows, pairs.ravel())), shape=(len(pairs), size))
    # Of covers that cost the same, one whose birds have many marks to choose from is easier to fill.
    choice = tables.may_wear.sum(axis=1)
    tie = 1e-4 * (1 - choice / max(1, int(choice.max()))) / max(1, size)
    solved = milp(
        tables.weight + tie,
        constraints=LinearConstraint(matrix, lb=1),
        bounds=Bounds(np.where(tables.must, 1, 0), np.where(tables.fixed, 0, 1)),
        integrality=np.ones(size, dtype=np.int64),
    )
    assert solved.x is not None, "every clash has a bird that may be re-banded, so a cover exists"
    return np.flatnonzero(solved.x > 0.5)


def _filled(tables: ClashTables, cover: NDArray[np.intp]) -> dict[int, int] | None:
    """Marks for each covered bird that keep everybody apart, or `None` where the search meets none.

    The bird with the fewest marks left to choose from comes next, and of its marks the clearest is tried
    first.
    """
    kept = np.ones(len(tables.fixed), dtype=bool)
    kept[cover] = False
    free = ~tables.offered[:, kept].any(axis=1)
    options = tables.may_wear[cover] & free
    steps = 0

    def fill(options: Bools, left: tuple[int, ...], given: dict[int, int]) -> dict[int, int] | None:
        nonlocal steps
        if not left:
            return given
        row = min(left, key=lambda r: int(options[r].sum()))
        marks = np.flatnonzero(options[row])
        for mark in marks[np.argsort(tables.worse[cover[row], marks], kind="stable")]:
            steps += 1
            if steps > MOST_STEPS:
                return None
            rest = tuple(r for r in left if r != row)
            narrowed = options & ~tables.between[mark]
            if all(narrowed[r].any() for r in rest):
                found = fill(narrowed, rest, {**given, int(cover[row]): int(mark)})
                if found is not None:
                    return found
        return None

    return fill(options, tuple(range(len(cover))), {})


def _jointly(tables: ClashTables, least: float) -> Rebanding:
    """One programme over who is re-banded and with what; also birds that clash with nobody may make room."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    choices = _weighed_choices(tables)
    size, count = len(tables.fixed), len(choices)
    constraints = _joint_rows(tables, choices)
    whole = len(choices) == int((tables.may_wear & ~tables.fixed[:, None]).sum())
    lower = np.concatenate([np.where(tables.must, 1, 0), np.zeros(count)])
    upper = np.concatenate([np.where(tables.fixed, 0, 1), np.ones(count)])
    least_worse = max(1.0, float(np.abs(tables.worse).max(initial=0)))
    tie = 1e-4 * tables.worse[choices[:, 0], choices[:, 1]] / (least_worse * max(1, size))
    cost = np.concatenate([tables.weight, tie])
    whole_numbers = bool((tables.weight == np.round(tables.weight)).all())
    # Weights in whole numbers: a gap below one settles the count, and the rest is only which of equal plans.
    gap = 0.9 / max(1.0, float(tables.weight.sum())) if whole_numbers else 1e-4
    solved = milp(
        cost,
        constraints=LinearConstraint(constraints[0], lb=constraints[1], ub=constraints[2]),
        bounds=Bounds(lower, upper),
        integrality=np.ones(size + count, dtype=np.int64),
        options={"mip_rel_gap": gap, "node_limit": MOST_NODES},
    )
    if solved.x is None:
        raise NoMarksLeft(certain=whole and solved.status == 2)
    given = {
        int(bird): int(mark) for (bird, mark), x in zip(choices, solved.x[size:], strict=True) if x > 0.5
    }
    spent = float(sum(tables.weight[bird] for bird in given))
    if not whole:  # only with every choice weighed is the programme's bound a floor; else the cover's is
        return Rebanding(given, spent, least)
    bound = float(solved.mip_dual_bound if solved.mip_dual_bound is not None else least)
    floor = np.ceil(bound - 1e-2) if whole_numbers else bound - 1e-2
    return Rebanding(given, spent, max(least, min(spent, float(floor))))


def _weighed_choices(tables: ClashTables) -> NDArray[np.intp]:
    """``(Z, 2)`` bird and mark: all of them, or each bird's best where they are too many."""
    birds = np.flatnonzero(~tables.fixed)
    each = max(1, MOST_TOGETHER // max(1, len(birds)))
    rows = []
    for bird in birds:
        marks = np.flatnonzero(tables.may_wear[bird])
        first = marks[np.argsort(tables.worse[bird, marks], kind="stable")[:each]]
        rows += [(int(bird), int(mark)) for mark in first]
    return np.array(rows, dtype=np.intp).reshape(-1, 2)


def _joint_rows(
    tables: ClashTables, choices: NDArray[np.intp]
) -> tuple[Any, NDArray[np.float64], NDArray[np.float64]]:
    """The rows of the joint programme over (re-banded B, chosen Z): matrix, lower and upper sides.

    That a bird keeps its marks and that a mark is given are the nodes of one graph of what cannot stand
    together. A row a clique says that at most one of its nodes holds: far fewer rows than pairs, and far
    tighter.
    """
    from scipy.sparse import coo_array

    _clashing_pairs(tables)
    size, marks = len(tables.fixed), np.unique(choices[:, 1])
    of_mark = {int(mark): size + np.flatnonzero(choices[:, 1] == mark) for mark in marks}
    offered = tables.offered[marks]
    clash = np.block([[tables.birds, offered.T], [offered, tables.between[np.ix_(marks, marks)]]])
    np.fill_diagonal(clash, val=False)
    entries: list[tuple[int, int, float]] = []
    high: list[float] = []
    for clique in _clique_cover(clash):
        kept = [node for node in clique if node < size]
        given = [column for node in clique if node >= size for column in of_mark[int(marks[node - size])]]
        row = len(high)
        entries += [(row, node, -1.0) for node in kept] + [(row, int(column), 1.0) for column in given]
        high.append(1.0 - len(kept))
    low = [-np.inf] * len(high)
    for bird in range(size):  # whoever is re-banded gets one set of marks, and nobody else gets any
        own = np.flatnonzero(choices[:, 0] == bird)
        entries += [(len(high), bird, -1.0), *((len(high), size + int(z), 1.0) for z in own)]
        low.append(0.0)
        high.append(0.0)
    r, c, v = (np.array(column) for column in zip(*entries, strict=True))
    matrix = coo_array((v, (r, c)), shape=(len(low), size + len(choices))).tocsr()
    return matrix, np.array(low), np.array(high)


def _clique_cover(clash: Bools) -> list[list[int]]:
    """Cliques that cover every edge, and every node by itself where it has none."""
    left = clash.copy()
    cliques = [[int(node)] for node in np.flatnonzero(~clash.any(axis=1))]
    for one in range(len(clash)):
        while left[one].any():
            clique = [one, int(np.argmax(left[one]))]
            fits = clash[clique[0]] & clash[clique[1]]
            while fits.any():
                # Grow by the node that covers most of what is still uncovered, then by the most sociable.
                covers = left[:, clique].sum(axis=1) * len(clash)
                gain = np.where(fits, covers + clash[:, fits].sum(axis=1), -1)
                joined = int(np.argmax(gain))
                clique.append(joined)
                fits &= clash[joined]
            left[np.ix_(clique, clique)] = False
            cliques.append(clique)
    return cliques
