"""The marks that a rule allows."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import permutations, product

import numpy as np

from tarsus.core.marks.marks import METAL, Bands, Marks
from tarsus.core.marks.rules import Colours, MarkRule
from tarsus.core.marks.sites import SITES


def allowed_colours(rule: MarkRule, colours: Sequence[str]) -> tuple[str, ...]:
    """The colours of a palette that the rule does not exclude, in the palette's order."""
    return tuple(colour for colour in colours if colour not in rule.excluded)


def possible_marks(rule: MarkRule, row: str, colours: Sequence[str]) -> list[Marks]:
    """List all marks that the rule allows for a row, in a fixed order.

    Args:
        rule: where metal and colours go.
        row: ``F``, ``M``, ``U`` or ``J``; `MarkRule.row_of`.
        colours: names of the colours to be had.

    Returns:
        Distinct marks; a metal band stands nearest the body. Where the row takes no colours, the one set of
        marks that is left (metal alone, or bare).

    Assumes:
        Closed or temporary bands are not proposed here; a rule that puts more bands on a leg than it carries
        safely is the park's to mend.
    """
    return list(iterated_marks(rule, row, colours))


def iterated_marks(rule: MarkRule, row: str, colours: Sequence[str]) -> Iterator[Marks]:
    """The same, one after the other."""
    for counts in rule.layouts(row):
        choices = site_choices(rule, row, counts, colours)
        for stacks in product(*choices.values()):
            yield Marks.of(dict(zip(choices, stacks, strict=True)))


def site_choices(rule: MarkRule, row: str, counts: Colours, colours: Sequence[str]) -> dict[str, list[Bands]]:
    """What may stand on each site of one layout of `MarkRule.layouts`, the sites in their order."""
    free, by_site, metal = allowed_colours(rule, colours), dict(counts), rule.metal_site(row)
    sites = [site for site in SITES if site in by_site or site == metal]
    return {site: _stacks(free, by_site.get(site, 0), site == metal, rule.repeat) for site in sites}


def drawn_marks(
    rule: MarkRule, row: str, colours: Sequence[str], most: int, rng: np.random.Generator
) -> list[Marks]:
    """Draw marks that the rule allows, where there are too many to list.

    Args:
        rule: where metal and colours go.
        row: ``F``, ``M``, ``U`` or ``J``.
        colours: names of the colours to be had.
        most: how many to draw; equal ones are one.
        rng: the source of chance.

    Returns:
        Distinct marks; each layout is drawn from as often as it has marks.
    """
    free, metal = allowed_colours(rule, colours), rule.metal_site(row)
    layouts = rule.layouts(row)
    sizes = np.array([_number(rule, counts, len(free)) for counts in layouts], dtype=float)
    found: dict[Marks, None] = {}
    for at in rng.choice(len(layouts), most, p=sizes / sizes.sum()):
        by_site = {
            site: [free[k] for k in rng.choice(len(free), count, replace=rule.repeat)]
            for site, count in layouts[at]
        }
        if metal is not None:
            by_site[metal] = [METAL, *by_site.get(metal, [])]
        found[Marks.of(by_site)] = None
    return list(found)


def number_possible(rule: MarkRule, row: str, colours: Sequence[str]) -> int:
    """How many marks `possible_marks` would list."""
    free = len(allowed_colours(rule, colours))
    return sum(_number(rule, counts, free) for counts in rule.layouts(row))


def _number(rule: MarkRule, counts: Colours, free: int) -> int:
    return math.prod(free**count if rule.repeat else math.perm(free, count) for _, count in counts)


def _stacks(colours: Sequence[str], count: int, metal: bool, repeat: bool) -> list[Bands]:
    drawn = product(colours, repeat=count) if repeat else permutations(colours, count)
    return [((METAL,) if metal else ()) + tuple(bands) for bands in drawn]
