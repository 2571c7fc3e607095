"""From what a bird wears to what was kept for it: which bands stay, come off, go on, and where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from tarsus.core.marks.marks import Marks


@dataclass(frozen=True, slots=True)
class OnSite:
    """A band that a bird wears by the record; `key` is the register's number of it.

    `may_stay` is false for one that is temporary on a grown leg, or was found missing.
    """

    key: int
    word: str
    may_stay: bool = True


@dataclass(frozen=True, slots=True)
class Step:
    """One band of a site, from the body outward.

    `worn` is the key of a band that is there: it stays, or comes off. Without it the band goes on.
    """

    word: str
    worn: int | None
    stays: bool


def steps_at(worn: Sequence[OnSite], wanted: Sequence[str]) -> tuple[Step, ...]:
    """Say what is to be done on one site, with as few bands on and off as will do.

    Args:
        worn: what the site wears, from the body outward.
        wanted: what it is to wear, from the body outward.

    Returns:
        Every band that is there or is to be, from the body outward; where one takes the place of another,
        the one that comes off stands first.
    """

    def same(at: int, to: int) -> bool:
        return worn[at].may_stay and worn[at].word == wanted[to]

    @cache
    def most(at: int, to: int) -> int:
        """How many bands of the rest can stay."""
        if at == len(worn) or to == len(wanted):
            return 0
        best = max(most(at + 1, to), most(at, to + 1))
        return max(best, 1 + most(at + 1, to + 1)) if same(at, to) else best

    steps, at, to = [], 0, 0
    while at < len(worn) or to < len(wanted):
        both = at < len(worn) and to < len(wanted)
        if both and same(at, to) and most(at, to) == 1 + most(at + 1, to + 1):
            steps.append(Step(worn[at].word, worn[at].key, stays=True))
            at, to = at + 1, to + 1
        elif at < len(worn) and (to == len(wanted) or most(at, to) == most(at + 1, to)):
            steps.append(Step(worn[at].word, worn[at].key, stays=False))
            at += 1
        else:
            steps.append(Step(wanted[to], None, stays=False))
            to += 1
    return tuple(steps)


def fitting(worn: Mapping[str, Sequence[OnSite]], wanted: Marks) -> dict[str, tuple[Step, ...]]:
    """Say site by site what turns the bands of a bird into the marks that were kept for it.

    Args:
        worn: by site, from the body outward.
        wanted: all that it is to wear.
    """
    sites = sorted({*worn, *(site for site, _ in wanted.sites)})
    return {site: steps for site in sites if (steps := steps_at(worn.get(site, ()), wanted.at(site)))}


def is_fitted(steps: Mapping[str, Sequence[Step]]) -> bool:
    """Whether nothing is left to do: the bird wears what was kept for it, whoever fitted it, and how."""
    return all(step.stays for on_site in steps.values() for step in on_site)
