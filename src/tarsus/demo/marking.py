"""How this garden chose its marks: *next free combination* for years, then with a look at the whole flock.

The first habit deals pairs of colours in the order of the drawer, so neighbours in age look alike. The second
takes, of the free combinations, the one that differs most from every bird of the flock, worn legs exchanged
included. So the demo's marks are good and not perfect, as a park's are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.sites import SITES


def pairs_of(colours: Sequence[str], *, repeats: bool = True) -> Iterator[tuple[str, str]]:
    """Pairs of colours, upper and lower, in the order of the drawer."""
    for upper, lower in product(colours, repeat=2):
        if repeats or upper != lower:
            yield upper, lower


def metal_and_pair(sex: str, pair: tuple[str, ...], left: str, right: str) -> Marks:
    """The garden's rule: a female's metal left and her colours right, a male's the other way round."""
    if sex == "F":
        return Marks.of({left: [METAL], right: pair})
    if sex == "M":
        return Marks.of({left: pair, right: [METAL]})
    return Marks.of({left: pair[:1], right: pair[1:]})


def difference(one: Marks, other: Marks) -> int:
    """Bands by which two birds differ, read straight or with left and right mixed up, whichever is less."""
    return min(_straight(one, other), _straight(one, other.mirrored()) + 1)


def _straight(one: Marks, other: Marks) -> int:
    apart = 0
    for site in SITES:
        a, b = one.at(site), other.at(site)
        apart += abs(len(a) - len(b)) + sum(x != y for x, y in zip(a, b, strict=False))
    return apart


def next_free(wanted: Sequence[str], colours: Sequence[str], left: str, right: str) -> list[Marks]:
    """Marks for birds of these sexes, each the next free combination of the drawer, whatever the sex."""
    drawer = pairs_of(colours, repeats=False)
    return [metal_and_pair(sex, next(drawer), left, right) for sex in wanted]


def farthest(
    wanted: Sequence[str], worn: Sequence[Marks], colours: Sequence[str], left: str, right: str
) -> list[Marks]:
    """Marks for birds of these sexes, each the free one that differs most from all worn so far."""
    free = {
        sex: [metal_and_pair(sex, pair, left, right) for pair in pairs_of(colours)] for sex in set(wanted)
    }
    # By sex and candidate: how near the nearest of the flock stands, and how far all of them together.
    apart = {sex: [_clearness(marks, worn) for marks in candidates] for sex, candidates in free.items()}
    chosen: list[Marks] = []
    for sex in wanted:
        best = max(range(len(free[sex])), key=apart[sex].__getitem__)
        chosen.append(free[sex][best])
        for other, candidates in free.items():
            apart[other] = [
                _with(nearness, difference(marks, chosen[-1]))
                for nearness, marks in zip(apart[other], candidates, strict=True)
            ]
    return chosen


def _clearness(marks: Marks, flock: Sequence[Marks]) -> tuple[int, int]:
    apart = [difference(marks, other) for other in flock]
    return (min(apart, default=9), sum(apart))


def _with(nearness: tuple[int, int], apart: int) -> tuple[int, int]:
    return (min(nearness[0], apart), nearness[1] + apart)
