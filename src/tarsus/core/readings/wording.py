"""Who it is, in words for people, with the number beside them and never a bare winner that is not certain."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tarsus.core.marks.marks import NOT_MADE_OUT, OPEN_END

ALMOST_CERTAIN: Final = 0.95
PROBABLE: Final = 0.7
_COVERED: Final = 0.9
_COUNTED: Final = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def in_per_cent(chance: float) -> str:
    """A chance in whole per cent, one decimal under 5, and ``< 1 %`` and ``> 99 %`` at the ends."""
    if chance < 0.01:
        return "< 1 %"
    if chance > 0.99:
        return "> 99 %"
    return f"{100 * chance:.1f} %" if chance < 0.05 else f"{100 * chance:.0f} %"


def who_it_is(candidates: Sequence[tuple[str, float]], none_of_these: float, look_next: str | None) -> str:
    """Say what a reading tells.

    Args:
        candidates: names with their chances, the likeliest first.
        none_of_these: chance that it is none of the flock.
        look_next: the site whose sight would settle most.

    Returns:
        One or two sentences, such as ``One of four. Look at the left leg.``
    """
    if none_of_these >= 0.5 or not candidates:
        return f"Fits nobody here, {in_per_cent(none_of_these)}."
    name, chance = candidates[0]
    look = f" Look at the {look_next}." if look_next else ""
    if chance >= ALMOST_CERTAIN:
        return f"Almost certainly {name}, {in_per_cent(chance)}."
    if chance >= PROBABLE:
        return f"Probably {name}, {in_per_cent(chance)}.{look}"
    count = _needed(candidates)
    how_many = _COUNTED[count] if count < len(_COUNTED) else str(count)
    return f"One of {how_many}.{look}"


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


def sides_read(swap: float) -> str:
    """How sure a reading is of its sides, by the chance that left and right are exchanged."""
    if swap == 0.5:
        return "side not sure"
    return f"left and right exchanged: {in_per_cent(swap)}"


def _band_read(told: Sequence[str], at: int) -> str:
    if told[at] == NOT_MADE_OUT:
        return "a colour not made out"
    if told[at] != OPEN_END:
        return told[at]
    if at == len(told) - 1:
        return "perhaps more below"
    return "perhaps more between" if at else "perhaps more above"


def _needed(candidates: Sequence[tuple[str, float]]) -> int:
    """How many candidates it takes to hold nine tenths of what they hold together."""
    whole = sum(chance for _, chance in candidates)
    held = 0.0
    for count, (_, chance) in enumerate(candidates, start=1):
        held += chance
        if held >= _COVERED * whole:
            return max(count, 2)
    return len(candidates)
