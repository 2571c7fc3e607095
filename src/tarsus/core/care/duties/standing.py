"""What stands open until somebody closes it: quarantine, cases, natural marks to look at again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Final

from tarsus.core.care import cautions
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import BirdFacts

RELEASED: Final = "released by the vet"
REVIEWED: Final = "natural mark reviewed"
CASE_CLOSED: Final = "case closed"


def newcomer_duties(bird: BirdFacts) -> Iterator[Duty]:
    """A newcomer waits for the vet's release.

    Source:
        The vet releases from quarantine: common practice; docs/science/cautions.md.
    """
    if bird.quarantine_since is not None:
        yield _duty(
            bird,
            "release from quarantine",
            "",
            f"The vet releases {bird.name} from quarantine.",
            f"There since {bird.quarantine_since:%-d %B %Y}.",
            None,
            Urgency.SOON,
            cautions.HYGIENE,
            RELEASED,
        )


def natural_mark_duties(bird: BirdFacts, today: date) -> Iterator[Duty]:
    """Marks that a bird is told by change: look at them again when it is time."""
    for mark in bird.marks:
        if mark.review_on is not None and mark.review_on <= today:
            yield _duty(
                bird,
                "natural mark to review",
                f"mark {mark.mark}",
                f"Look at {bird.name}'s mark again: {mark.text}.",
                f"To be reviewed by {mark.review_on:%-d %B %Y}.",
                mark.review_on,
                Urgency.SOON,
                cautions.NONE,
                REVIEWED,
            )


def case_duties(bird: BirdFacts, today: date) -> Iterator[Duty]:
    """A case stays open until the vet closes it."""
    for case in bird.cases:
        again = case.see_again_on
        yield _duty(
            bird,
            "open case",
            f"case {case.case}",
            f"{bird.name}: {case.about}.",
            f"With the vet since {case.opened_on:%-d %B %Y}.",
            again,
            Urgency.TODAY if again is not None and again <= today else Urgency.SOON,
            cautions.NONE,
            CASE_CLOSED,
        )


def _duty(
    bird: BirdFacts,
    kind: str,
    subject: str,
    what: str,
    why: str,
    by: date | None,
    urgency: Urgency,
    caution: str,
    settled_by: str,
) -> Duty:
    return Duty(kind, bird.bird, bird.exhibit, subject, what, why, by, urgency, caution, False, settled_by)
