"""Nobody walks around quarantine: what is refused, or said, before the vet has let a bird out.

Decision 0040.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.utils import timezone

from tarsus.actions.known import known_bird, known_exhibit, known_person
from tarsus.actions.refusals import HeldInQuarantine, OutOfOrder
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import in_words
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.quarantine import (
    KEPT_APART,
    held_in_quarantine,
    held_when_last_here,
    park_has_quarantine,
    written_and_taken_back,
)
from tarsus.records.models import Bird, Exhibit, QuarantineRelease, Stay
from tarsus.records.models.words import Purpose


def refuse_unreleased(birds: Sequence[Bird], to: Exhibit | None, at: datetime, place: str = "came") -> None:
    """Refuse to let birds join others, or leave, that the vet had not released from quarantine by then.

    Within quarantine, and to the hospital and back, they may go.

    Args:
        birds: who would go.
        to: where to; `None` for out of the park.
        at: when.
        place: the field that a refusal names.

    Raises:
        HeldInQuarantine: one was not released by then.
    """
    if to is not None and to.purpose in KEPT_APART:
        return
    held = held_in_quarantine([bird.pk for bird in birds], at, park_zone())
    names = [str(bird) for bird in birds if bird.pk in held]
    if names:
        one = len(names) == 1
        raise HeldInQuarantine(
            place,
            f"{_listed(names)} {'is' if one else 'are'} in quarantine and {_who()} had not released "
            f"{'it' if one else 'them'} by then; leave {'it' if one else 'them'} there until "
            f"{'it is' if one else 'they are'} released",
        )


def refuse_found_past_quarantine(bird: Bird, exhibit: Exhibit, at: datetime) -> None:
    """Refuse a new home among others to a bird that was held in quarantine where it lived last.

    Raises:
        HeldInQuarantine: the vet never released it.
    """
    if exhibit.purpose not in KEPT_APART and held_when_last_here([bird.pk], at, park_zone()):
        raise HeldInQuarantine(
            "exhibit",
            f"{bird} was in quarantine when it was lost and {_who()} had not released it; bring it back to "
            f"{park_has_quarantine() or 'quarantine'}, choose that, and write in the note where it was found",
        )


def refuse_arrival_past_quarantine(bird: Bird, exhibit: Exhibit) -> None:
    """Refuse an arrival among others that takes the place of one into quarantine.

    Raises:
        HeldInQuarantine: it was written into quarantine, that was taken back, and nobody released it.
    """
    if exhibit.purpose not in KEPT_APART and written_and_taken_back(bird.pk):
        raise HeldInQuarantine(
            "exhibit",
            f"{bird} came to quarantine by the record and {_who()} never released it; let it arrive there, "
            "and move it after the release",
        )


def held_through(fact_id: UUID) -> frozenset[int]:
    """Birds that quarantine holds now and that a deed brought there."""
    brought = Stay.objects.filter(
        begun_through=fact_id, taken_back_at__isnull=True, exhibit__purpose__in=KEPT_APART
    )
    birds = list(brought.values_list("bird_id", flat=True))
    return frozenset(held_in_quarantine(birds, timezone.now(), park_zone())) if birds else frozenset()


def refuse_way_out(held: frozenset[int], by: int) -> None:
    """Refuse that taking a deed back lets birds out that quarantine held: the vet may, and nobody else.

    Args:
        held: birds that were held before it was taken back.
        by: who takes it back.

    Raises:
        HeldInQuarantine: one lives among others now.
    """
    if not held or DEEDS["quarantine_released"].allowed_to(known_person(by).role):
        return
    out = Stay.objects.filter(bird_id__in=held, to_on__isnull=True, taken_back_at__isnull=True)
    names = [str(stay.bird) for stay in out.exclude(exhibit__purpose__in=KEPT_APART).select_related("bird")]
    if names:
        raise HeldInQuarantine(
            "corrects",
            f"that would let {_listed(names)} out of quarantine; {_who()} releases "
            f"{'it' if len(names) == 1 else 'them'} first, or takes this back",
        )


def refuse_release_undone(release_id: UUID) -> None:
    """Refuse to take a release back while the bird lives among others by it.

    Raises:
        OutOfOrder: it was moved out of quarantine since.
    """
    release = QuarantineRelease.objects.get(pk=release_id)
    day = day_of(release.happened_at, park_zone())
    stays = Stay.objects.filter(bird_id=release.bird_id, taken_back_at__isnull=True)
    let_out = stays.filter(exhibit__purpose__in=KEPT_APART, from_on__lte=day, to_on__gte=day)
    among = stays.filter(to_on__isnull=True).exclude(exhibit__purpose__in=KEPT_APART)
    lives = among.select_related("bird", "exhibit").first()
    if lives is not None and let_out.exists():
        raise OutOfOrder(
            "corrects", f"{lives.bird} lives in {lives.exhibit} since; let it be moved to quarantine first"
        )


def refuse_end_of_quarantine(exhibit: Exhibit) -> None:
    """Refuse to call an exhibit something else while birds that it keeps or kept apart wait for the vet's
    release.

    Raises:
        HeldInQuarantine: some wait.
    """
    lived = Stay.objects.filter(exhibit=exhibit, taken_back_at__isnull=True)
    held = held_in_quarantine(list(lived.values_list("bird_id", flat=True)), timezone.now(), park_zone())
    if held:
        names = _listed([str(known_bird(bird)) for bird in held])
        raise HeldInQuarantine(
            "purpose",
            f"{names} came through here and {'waits' if len(held) == 1 else 'wait'} for release; "
            f"{_who()} releases {'it' if len(held) == 1 else 'them'} first",
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
