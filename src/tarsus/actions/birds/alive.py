"""Whether a bird is alive and to be found, by the record."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from tarsus.actions.refusals import AlreadySo, NotThere
from tarsus.queries.flock import whereabouts_of
from tarsus.records.models import Bird, CarcaseNamed, Death
from tarsus.records.standing import standing


def refuse_dead(bird: Bird, *through: UUID) -> None:
    """Refuse what only a living bird can do, or to let a dead one die again.

    Args:
        bird: which bird.
        through: facts that are being written, which are not held against it.

    Raises:
        AlreadySo: the bird is dead by the record.
    """
    deaths = standing(Death.objects.filter(bird=bird)).exclude(pk__in=through)
    named = standing(CarcaseNamed.objects.filter(bird=bird)).exclude(pk__in=through)
    if deaths.exists() or named.exists():
        raise AlreadySo("bird", f"{bird} is dead by the record already; withdraw that record first")


def refuse_lost(bird: Bird, day: date) -> None:
    """Refuse what cannot be done with a bird that is missing, escaped or presumed dead.

    Raises:
        NotThere: nobody knows where it is; it must be found again first.
    """
    lost = whereabouts_of([bird.pk], day).get(bird.pk)
    if lost is not None:
        raise NotThere("bird", f"{bird} is {lost} by the record; write down that it was found again first")
