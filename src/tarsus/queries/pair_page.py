"""Two look-alikes of one flock side by side: what they wear, and how often one is taken for the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from tarsus.core.errors import NoAnswer
from tarsus.core.marks.colour_vision import DEFICIENCIES, NORMAL, ColourVision
from tarsus.core.marks.marks import Marks
from tarsus.core.words.certainty import either_said, pair_said
from tarsus.queries.clarity import difference_in_words, taken_for
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock_page import flock_birds
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.records.models import Exhibit

EYES: Final = {"usual": NORMAL} | {kind: ColourVision(kind, 1.0) for kind in DEFICIENCIES}
"""Eyes through which a pair is looked at: usual ones, and each deficiency at its strongest."""


class NoSuchPair(NoAnswer):
    """One of the two does not live in this flock."""

    def __init__(self, lookalike: str) -> None:
        self.lookalike = lookalike
        super().__init__(
            f"these are not two birds of one flock of {lookalike}; go to the flock and choose a pair"
        )


@dataclass(frozen=True, slots=True)
class PairPage:
    """Two birds. `says` is how often one is named the other; `by_eyes` the same for each kind of eyes.

    `thought_of` names those that are drawn with marks that are only proposed.
    """

    exhibit_id: int
    exhibit: str
    lookalike: str
    one: Portrait
    other: Portrait
    says: str
    why: str
    by_eyes: dict[str, str]
    thought_of: tuple[str, ...]


def pair_page(
    exhibit_id: int,
    lookalike: str,
    one: int,
    other: int,
    now: datetime,
    thought_of: Mapping[int, Marks] | None = None,
) -> PairPage:
    """Two birds of a flock as of a moment.

    Args:
        exhibit_id: where they live.
        lookalike: their look-alike group.
        one: the first bird.
        other: the second.
        now: the moment.
        thought_of: marks that are proposed, by bird: shown and weighed in place of what it wears.

    Raises:
        NoSuchFlock: none of its birds lives there today.
        NoSuchPair: one of the two is none of them, or they are the same bird.
    """
    today = day_of(now, park_zone())
    birds = {bird.bird_id: bird for bird in flock_birds(exhibit_id, lookalike, today)}
    if one == other or one not in birds or other not in birds:
        raise NoSuchPair(lookalike)
    proposed = {bird: marks for bird, marks in (thought_of or {}).items() if bird in (one, other)}
    worn = {bird: proposed.get(bird, birds[bird].marks) for bird in (one, other)}
    first, second = (
        replace(portrait_of(birds[bird]), marks=proposed[bird].as_mapping(), flags={})
        if bird in proposed
        else portrait_of(birds[bird])
        for bird in (one, other)
    )
    flock = tuple(birds.values())
    named = {eyes: taken_for(flock, today, one, other, proposed, vision) for eyes, vision in EYES.items()}
    return PairPage(
        exhibit_id=exhibit_id,
        exhibit=Exhibit.objects.get(pk=exhibit_id).name,
        lookalike=lookalike,
        one=first,
        other=second,
        says=pair_said(first.name, second.name, named["usual"]),
        why=difference_in_words(worn[one], worn[other]),
        by_eyes={eyes: either_said(chances) for eyes, chances in named.items() if chances},
        thought_of=tuple(birds[bird].name for bird in proposed),
    )
