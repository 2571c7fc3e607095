"""Moving one bird or a whole group from exhibit to exhibit in one act."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import transaction

from tarsus.actions.birds.quarantine import refuse_unreleased
from tarsus.actions.birds.stays import begin_stay, end_stay, park_day, stay_now
from tarsus.actions.known import known_bird, known_exhibit
from tarsus.actions.refusals import AlreadySo, NotThere
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.records.models import Bird, Move, MovedBird


@transaction.atomic
def move_birds(
    *,
    told: Told,
    to_exhibit_id: int,
    came: Sequence[int],
    would_not: Mapping[int, str] | None = None,
    from_exhibit_id: int | None = None,
    because: str = "",
) -> bool:
    """Move birds to another exhibit in one act, and say who would not come.

    Args:
        told: who moved them and when; the same act told twice moves them once.
        to_exhibit_id: where to.
        came: the birds that are there now.
        would_not: the birds that were meant to come and stayed, each with the reason (may be empty).
        from_exhibit_id: where from, if all came from one exhibit; then a bird from elsewhere is refused.
        because: why.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such exhibit or bird.
        NotThere: a bird does not live in the exhibit it is moved from, or lives nowhere.
        AlreadySo: a bird lives there already.
        HeldInQuarantine: a bird that the vet had not released by then would join others.
        WrongValue: nobody came, or a bird both came and would not.
    """
    stayed = dict(would_not or {})
    there = known_exhibit(to_exhibit_id, "to")
    if not came and not stayed:
        raise WrongValue("came", "is empty; name the birds that were moved")
    if both := set(came) & set(stayed):
        raise WrongValue("would_not", f"{known_bird(min(both))} cannot both come and stay; choose one")
    birds = [known_bird(bird_id, "came") for bird_id in dict.fromkeys(came)]
    columns = {"from_exhibit_id": from_exhibit_id, "to_exhibit_id": to_exhibit_id, "because": because}
    beside = {"came": sorted(came), "would_not": sorted(stayed.items())}
    if not write_once(Move, told, columns, beside=beside):
        return False
    refuse_unreleased(birds, there, told.happened_at)
    for bird in birds:
        _move(bird, told, to_exhibit_id, from_exhibit_id, because)
    lines = [MovedBird(move_id=told.id, bird=bird) for bird in birds]
    for bird_id, why in stayed.items():
        known_bird(bird_id, "would_not")
        lines.append(MovedBird(move_id=told.id, bird_id=bird_id, came=False, because=why))
    MovedBird.objects.bulk_create(lines)
    return True


def _move(bird: Bird, told: Told, to_exhibit_id: int, from_exhibit_id: int | None, because: str) -> None:
    stay = stay_now(bird)
    if from_exhibit_id is not None and stay.exhibit_id != from_exhibit_id:
        raise NotThere("came", f"{bird} lives in {stay.exhibit}, not where it is moved from; leave it out")
    if stay.exhibit_id == to_exhibit_id:
        raise AlreadySo("came", f"{bird} lives in {stay.exhibit} already; leave it out")
    on = park_day(told.happened_at)
    end_stay(stay, on, told.by, told.id)
    begin_stay(bird, to_exhibit_id, on, told.by, reason=because, through=told.id)
