"""Choosing marks so that readings are named rightly, or left in doubt, at the least cost.

A *slot* is a bird to be marked (or a pair of mates, marked together); a *class* is a set of slots that may
take the same marks. An *option* is one way to fill a slot of a class. Array axes: K readings, O options, S
slots, L colours whose stock is limited.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Codes = NDArray[np.intp]

FREE = -1
"""No option, or no marks: what fills a place that nothing takes."""


@dataclass(frozen=True, eq=False)
class Options:
    """What the slots may take.

    Row ``o`` is ``reading[start[o]:start[o + 1]]`` with `value`, the prior weight times the chance of that
    reading, and `total`, the same summed over the birds of the slot (mates: `value` is that of the likelier).
    `kind[o]` is the class that may take it; `marks[o]` numbers its marks, so that two slots never take the
    same (mates: the two numbers). `uses[o]` counts the limited colours it takes.
    """

    start: Codes
    reading: Codes
    value: Floats
    total: Floats
    kind: Codes
    marks: NDArray[np.intp]
    uses: NDArray[np.intp]

    def __len__(self) -> int:
        return len(self.kind)

    @property
    def owner(self) -> Codes:
        """The option of every entry."""
        return np.repeat(np.arange(len(self)), np.diff(self.start))

    def row(self, option: int) -> slice:
        """Where the entries of one option stand."""
        return slice(int(self.start[option]), int(self.start[option + 1]))


@dataclass(frozen=True, eq=False)
class Problem:
    """Options for slots, next to birds whose marks stay.

    `worn[k]`: the largest value of a worn bird for each reading; `worn_total[k]`: that of all of them
    together. `slots[s]`: the class of each slot. `stock[l]`: bands of each limited colour. What worn birds
    wear is not among the options. `sureness`: the chance from which a reading is named.
    """

    options: Options
    worn: Floats
    worn_total: Floats
    slots: Codes
    stock: NDArray[np.intp]
    sureness: float

    def served(self, chosen: Codes) -> tuple[Floats, Floats]:
        """``(K,)`` the likeliest bird's share of each reading under a choice, and that of all birds."""
        best, total = self.worn.copy(), self.worn_total.copy()
        for option in chosen:
            row = self.options.row(option)
            at = self.options.reading[row]
            best[at] = np.maximum(best[at], self.options.value[row])
            total[at] += self.options.total[row]
        return best, total

    def worth(self, chosen: Codes) -> float:
        """What a full choice saves against leaving every reading in doubt, up to what the rows leave out.

        Source:
            docs/science/assignment.md, eq. 4.
        """
        best, total = self.served(chosen)
        return float(np.maximum(best - self.sureness * total, 0.0).sum())

    def outcome(self, chosen: Codes) -> tuple[float, float]:
        """Chance that a reading is named wrongly, and that it is left in doubt.

        Source:
            The reject rule (Chow 1970; from memory): docs/science/assignment.md, eq. 3a.
        """
        best, total = self.served(chosen)
        sure = best >= self.sureness * total
        return float((total - best)[sure].sum()), float(total[~sure].sum())

    def loss(self, chosen: Codes) -> float:
        """Cost of a reading, in wrong names: those named wrongly, and a share of those left in doubt.

        Source:
            docs/science/assignment.md, eq. 3a and 4.
        """
        best, total = self.served(chosen)
        return float(np.minimum((1.0 - self.sureness) * total, total - best).sum())

    def right(self, chosen: Codes) -> float:
        """Chance that the likeliest bird is the right one."""
        return float(self.served(chosen)[0].sum())


def merged(problem: Problem) -> Problem:
    """The same problem with readings that all birds give in the same proportions as one.

    A reading's part of the worth grows as all its chances grow, so readings that differ by a factor add up:
    metal seen or not seen beside the same colours is one. Two weighted sums tell which are alike.

    Source:
        docs/science/assignment.md, "Choosing marks": readings that all birds give in the same
        proportions.
    """
    options, count = problem.options, len(problem.worn)
    weights = np.random.default_rng(0).uniform(0.5, 1.5, (2, len(options) + 2))
    owner = options.owner
    whole = np.bincount(options.reading, options.total, minlength=count) + problem.worn_total
    some = np.flatnonzero(whole > 0)
    looks = [
        (
            np.bincount(options.reading, weight[owner] * (options.value + options.total), minlength=count)
            + weight[-1] * problem.worn
            + weight[-2] * problem.worn_total
        )[some]
        / whole[some]
        for weight in weights
    ]
    _, place = np.unique(np.round(np.stack(looks), 9), axis=1, return_inverse=True)
    at = np.zeros(count, dtype=np.intp)
    at[some] = place.ravel()
    fewer = int(at.max(initial=-1)) + 1
    keys, entry = np.unique(owner * fewer + at[options.reading], return_inverse=True)
    lengths = np.bincount(keys // max(fewer, 1), minlength=len(options))
    value = _summed(entry, options.value, len(keys))
    same = options.total is options.value
    rows = replace(
        options,
        start=np.concatenate([[0], np.cumsum(lengths)]).astype(np.intp),
        reading=(keys % max(fewer, 1)).astype(np.intp),
        value=value,
        total=value if same else _summed(entry, options.total, len(keys)),
    )
    return replace(
        problem,
        options=rows,
        worn=_summed(at, problem.worn, fewer),
        worn_total=_summed(at, problem.worn_total, fewer),
    )


def _summed(place: Codes, weight: Floats, many: int) -> Floats:
    return np.bincount(place, weight, minlength=many).astype(float)
