"""Which bands belong to which site: the short form `m/YG`, and the form that names its sites."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Final

from tarsus.core.marks.bands_written import bands_from
from tarsus.core.marks.noted import NotedBand, NotedMarks, UnclearMarks
from tarsus.core.marks.shorthand import Item, Notation
from tarsus.core.marks.sites_written import site_name

_SHORT_REMEDY: Final = "write left/right, as in 'm/YG', or name the sides"
_SIDES: Final = ("left", "right")


def whole_bird(items: Sequence[Item], notation: Notation) -> NotedMarks:
    """Marks from one way of taking a text.

    Raises:
        UnclearMarks: taken this way, the text makes no sense.
    """
    if any(item.kind == "site" for item in items):
        return _named(items, notation)
    if [item.kind for item in items if item.kind != "filler"] == ["bare"]:
        return NotedMarks.of({f"{side} {notation.level}": () for side in _SIDES})
    return _short(items, notation)


def _words(items: Iterable[Item]) -> str:
    return " ".join(item.text for item in items)


def _split(items: Sequence[Item], kind: str) -> list[list[Item]]:
    parts: list[list[Item]] = [[]]
    for item in items:
        if item.kind == kind:
            parts.append([])
        else:
            parts[-1].append(item)
    return parts


def _short(items: Sequence[Item], notation: Notation) -> NotedMarks:
    """`left/right`, or `tibia,tarsus/tibia,tarsus`."""
    sides = _split(items, "slash")
    if len(sides) != 2:
        reason = "names no side" if len(sides) == 1 else "has more than one '/'"
        raise UnclearMarks(_words(items), reason, _SHORT_REMEDY)
    levels = [_split(side, "break") for side in sides]
    if any(len(level) > 2 for level in levels) or len(levels[0]) != len(levels[1]):
        raise UnclearMarks(
            _words(items),
            "has a comma on one side that the other side does not have",
            "write above the joint, a comma, and below it on both sides, as in 'm,-/YG,-'",
        )
    if _begin_with_both_sides(items):
        raise UnclearMarks(
            _words(items),
            "may begin with the sides' letters L and R, or with bands",
            "write 'L: m; R: YG' for the sides, or name the first colours in words",
        )
    by_site: dict[str, tuple[NotedBand, ...]] = {}
    for side, bands in zip(_SIDES, levels, strict=True):
        parts = ("",) if len(bands) == 1 else ("tibia", "tarsus")
        for part, written in zip(parts, bands, strict=True):
            if not _is_unseen(written):
                by_site[site_name(side, part, notation, side)] = bands_from(written, side)
    return NotedMarks.of(by_site)


def _begin_with_both_sides(items: Sequence[Item]) -> bool:
    """Whether it is written like `Lm/RYG`: to some, *left metal, right yellow over green*."""
    first = [run[0] for run in _split(items, "slash") if run]
    return len(first) == 2 and all(
        item.kind == "bands" and len(item.value) > 1 and item.text.casefold().startswith(side)
        for item, side in zip(first, "lr", strict=True)
    )


def _is_unseen(items: Sequence[Item]) -> bool:
    return len(items) == 1 and items[0].kind == "unseen"


def _named(items: Sequence[Item], notation: Notation) -> NotedMarks:
    by_site: dict[str, tuple[NotedBand, ...]] = {}
    for section in _sections(items):
        for site, bands in _chunks(section):
            side, part = site.value
            name = site_name(side, part, notation, site.text)
            if name in by_site:
                raise UnclearMarks(site.text, "is named twice", "write all its bands in one place")
            if not _is_unseen(bands):
                by_site[name] = bands_from(bands, site.text)
    return NotedMarks.of(by_site)


def _sections(items: Sequence[Item]) -> Iterable[list[Item]]:
    """Stretches between commas, and between slashes (or *and*) that stand beside a site."""
    section: list[Item] = []
    for place, item in enumerate(items):
        before = items[place - 1].kind if place else ""
        after = items[place + 1].kind if place + 1 < len(items) else ""
        beside_a_site = item.kind in ("slash", "and") and "site" in (before, after)
        if item.kind == "break" or beside_a_site:
            if section:
                yield section
            section = []
        elif item.kind != "filler":
            section.append(item)
    if section:
        yield section


def _chunks(section: Sequence[Item]) -> Iterable[tuple[Item, list[Item]]]:
    """Each site of a section with its bands: the site stands either before them all or after them all."""
    places = [place for place, item in enumerate(section) if item.kind == "site"]
    if not places:
        raise UnclearMarks(_words(section), "names no side", "write 'over' between bands of one side")
    if places[0] == 0:
        cuts = [*places, len(section)]
        runs = [(section[a], list(section[a + 1 : b])) for a, b in pairwise(cuts)]
    elif places[-1] == len(section) - 1:
        cuts = [-1, *places]
        runs = [(section[b], list(section[a + 1 : b])) for a, b in pairwise(cuts)]
    else:
        raise UnclearMarks(_words(section), "has a side in its middle", "write a comma between the two sides")
    for site, bands in runs:
        if not bands:
            raise UnclearMarks(site.text, "has no bands beside it", "write '-' where it is bare")
    return runs
