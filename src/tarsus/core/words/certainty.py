"""Who it is, in words with the number beside them, and the chances at which each word begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from tarsus.core.words.numbers import capital, in_words, one_reading_in, per_cent

ALMOST_CERTAIN: Final = 0.95
"""Chance from which a name is said without *probably*."""

PROBABLE: Final = 0.8
"""Chance from which one name is said at all; below it several are."""

DOUBTFUL_BELOW: Final = 0.9
"""A name of less is doubtful: it counts by its chance and clears nobody."""

TOGETHER: Final = 0.95
"""Share of the birds' chance that the candidates named together carry."""

NOBODY_FROM: Final = 0.5
"""Chance of *none of these* above which nobody fits."""


@dataclass(frozen=True, slots=True)
class WhoItIs:
    """What the answer to a reading is called.

    `look` is the sentence that says where to look, or empty; `several` how many candidates carry nearly all
    of the chance, 0 where nobody fits.
    """

    kind: Literal["none", "sure", "several"]
    say: str
    look: str
    several: int


def together(chances: Sequence[float]) -> int:
    """How many of the likeliest together carry nearly all of what all carry; likeliest first."""
    whole, held = sum(chances), 0.0
    for count, chance in enumerate(chances):
        if held >= TOGETHER * whole:
            return count
        held += chance
    return len(chances)


def where_to_look(site: str, *, two_parts: bool = False) -> str:
    """Which site to look at, as a sentence; a leg's part is told where both parts carry bands."""
    side, part = site.split()
    if part == "wing":
        return f"Look at the {side} wing."
    if not two_parts:
        return f"Look at the {side} leg."
    return f"Look {'above' if part == 'tibia' else 'below'} the joint of the {side} leg."


def who_it_is(
    candidates: Sequence[tuple[str, float]],
    none_of_these: float,
    look_next: str | None,
    *,
    kind: str = "bird",
    two_parts: bool = False,
) -> WhoItIs:
    """Say what a reading tells: never a bare winner that is not certain.

    Args:
        candidates: names with their chances, the likeliest first.
        none_of_these: chance that it is none of the flock.
        look_next: the site whose sight would settle most.
        kind: what the flock is called here, such as avocet.
        two_parts: tibia and tarsus both carry bands in this flock.
    """
    look = where_to_look(look_next, two_parts=two_parts) if look_next else ""
    if not candidates or none_of_these > NOBODY_FROM:
        return WhoItIs("none", f"Fits no {kind} here.", look, 0)
    name, chance = candidates[0]
    several = together([one for _, one in candidates])
    if chance >= ALMOST_CERTAIN:
        return WhoItIs("sure", f"Almost certainly {name}, {per_cent(chance)}.", "", several)
    if chance >= PROBABLE:
        return WhoItIs("sure", f"Probably {name}, {per_cent(chance)}.", look, several)
    return WhoItIs("several", f"One of {in_words(max(several, 2))}.", look, several)


def pair_said(one: str, other: str, named: tuple[float, float] | None) -> str:
    """How often two look-alikes are taken for each other, each way.

    Args:
        one: the first bird's name.
        other: the second's.
        named: chance that a reading of the first names the second, and of the second the first; none where
            one of them wears no bands.
    """
    if named is None:
        return "One of them wears no bands: there is nothing to mistake."
    there, back = (one_reading_in(chance) for chance in named)
    if there == back:
        return f"{capital(there)} of either names the other."
    return f"{capital(there)} of {one} names {other}, {back} of {other} names {one}."


def either_said(named: tuple[float, float]) -> str:
    """How often two look-alikes are taken for each other, the mean of both ways.

    Args:
        named: chance that a reading of the first names the second, and of the second the first.
    """
    return f"{capital(one_reading_in(sum(named) / 2))} names the other."
