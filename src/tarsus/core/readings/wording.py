"""What was read, in words for people."""

from __future__ import annotations

from collections.abc import Sequence

from tarsus.core.marks.marks import NOT_MADE_OUT, OPEN_END
from tarsus.core.readings.worn_as_read import NOT_SURE
from tarsus.core.words.numbers import per_cent


def stack_read(bands: Sequence[str]) -> str:
    """What was read on one site: ``red, perhaps more below``; ``bare`` where it was seen to carry nothing."""
    told = [band for at, band in enumerate(bands) if band != OPEN_END or bands[at - 1 : at] != (OPEN_END,)]
    if not told:
        return "bare"
    if told == [OPEN_END]:
        return "bands not made out"
    said = [_band_read(told, at) for at in range(len(told))]
    joins = (", " if OPEN_END in told[at : at + 2] else " over " for at in range(len(told) - 1))
    return said[0] + "".join(join + band for join, band in zip(joins, said[1:], strict=True))


def sides_read(swap: float, limbs: str = "legs") -> str:
    """How sure a reading is of its sides, by the chance that left and right are exchanged."""
    if swap >= NOT_SURE:
        return "left or right unclear"
    return f"{limbs} swapped: {per_cent(swap)}"


def _band_read(told: Sequence[str], at: int) -> str:
    if told[at] == NOT_MADE_OUT:
        return "a colour not made out"
    if told[at] != OPEN_END:
        return told[at]
    if at == len(told) - 1:
        return "perhaps more below"
    return "perhaps more between" if at else "perhaps more above"
