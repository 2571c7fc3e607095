"""A reading whose bird somebody then named by sight, in the same place of the same group in view."""

from __future__ import annotations

from uuid import UUID, uuid5

from tarsus.actions.birds.stays import park_day
from tarsus.actions.telling import Told, write_once
from tarsus.queries.marks import marks_on
from tarsus.records.models import ConfirmedReading, Sighting
from tarsus.records.models.words import How
from tarsus.records.standing import standing


def confirm_in_view(sighting_id: UUID, round_id: UUID | None, group: UUID, position: int) -> None:
    """Keep what a sighting confirms: the readings of this bird of the group, or this one by a later look.

    Whether the reading had named the same bird, another one or nobody does not matter, so what is kept is a
    fair sample of readings that were looked at again; and a reading that was put right counts as it was made.
    What was read in a photograph tells nothing of whoever held the camera.
    """
    beside = list(Sighting.objects.filter(round=round_id, group=group, position=position))
    told = next(one for one in beside if one.pk == sighting_id)
    if told.how == How.BY_SIGHT:
        for read in beside:
            by_eye = read.reading is not None and not read.photographed
            if by_eye and read.happened_at <= told.happened_at and read.pk != told.pk:
                _keep(read, told)
    elif told.reading is not None and not told.photographed:
        later = [one.pk for one in beside if one.how == How.BY_SIGHT and one.happened_at >= told.happened_at]
        if later:
            first = standing(Sighting.objects.filter(pk__in=later)).order_by("happened_at").first()
            if first is not None:
                _keep(told, first)


def _keep(read: Sighting, named: Sighting) -> None:
    assert named.bird_id is not None, "a sighting by sight names a bird"
    if ConfirmedReading.objects.filter(pk=uuid5(read.pk, "confirmed")).exists():
        return
    worn = marks_on(named.bird_id, park_day(read.happened_at))
    columns = {
        "bird_id": named.bird_id,
        "read": read.reading,
        "worn": worn.as_mapping(),
        "reader_id": read.recorded_by_id,
        "sighting_id": named.pk,
    }
    told = Told(by=named.recorded_by_id, at=read.happened_at, id=uuid5(read.pk, "confirmed"))
    write_once(ConfirmedReading, told, columns)
