"""What stands open until somebody closes it: quarantine, cases, natural marks to look at again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from tarsus.core.care import cautions
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import BirdFacts

RELEASED: Final = "released by the vet"
REVIEWED: Final = "natural mark reviewed"
CASE_CLOSED: Final = "case closed"
RECHECKED: Final = "looked at under treatment"


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


def recheck_duties(bird: BirdFacts, today: date) -> Iterator[Duty]:
    """Birds under treatment are looked at again on the days that the vet set.

    Source:
        Which days is the vet's; docs/science/cautions.md.
    """
    for one in bird.treatments:
        if one.next_on is not None and one.next_on <= today:
            yield _duty(
                bird,
                "treatment recheck",
                f"treatment {one.treatment}",
                f"Look at {bird.name} under treatment: {one.what}.",
                f"Treated since {one.since:%-d %B}; this look was due on {one.next_on:%-d %B}.",
                one.next_on,
                Urgency.TODAY,
                cautions.NONE,
                RECHECKED,
            )


def next_recheck(begun_on: date, every_days: int | None, times: int | None, looked: int) -> date | None:
    """The day of the next look at a bird under treatment.

    Args:
        begun_on: the day of the order.
        every_days: between two looks, `None` where none are wanted.
        times: how many looks are wanted.
        looked: how many were done.

    Returns:
        Counted from the order, so that a late look does not push the others on; `None` once all are done.
    """
    if every_days is None or times is None or looked >= times:
        return None
    return begun_on + timedelta(days=every_days * (looked + 1))


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
