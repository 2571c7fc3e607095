"""The rule of a document: how birds are marked, and by what measure and work marks are sought."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from tarsus.core.choosing.assignment import SECONDS
from tarsus.core.choosing.clarity import SURENESS
from tarsus.core.documents.fields import optional
from tarsus.core.documents.values import (
    child,
    parse_chance,
    parse_choice,
    parse_flag,
    parse_list,
    parse_number,
    parse_object,
    parse_whole,
)
from tarsus.core.errors import WrongValue
from tarsus.core.marks.palette import Palette
from tarsus.core.marks.rules import ROWS, Counts, MarkRule
from tarsus.core.marks.sites import SITES

KEYS: Final = (
    "metal",
    "colours",
    "repeat_on_a_site",
    "seconds",
    "excluded",
    "clarity",
    "sureness",
    "seed",
)
MOST_SURE: Final = 0.9999
MOST_ON_A_SITE: Final = 4
"""Colour bands that one site may take; docs/science/reading.md lists readings of no more."""


@dataclass(frozen=True)
class GivenRule:
    """A rule, and how marks are sought under it.

    `clarity`: the chance of a wrong name that is good enough, for the fewest bands that reach it.
    `sureness`: the chance from which a reading is named; below, it is left in doubt. `seconds`: work to
    spend, in seconds of one core.
    """

    rule: MarkRule
    seconds: float
    clarity: float | None
    sureness: float
    seed: int | None


def parse_rule(value: Any, place: str, palette: Palette) -> GivenRule:
    """How birds are marked.

    Raises:
        MalformedInput: a key, site, row, colour or number that a rule does not have.
    """
    rule = parse_object(value, place, KEYS)
    no_metal: dict[str, str | None] = {}
    no_colours: dict[str, tuple[Counts, ...]] = {}
    none_excluded: frozenset[str] = frozenset()
    metal = optional(rule, "metal", _metal, no_metal, place)
    colours = optional(rule, "colours", _colours, no_colours, place)
    if not metal and not colours:
        raise WrongValue(child(place, "colours"), "is missing; say how many colours go where, by sex")
    excluded = optional(rule, "excluded", lambda v, at: _excluded(v, at, palette), none_excluded, place)
    return GivenRule(
        MarkRule.of(
            metal,
            colours,
            repeat=optional(rule, "repeat_on_a_site", parse_flag, True, place),
            excluded=excluded,
        ),
        seconds=optional(rule, "seconds", lambda v, at: parse_number(v, at, 0.0, 3600.0), SECONDS, place),
        clarity=optional(rule, "clarity", parse_chance, None, place),
        sureness=optional(
            rule, "sureness", lambda v, at: parse_number(v, at, 0.0, MOST_SURE), SURENESS, place
        ),
        seed=optional(rule, "seed", parse_whole, None, place),
    )


def _metal(value: Any, place: str) -> dict[str, str | None]:
    return {
        row: None if site is None else parse_choice(site, child(place, row), "site", SITES)
        for row, site in parse_object(value, place, ROWS).items()
    }


def _colours(value: Any, place: str) -> dict[str, tuple[Counts, ...]]:
    return {
        row: _layouts(counts, child(place, row)) for row, counts in parse_object(value, place, ROWS).items()
    }


def _layouts(value: Any, place: str) -> tuple[Counts, ...]:
    """One layout, or a list of those that are allowed."""
    if value is None:
        return ({},)
    if isinstance(value, dict):
        return (_counts(value, place),)
    layouts = parse_list(value, place)
    if not layouts:
        raise WrongValue(place, 'names no layout; give at least one, such as {"right leg": 2}')
    return tuple(_counts(counts, child(place, at)) for at, counts in enumerate(layouts))


def _counts(value: Any, place: str) -> Counts:
    return {
        site: parse_whole(count, child(place, site), 0, MOST_ON_A_SITE)
        for site, count in parse_object(value, place, SITES).items()
    }


def _excluded(value: Any, place: str, palette: Palette) -> frozenset[str]:
    return frozenset(
        parse_choice(colour, child(place, at), "colour of the palette", palette.names)
        for at, colour in enumerate(parse_list(value, place))
    )
