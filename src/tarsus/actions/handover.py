"""A shared phone goes from one person to the next."""

from __future__ import annotations

from django.db import transaction

from tarsus.actions.known import known_person
from tarsus.actions.refusals import MayNotSpeak
from tarsus.core.deeds.rights import RECORDING
from tarsus.records.models import Handover, Park


@transaction.atomic
def hand_over(*, device: str, given_by: int, taken_by: int) -> None:
    """Write down that a shared phone is in another person's hands; what it records bears that name then.

    Raises:
        Unknown: no such person.
        MayNotSpeak: the park's phones are not shared, or that person does not record.
    """
    giver, taker = known_person(given_by, "given_by"), known_person(taken_by, "taken_by")
    if Park.objects.values_list("shared_phones", flat=True).first() is False:
        raise MayNotSpeak(taker, "phones are not shared in this park; sign in as that person")
    if taker.role not in RECORDING:
        raise MayNotSpeak(taker, "that person may look and not record; choose somebody who works here")
    Handover.objects.create(device=device, given_by=giver, taken_by=taker)
