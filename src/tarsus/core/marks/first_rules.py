"""Rules that a new park may begin with: as its birds are marked already, or one of a few that are usual."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import cycle, islice
from typing import Final

from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.sites import MIRROR

SEXES: Final = ("F", "M", "U")
SHOWN_IN: Final = ("yellow", "blue", "white", "red", "black", "green")
"""Colours that examples are drawn in: far apart, so that the drawing is read at a glance."""


@dataclass(frozen=True, slots=True)
class FirstRule:
    """One rule as it may be chosen: its key, its words, why one would, and what goes where by sex."""

    key: str
    words: str
    why: str
    metal: Mapping[str, str | None]
    colours: Mapping[str, Mapping[str, int]]

    def example(self, sex: str, never: frozenset[str] = frozenset()) -> Marks:
        """A bird of this sex that is marked so.

        Args:
            sex: F, M or U.
            never: colours that are never proposed for the species.
        """
        colours = cycle(name for name in SHOWN_IN if name not in never)
        worn: dict[str, list[str]] = {}
        site = self.metal.get(sex)
        if site is not None:
            worn[site] = [METAL]
        for where, number in self.colours.get(sex, {}).items():
            worn.setdefault(where, []).extend(islice(colours, number))
        return Marks.of(worn)


def first_rules(
    level: str,
    female_side: str,
    most_wear: tuple[Mapping[str, str | None], Mapping[str, Mapping[str, int]], int] | None = None,
) -> tuple[FirstRule, ...]:
    """The rules to choose from, the likeliest first.

    Args:
        level: where the species is banded: leg, tibia or wing.
        female_side: the side on which females wear the metal; empty where the side does not tell the sex.
        most_wear: of the birds that are banded already: site of the metal and number of colours by site, by
            sex, as most of each sex wear them; and how many birds that is. Nothing where none is banded.
    """
    usual = tuple(_usual(level, female_side))
    return usual if most_wear is None else (_as_worn(level, *most_wear), *usual)


def _as_worn(
    level: str, metal: Mapping[str, str | None], colours: Mapping[str, Mapping[str, int]], birds: int
) -> FirstRule:
    """The rule that the park's own birds follow; a sex none of which is banded mirrors the other."""
    metals, counts = dict(metal), {sex: dict(by_site) for sex, by_site in colours.items()}
    for sex, other in (("F", "M"), ("M", "F")):
        if sex not in counts and other in counts:
            site = metals[other]
            metals[sex] = MIRROR[site] if site else None
            counts[sex] = {MIRROR[where]: number for where, number in counts[other].items()}
    # An unsexed bird waits for its metal: the side would tell a sex that nobody knows.
    metals.setdefault("U", None)
    counts.setdefault("U", {f"left {level}": 1, f"right {level}": 1})
    return FirstRule(
        "worn",
        "As most of your birds wear them",
        f"{birds} banded birds of this species are in the register; nothing changes for them.",
        metals,
        counts,
    )


def _usual(level: str, female_side: str) -> Iterator[FirstRule]:
    left, right = f"left {level}", f"right {level}"
    female = f"{female_side or 'left'} {level}"
    male = MIRROR[female] if female_side else female
    metal: dict[str, str | None] = {"F": female, "M": male, "U": None if female_side else female}
    free = {sex: MIRROR[site or right] for sex, site in metal.items()}
    sides = "on the side of the sex" if female_side else f"on the {left.split()[0]}"
    unsexed = {left: 1, right: 1}

    def colours(number: int) -> dict[str, dict[str, int]]:
        counts = {sex: {free[sex]: number} for sex in SEXES}
        return counts | ({"U": unsexed} if female_side and number > 1 else {})

    yield FirstRule(
        "two",
        f"Metal {sides}, two colours on the other",
        "Enough for most flocks; a flock’s page says how many more birds it has room for.",
        metal,
        colours(2),
    )
    yield FirstRule(
        "one",
        f"Metal {sides}, one colour on the other",
        "For a few birds; bands hurt, and as few as will do are best.",
        metal,
        colours(1),
    )
    more = colours(2)
    for sex in SEXES:
        site = metal[sex]
        if site is not None:
            more[sex] = more[sex] | {site: 1}
    yield FirstRule(
        "three",
        f"Metal and a colour {sides}, two colours on the other",
        "For large flocks, where two colours do not reach.",
        metal,
        more,
    )
