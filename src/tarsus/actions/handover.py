"""A shared phone goes from one person to the next."""

from __future__ import annotations

from django.db import transaction

from tarsus.actions.known import known_person
from tarsus.actions.refusals import MayNotSpeak
from tarsus.actions.telling import Told
from tarsus.core.deeds.rights import RECORDING
from tarsus.records.models import Handover, Park


@transaction.atomic
def hand_over(*, told: Told, taken_by: int) -> bool:
    """Write down that a shared phone is in another person's hands; what it records bears that name then.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such person.
        MayNotSpeak: the park's phones are not shared, or that person does not record.
    """
    taker = known_person(taken_by, "taken_by")
    if Park.objects.values_list("shared_phones", flat=True).first() is False:
        raise MayNotSpeak(taker, "phones are not shared in this park; sign in as that person")
    if taker.role not in RECORDING:
        raise MayNotSpeak(taker, "that person may look and not record; choose somebody who works here")
    Handover.objects.create(device=told.device, given_by_id=told.by, taken_by=taker)
    return True
