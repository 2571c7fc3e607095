"""A bird that may be missing: look again, or search."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from tarsus.core.care import cautions
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import BirdFacts
from tarsus.core.presence.advice import LOOK_AGAIN, SEARCH

SETTLED_BY = "observed sighting"
SAID_AGAIN = "word that it is not looked for"


def missing_duties(bird: BirdFacts, today: date) -> Iterator[Duty]:
    """Look again for a bird, or search for it; an observed sighting settles it, an inferred one never.

    A word that it is not looked for holds for some weeks, and is then to be said again or ended.

    Source:
        The watch's advice: docs/science/presence.md.
    """
    if bird.ran_out:
        yield _say_again(bird, today)
    if bird.advice not in (SEARCH, LOOK_AGAIN):
        return
    searching = bird.advice == SEARCH
    days = "1 day" if bird.unseen_days == 1 else f"{bird.unseen_days} days"
    where = f", begin at {bird.last_place}" if bird.last_place else ""
    yield Duty(
        kind="search" if searching else "look again",
        bird=bird.bird,
        exhibit=bird.exhibit,
        subject="",
        what=f"{'Search for' if searching else 'Look again for'} {bird.name}{where}.",
        why=f"Unseen for {days}." if bird.unseen_days else "Missed since it was last seen.",
        by=today,
        urgency=Urgency.NOW if searching else Urgency.TODAY,
        caution=cautions.SEARCH,
        in_hand=False,
        settled_by=SETTLED_BY,
    )


def _say_again(bird: BirdFacts, today: date) -> Duty:
    return Duty(
        kind="say again",
        bird=bird.bird,
        exhibit=bird.exhibit,
        subject="",
        what=f"Say again that {bird.name} is not looked for, or that it is.",
        why=f"It was not looked for ({bird.ran_out}), and that has run out.",
        by=today,
        urgency=Urgency.TODAY,
        caution=cautions.NONE,
        in_hand=False,
        settled_by=SAID_AGAIN,
    )
