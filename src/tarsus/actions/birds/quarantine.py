"""Nobody walks around quarantine: what is refused, or said, before the vet has let a bird out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.utils import timezone

from tarsus.actions.known import known_bird, known_exhibit
from tarsus.actions.refusals import HeldInQuarantine
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import in_words
from tarsus.queries.days import park_zone
from tarsus.queries.quarantine import KEPT_APART, held_in_quarantine, park_has_quarantine
from tarsus.records.models import Bird, Exhibit, Stay
from tarsus.records.models.words import Purpose


def refuse_unreleased(birds: Sequence[Bird], to: Exhibit, at: datetime) -> None:
    """Refuse to let birds join others that the vet had not released from quarantine when they were moved.

    Within quarantine, and to the hospital and back, they may go.

    Raises:
        HeldInQuarantine: one was not released by then.
    """
    if to.purpose in KEPT_APART:
        return
    held = held_in_quarantine([bird.pk for bird in birds], at, park_zone())
    names = [str(bird) for bird in birds if bird.pk in held]
    if names:
        one = len(names) == 1
        raise HeldInQuarantine(
            "came",
            f"{_listed(names)} {'is' if one else 'are'} in quarantine and {_who()} had not released "
            f"{'it' if one else 'them'} by then; leave {'it' if one else 'them'} there until "
            f"{'it is' if one else 'they are'} released",
        )


def refuse_end_of_quarantine(exhibit: Exhibit) -> None:
    """Refuse to call an exhibit something else while birds in it wait for the vet's release.

    Raises:
        HeldInQuarantine: some wait.
    """
    living = Stay.objects.filter(exhibit=exhibit, to_on__isnull=True, taken_back_at__isnull=True)
    held = held_in_quarantine(list(living.values_list("bird_id", flat=True)), timezone.now(), park_zone())
    if held:
        names = _listed([str(known_bird(bird)) for bird in held])
        raise HeldInQuarantine(
            "purpose", f"{names} wait here for release from quarantine; {_who()} releases them first"
        )


def past_quarantine(bird_id: int, exhibit_id: int) -> tuple[str, ...]:
    """What is said where a bird arrived and did not go to quarantine first, though the park has one."""
    exhibit, quarantine = known_exhibit(exhibit_id), park_has_quarantine()
    if exhibit.purpose == Purpose.QUARANTINE or not quarantine:
        return ()
    return (
        f"{known_bird(bird_id)} came straight to {exhibit} and past quarantine; ask {_who()} whether that "
        f"may be, or move it to {quarantine}",
    )


def _who() -> str:
    return in_words(DEEDS["quarantine_released"].who_may)


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
