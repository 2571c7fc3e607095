"""Choosing marks as facility location: every reading is served by the bird that explains it best.

A *slot* is a bird to be marked (or a pair of mates, marked together); a *class* is a set of slots that may
take the same marks. An *option* is one way to fill a slot of a class. Array axes: K readings, O options, S
slots, L colours whose stock is limited.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Codes = NDArray[np.intp]

FREE = -1
"""The owner of a reading that no slot owns: a worn bird explains it best, or nobody does."""


@dataclass(frozen=True, eq=False)
class Options:
    """What the slots may take.

    Row ``o`` is ``reading[start[o]:start[o + 1]]`` with `value`, the prior weight times the chance of that
    reading. `kind[o]` is the class that may take it; `marks[o]` numbers its marks, so that two slots never
    take the same (mates: the two numbers). `uses[o]` counts the limited colours it takes.
    """

    start: Codes
    reading: Codes
    value: Floats
    kind: Codes
    marks: NDArray[np.intp]
    uses: NDArray[np.intp]

    def __len__(self) -> int:
        return len(self.kind)

    def row(self, option: int) -> slice:
        """Where the entries of one option stand."""
        return slice(int(self.start[option]), int(self.start[option + 1]))


@dataclass(frozen=True, eq=False)
class Problem:
    """Options for slots, next to birds whose marks stay.

    `worn[k]`: the largest value of a worn bird for each reading. `slots[s]`: the class of each slot.
    `stock[l]`: bands of each limited colour. What worn birds wear is not among the options. `mistaken[o,
    p]`: weighed chance that two options, both chosen, are read exactly as one another; `mistaken_worn[o]`:
    that one and a worn bird are; `None` where such names cost no more than others.
    """

    options: Options
    worn: Floats
    slots: Codes
    stock: NDArray[np.intp]
    mistaken: Floats | None = None
    mistaken_worn: Floats | None = None

    def value(self, chosen: Codes) -> float:
        """What is made as large as can be: P(right), less what names wrong beyond doubt cost on top."""
        right = self.right(chosen)
        if self.mistaken is None or self.mistaken_worn is None:
            return right
        pairs = self.mistaken[np.ix_(chosen, chosen)]
        return right - float((pairs.sum() - np.trace(pairs)) / 2 + self.mistaken_worn[chosen].sum())

    def right(self, chosen: Codes) -> float:
        """P(right) of a full choice, one option a slot, up to what the rows leave out."""
        best = self.worn.copy()
        for option in chosen:
            row = self.options.row(option)
            at = self.options.reading[row]
            best[at] = np.maximum(best[at], self.options.value[row])
        return float(best.sum())
