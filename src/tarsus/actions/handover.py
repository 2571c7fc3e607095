"""A shared phone goes from one person to the next."""

from __future__ import annotations

from django.db import transaction

from tarsus.actions.known import known_person
from tarsus.actions.refusals import MayNotSpeak
from tarsus.actions.settings.pins import confirm_by_pin
from tarsus.actions.telling import Told
from tarsus.core.deeds.rights import KEEPER
from tarsus.records.models import Handover, Park


@transaction.atomic
def hand_over(*, told: Told, taken_by: int, pin: str) -> bool:
    """Write down that a shared phone is in another keeper's hands; what it records bears that name then.

    Only whoever takes it can confirm that, by their PIN.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such person.
        MayNotSpeak: the park's phones are not shared, or one of the two is no keeper.
        WrongValue, WrongPin: as `confirm_by_pin`.
    """
    giver = known_person(told.by)
    taker = known_person(taken_by, "taken_by")
    if not Park.objects.filter(shared_phones=True).exists():
        raise MayNotSpeak(taker, "phones are not shared in this park; sign in as that person")
    if not (giver.role == taker.role == KEEPER and taker.is_active):
        raise MayNotSpeak(taker, "phones go from keeper to keeper; sign in as that person")
    confirm_by_pin(taker, pin)
    Handover.objects.create(device=told.device, given_by=giver, taken_by=taker, by_pin=True)
    return True
