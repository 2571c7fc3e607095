"""Facts that still stand: those that no withdrawal points at."""

from __future__ import annotations

from typing import TypeVar

from django.db.models import Exists, Model, OuterRef, QuerySet

from tarsus.records.models.rounds import Withdrawal

M = TypeVar("M", bound=Model)


def standing(facts: QuerySet[M]) -> QuerySet[M]:
    """The facts of a queryset without those that were withdrawn.

    A withdrawal that was withdrawn takes nothing back. What brought a fact back cannot be withdrawn in its
    turn (the action refuses it: withdraw the fact itself once more), so that two looks are enough.
    """
    undone = Withdrawal.objects.filter(withdraws=OuterRef("pk"))
    return facts.filter(~Exists(Withdrawal.objects.filter(~Exists(undone), withdraws=OuterRef("pk"))))
