"""From a flock and its rule to the fewest birds to re-band, and what to give them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.alikeness import pair_loss
from tarsus.core.choosing.clashes import ClashTables, fewest_to_reband
from tarsus.core.choosing.room import too_alike
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.candidates import possible_marks
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading

MOST_OFFERED: Final = 4_000
SEED: Final = 11


@dataclass(frozen=True)
class NewMarks:
    """One bird to re-band: what it wears, what it gets, how many bands are put on, and why."""

    bird: str
    worn: Marks
    given: Marks
    bands_put_on: int
    because: str


@dataclass(frozen=True)
class RebandingPlan:
    """The fewest birds to catch; `least` is a floor on their number (or weight), reached where `proven`."""

    birds: tuple[NewMarks, ...]
    clashes: tuple[tuple[str, str], ...]
    least: float
    proven: bool


def plan_rebanding(
    flock: Sequence[Bird],
    rule: MarkRule,
    colours: Sequence[str],
    misreading: Misreading,
    clarity: float,
    *,
    keep: Collection[str] = (),
    weight: Mapping[str, float] | None = None,
    joining: Collection[str] | None = None,
    resting: Collection[Marks] = (),
) -> RebandingPlan:
    """Choose the fewest birds to re-band so that every two are apart and every sexed bird is on its side.

    Args:
        flock: birds of one look-alike group, whoever they belong to.
        rule: where metal and colours go here.
        colours: colours in stock.
        misreading: the observer.
        clarity: what a reading of two birds may cost in wrong names, 0 to ½; as for `too_alike`.
        keep: ids of birds that are not to be re-banded (a certified band, a nest).
        weight: what catching a bird costs, by id; 1 where it is not named.
        joining: ids of newcomers; then what residents have against each other is left as it is. Left out,
            everybody counts.
        resting: marks that nobody wears and that are given to nobody yet.

    Returns:
        Who gets what and why, with the clashes there are now. Of marks that serve, those that reuse most of
        what the bird wears where it wears it, then the clearest.

    Raises:
        NobodyToRebandLeft: two birds that keep their marks clash, or one of them wears its metal on the
        wrong side. NoMarksLeft: the rule and the colours do not reach.

    Source:
        docs/science/clashes.md
    """
    offers = _offers(flock, rule, colours, resting)
    tables = _tables(flock, rule, offers, misreading, clarity, keep, weight or {})
    if joining is not None:
        new = np.array([bird.id in joining for bird in flock], dtype=bool)
        tables = replace(tables, birds=tables.birds & (new[:, None] | new[None, :]), must=tables.must & new)
    plan = fewest_to_reband(tables)
    pairs = [(int(a), int(b)) for a, b in np.argwhere(np.triu(tables.birds, 1))]
    told = []
    for at, mark in sorted(plan.given.items()):
        bird = flock[at]
        told.append(
            NewMarks(
                bird.id, bird.marks, offers[mark], _put_on(bird.marks, offers[mark]), _why(at, flock, tables)
            )
        )
    return RebandingPlan(
        tuple(told), tuple((flock[a].id, flock[b].id) for a, b in pairs), plan.least, plan.proven
    )


def on_the_wrong_side(bird: Bird, rule: MarkRule) -> bool:
    """Whether a sexed bird wears its metal on a site that the rule keeps for the other sex."""
    metal = [site for site, bands in bird.marks.sites if METAL in bands]
    own = rule.metal_site(bird.sex)
    if bird.sex not in ("F", "M") or own is None or not metal:
        return False
    return own not in metal


def _offers(
    flock: Sequence[Bird], rule: MarkRule, colours: Sequence[str], resting: Collection[Marks]
) -> list[Marks]:
    rows = sorted({rule.row_of(bird.sex) for bird in flock})
    offers = list(dict.fromkeys(marks for row in rows for marks in possible_marks(rule, row, colours)))
    offers = [marks for marks in offers if marks not in resting]
    if len(offers) <= MOST_OFFERED:
        return offers
    share = np.sort(np.random.default_rng(SEED).permutation(len(offers))[:MOST_OFFERED])
    return [offers[int(i)] for i in share]


def _tables(
    flock: Sequence[Bird],
    rule: MarkRule,
    offers: Sequence[Marks],
    misreading: Misreading,
    clarity: float,
    keep: Collection[str],
    weight: Mapping[str, float],
) -> ClashTables:
    worn = [bird.marks for bird in flock]
    to_worn = pair_loss(misreading, offers, worn)
    allowed = {row: _allowed(rule, row, offers) for row in {rule.row_of(bird.sex) for bird in flock}}
    put_on = np.array([[_put_on(bird.marks, marks) for marks in offers] for bird in flock], dtype=np.float64)
    return ClashTables(
        names=tuple(bird.id for bird in flock),
        birds=too_alike(misreading, worn, worn, clarity),
        offered=too_alike(misreading, offers, worn, clarity),
        between=too_alike(misreading, offers, offers, clarity),
        may_wear=np.array([allowed[rule.row_of(bird.sex)] for bird in flock]).reshape(
            len(flock), len(offers)
        ),
        fixed=np.array([bird.id in keep for bird in flock]),
        must=np.array([on_the_wrong_side(bird, rule) for bird in flock]),
        weight=np.array([weight.get(bird.id, 1.0) for bird in flock]),
        worse=put_on + to_worn.max(axis=1, initial=0.0)[None, :],
    )


def _allowed(rule: MarkRule, row: str, offers: Sequence[Marks]) -> NDArray[np.bool_]:
    """Which offers have the shape that the rule gives this row."""
    metal = rule.metal_site(row)
    shapes = []
    for counts in rule.layouts(row):
        shape = dict(counts)
        if metal is not None:
            shape[metal] = shape.get(metal, 0) + 1
        shapes.append(shape)

    def fits(marks: Marks) -> bool:
        counts = {site: len(bands) for site, bands in marks.sites}
        metals = [site for site, bands in marks.sites if METAL in bands]
        return counts in shapes and metals == ([] if metal is None else [metal])

    return np.array([fits(marks) for marks in offers], dtype=bool)


def _put_on(worn: Marks, given: Marks) -> int:
    """How many bands have to be put on where the bird does not wear them now."""
    return sum((Counter(bands) - Counter(worn.at(site))).total() for site, bands in given.sites)


def _why(at: int, flock: Sequence[Bird], tables: ClashTables) -> str:
    alike = [flock[int(other)].id for other in np.flatnonzero(tables.birds[at]) if other != at]
    reasons = []
    if tables.must[at]:
        reasons.append("its metal is on the other sex's side")
    if alike:
        reasons.append(f"too alike to {', '.join(alike)}")
    return "; ".join(reasons) or "gives up its marks to make room"
