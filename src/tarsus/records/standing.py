"""Facts that still stand: those that no withdrawal points at."""

from __future__ import annotations

from typing import TypeVar

from django.db.models import Exists, Model, OuterRef, QuerySet

from tarsus.records.models.rounds import Withdrawal

M = TypeVar("M", bound=Model)


def standing(facts: QuerySet[M]) -> QuerySet[M]:
    """The facts of a queryset without those that were withdrawn.

    A withdrawal cannot be withdrawn itself (the action refuses it: tell the fact again): one look is enough.
    """
    return facts.filter(~Exists(Withdrawal.objects.filter(withdraws=OuterRef("pk"))))
