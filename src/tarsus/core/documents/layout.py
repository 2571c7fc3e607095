"""Where the bands that were tapped in a photograph sit."""

from __future__ import annotations

from typing import Any, Final

from tarsus.core.documents.values import child, parse_chance, parse_choice, parse_list, parse_object, shown
from tarsus.core.errors import WrongValue
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, OPEN_END, SWAP
from tarsus.core.marks.sites import SITES
from tarsus.core.photographs.whose import Layout

_WORDS: Final = (METAL, NOT_MADE_OUT, OPEN_END)


def parse_layout(value: Any, place: str, bands: int) -> tuple[Layout, float | None]:
    """Which tapped band sits where, and the chance that the sides are exchanged where that is told.

    Args:
        value: ``{"left leg": [0, "metal"], …}``.
        place: what a refusal names.
        bands: how many were tapped.

    Raises:
        MalformedInput: a site or word that there is not, no site at all, or a band that sits in two places.
    """
    layout: dict[str, tuple[int | str, ...]] = {}
    first: dict[int, str] = {}
    swap = None
    for site, told in parse_object(value, place).items():
        at = child(place, site)
        if site == SWAP:
            swap = parse_chance(told, at)
            continue
        parse_choice(site, at, "site", SITES)
        if told is None:
            continue
        layout[site] = tuple(
            _worn_band(one, child(at, index), bands, first) for index, one in enumerate(parse_list(told, at))
        )
    if not layout:
        raise WrongValue(place, 'names no site; say where the bands sit, as in {"left leg": [0, 1]}')
    return layout, swap


def _worn_band(value: Any, place: str, bands: int, first: dict[int, str]) -> int | str:
    if isinstance(value, str):
        return parse_choice(value, place, "word for a band that was not tapped", _WORDS)
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < bands:
        raise WrongValue(place, f"{shown(value)} is no tapped band; they are 0 to {bands - 1}")
    if value in first:
        raise WrongValue(place, f"band {value} sits at {first[value]} already; a band sits in one place")
    first[value] = place
    return value
