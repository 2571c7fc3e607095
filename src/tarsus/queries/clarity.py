"""Who is mistaken for whom in a flock, with the reason in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from tarsus.core.choosing.alike_pairs import AlikeMarks, alike_marks
from tarsus.core.choosing.clarity import Clarity, flock_clarity
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.colour_vision import NORMAL, ColourVision
from tarsus.core.marks.marks import Marks
from tarsus.core.readings.misreading import Misreading
from tarsus.queries.decision import Decision, park_decision
from tarsus.queries.flock import FlockBird
from tarsus.queries.observers import ParkReader, park_misreading, park_reader
from tarsus.queries.portraits import Portrait, portrait_of


@dataclass(frozen=True, slots=True)
class AlikePair:
    """Two birds taken for each other, how often (the mean of both ways), and what makes them alike."""

    one: Portrait
    other: Portrait
    chance: float
    why: str


@dataclass(frozen=True, slots=True)
class Lookalike:
    """A bird that a reading of another one may name, how often, and why."""

    portrait: Portrait
    chance: float
    why: str


@dataclass(frozen=True, slots=True)
class FlockClarity:
    """How often a flock is misnamed by the park's reader when every site is seen.

    `named_wrongly`: how often one who says a name from `sureness` on says a wrong one; `left_in_doubt`: how
    often he says none. `confused[i][j]` is the chance that `names[i]` is named `names[j]`, the likeliest
    named every time. `share_of_worst` is how much of all
    wrong names lies in the pairs listed.
    """

    misnamed: float
    named_wrongly: float
    left_in_doubt: float
    sureness: float
    uncertainty: float
    drawn: bool
    names: tuple[str, ...]
    confused: tuple[tuple[float, ...], ...]
    worst: tuple[AlikePair, ...]
    share_of_worst: float


@lru_cache(maxsize=64)
def _weighed(birds: tuple[Bird, ...], misreading: Misreading, sureness: float) -> Clarity:
    # Equal flocks under equal eyes have equal answers: they are weighed once and looked at often.
    return flock_clarity(birds, misreading, sureness=sureness)


@lru_cache(maxsize=64)
def _alike(worn: tuple[Marks, ...], misreading: Misreading, decision: Decision) -> tuple[AlikeMarks, ...]:
    return alike_marks(misreading, worn, decision.clarity, decision.sureness)


def clarity_of(birds: Sequence[FlockBird], day: date, most: int = 6) -> FlockClarity | None:
    """How clear the marks of one flock are today.

    Args:
        birds: birds of one look-alike group.
        day: whose fading counts.
        most: how many pairs are told.

    Returns:
        Nothing where fewer than two of them wear bands: those are told by their natural marks.
    """
    banded = [bird for bird in birds if bird.bands]
    if len(banded) < 2:
        return None
    misreading = park_misreading(banded, day)
    found = _weighed(tuple(bird.as_core() for bird in banded), misreading, park_decision().sureness)
    pairs = tuple(
        AlikePair(
            portrait_of(banded[i]),
            portrait_of(banded[j]),
            chance,
            difference_in_words(banded[i].marks, banded[j].marks),
        )
        for i, j, chance in found.worst_pairs(most)
    )
    total = float(found.confused.sum())
    return FlockClarity(
        misnamed=found.misnamed,
        named_wrongly=found.named_wrongly,
        left_in_doubt=found.left_in_doubt,
        sureness=found.sureness,
        uncertainty=found.uncertainty,
        drawn=found.drawn,
        names=tuple(bird.name for bird in banded),
        confused=tuple(tuple(float(chance) for chance in row) for row in found.confused),
        worst=pairs,
        share_of_worst=sum(2 * pair.chance for pair in pairs) / total if total else 0.0,
    )


def lookalikes_of(
    bird_id: int, birds: Sequence[FlockBird], day: date, most: int = 4
) -> tuple[Lookalike, ...]:
    """The birds that a reading of one bird names wrongly most often.

    Args:
        bird_id: the bird that is there.
        birds: the flock it lives in.
        day: whose fading counts.
        most: how many are told; those under one in ten thousand are left out.
    """
    banded = [bird for bird in birds if bird.bands]
    at = next((i for i, bird in enumerate(banded) if bird.bird_id == bird_id), None)
    if at is None or len(banded) < 2:
        return ()
    core = tuple(bird.as_core() for bird in banded)
    found = _weighed(core, park_misreading(banded, day), park_decision().sureness)
    return tuple(
        Lookalike(portrait_of(banded[j]), chance, difference_in_words(banded[at].marks, banded[j].marks))
        for j, chance in found.lookalikes(at, most)
        if chance >= 1e-4
    )


def taken_for(
    birds: Sequence[FlockBird],
    day: date,
    one: int,
    other: int,
    thought_of: Mapping[int, Marks] | None = None,
    vision: ColourVision = NORMAL,
) -> tuple[float, float] | None:
    """How often a reading of one bird names another, and the other way round.

    Args:
        birds: the flock.
        day: whose fading counts.
        one: the first bird's id.
        other: the second's.
        thought_of: marks that are only proposed, by bird: it is weighed as if it wore them.
        vision: with which eyes the park's reader looks; usual ones.

    Returns:
        The two chances; nothing where one of them would wear no bands.
    """
    worn = {bird.bird_id: bird.marks for bird in birds} | dict(thought_of or {})
    banded = [bird for bird in birds if worn[bird.bird_id].sites]
    at = {bird.bird_id: i for i, bird in enumerate(banded)}
    if one not in at or other not in at:
        return None
    core = tuple(replace(bird.as_core(), marks=worn[bird.bird_id]) for bird in banded)
    found = _weighed(core, park_misreading(banded, day, vision), park_decision().sureness)
    return float(found.confused[at[one], at[other]]), float(found.confused[at[other], at[one]])


def too_alike(
    birds: Sequence[FlockBird], day: date, reader: ParkReader | None = None, decision: Decision | None = None
) -> tuple[tuple[FlockBird, FlockBird, AlikeMarks], ...]:
    """Birds of one look-alike group whose readings cost more than the park wants, or that wear the same.

    Args:
        birds: the flock.
        day: whose fading counts.
        reader: the park's reader, where it was asked already for another flock.
        decision: what the park says a reading may cost, likewise.

    Returns:
        Each pair once with its cost, the costliest first.
    """
    banded = [bird for bird in birds if bird.bands]
    if len(banded) < 2:
        return ()
    misreading = (reader or park_reader()).over(banded, day)
    found = _alike(tuple(bird.marks for bird in banded), misreading, decision or park_decision())
    return tuple((banded[pair.one], banded[pair.other], pair) for pair in found)


def difference_in_words(one: Marks, other: Marks) -> str:
    """What sets two birds' marks apart, told from the first: *lime where it has green*."""
    if one == other:
        return "the same marks"
    if one.mirrored() == other:
        return f"the same, {_limbs(one)} swapped"
    if _turned(one, other):
        return "the same, order swapped"
    if _turned(one.mirrored(), other):
        return f"{_limbs(one)} and order swapped"
    for mine, before in ((one, ""), (one.mirrored(), f"{_limbs(one)} swapped, and ")):
        swapped = _one_band_other(mine, other)
        if swapped:
            return f"{before}{swapped[1]} where it has {swapped[0]}"
    worn, theirs = _all_bands(one), _all_bands(other)
    missing, more = list((worn - theirs).elements()), list((theirs - worn).elements())
    if missing and not more:
        return f"the same without {' and '.join(missing)}"
    if more and not missing:
        return f"the same and {' and '.join(more)}"
    return "several bands apart"


def _limbs(marks: Marks) -> str:
    return "wings" if marks.sites and all(site.endswith("wing") for site, _ in marks.sites) else "legs"


def _all_bands(marks: Marks) -> Counter[str]:
    return Counter(band for _, bands in marks.sites for band in bands)


def _turned(one: Marks, other: Marks) -> bool:
    sites, others = dict(one.sites), dict(other.sites)
    return sites.keys() == others.keys() and all(sorted(sites[s]) == sorted(others[s]) for s in sites)


def _one_band_other(one: Marks, other: Marks) -> tuple[str, str] | None:
    """The single place at which two birds differ, as what the one and what the other wears."""
    sites, others = dict(one.sites), dict(other.sites)
    if sites.keys() != others.keys() or any(len(sites[s]) != len(others[s]) for s in sites):
        return None
    apart = [(a, b) for s in sites for a, b in zip(sites[s], others[s], strict=True) if a != b]
    return apart[0] if len(apart) == 1 else None
