"""Mates on wings: the same colours on opposite sides, and why a mate cannot have them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.sites import LEFT_WING, MIRROR, RIGHT_WING

WINGS: Final = (LEFT_WING, RIGHT_WING)


class MateWithoutMarks(NotEnoughMarks):
    """A bird cannot wear what its mate wears on the other wing."""

    def __init__(self, bird: str, mate: str, why: str) -> None:
        self.bird, self.mate = bird, mate
        super().__init__(
            f"{bird} wears what its mate {mate} wears, on the other wing, but {why}; "
            "add to the stock, or name no mate",
            available=0,
        )


def on_wings(marks: Marks) -> bool:
    """Whether a bird wears colours on a wing."""
    return any(band != METAL for site in WINGS for band in marks.at(site))


def matching(marks: Marks, metal: str | None) -> Marks:
    """The same wing colours on the opposite side, with the metal band of a rule's row."""
    by_site = {
        MIRROR[site]: [band for band in bands if band != METAL]
        for site, bands in marks.sites
        if site in WINGS
    }
    if metal is not None:
        by_site[metal] = [METAL, *by_site.get(metal, [])]
    return Marks.of(by_site)


def used_bands(marks: Sequence[Marks]) -> Mapping[str, int]:
    """How many bands of each kind these marks take."""
    used: dict[str, int] = {}
    for worn in marks:
        for _, bands in worn.sites:
            for band in bands:
                used[band] = used.get(band, 0) + 1
    return used


def check_mate(
    bird: str, mate: str, matched: Marks, worn: Sequence[Bird], stock: Mapping[str, int] | None
) -> None:
    """Refuse marks that a mate cannot have.

    Raises:
        MateWithoutMarks: another bird wears them, or the stock does not hold the bands.
    """
    other = next((one.id for one in worn if one.marks == matched), None)
    if other is not None:
        raise MateWithoutMarks(bird, mate, f"{other} wears those marks")
    if stock is None:
        return
    short = [
        f"{stock.get(band, 0) or 'no'} {band} in stock where {count} {'is' if count == 1 else 'are'} needed"
        for band, count in used_bands([matched]).items()
        if (band != METAL or METAL in stock) and stock.get(band, 0) < count
    ]
    if short:
        raise MateWithoutMarks(bird, mate, f"there is {' and '.join(short)}")
