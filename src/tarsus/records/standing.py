"""Facts that still stand: those that no standing withdrawal points at."""

from __future__ import annotations

from functools import cache
from typing import Final, TypeVar

from django.db.models import Exists, Model, OuterRef, Q, QuerySet

from tarsus.records.models.rounds import Withdrawal

M = TypeVar("M", bound=Model)

TURNS: Final = 3
"""So often a fact can be turned: taken back, brought back, taken back once more. The door refuses the next
turn: SQL looks no deeper than it is told to, and SQLite parses no deeper than a hundred nested terms.
"""


def standing(facts: QuerySet[M]) -> QuerySet[M]:
    """The facts of a queryset without those that were withdrawn.

    A withdrawal that was itself withdrawn takes nothing back, and so on for `TURNS` turns.
    """
    return facts.filter(~withdrawn())


@cache
def withdrawn(column: str = "pk") -> Exists:
    """Whether the fact that a column names was withdrawn, by a withdrawal that stands itself."""
    return Exists(_against(column, TURNS))


def _against(column: str, turns: int) -> QuerySet[Withdrawal]:
    told = Withdrawal.objects.filter(withdraws=OuterRef(column))
    return told.filter(~Exists(_against("pk", turns - 1))) if turns > 1 else told


def spoken_of(withdrawals: QuerySet[Withdrawal]) -> Q:
    """The facts that withdrawals speak of: what each withdrew, and what that one had withdrawn before it."""
    of = withdrawals.values("withdraws")
    facts = Q(pk__in=of)
    for _ in range(TURNS - 1):
        of = Withdrawal.objects.filter(pk__in=of).values("withdraws")
        facts |= Q(pk__in=of)
    return facts


def withdrawals_of(facts: Q) -> list[Withdrawal]:
    """What was told against facts, in order of time; `facts` is said of a withdrawal.

    Returns:
        The withdrawals, and those of them in their turn; in one query where nothing was withdrawn, and in
        no more than `TURNS`.
    """
    found: list[Withdrawal] = []
    for _ in range(TURNS):
        told = list(Withdrawal.objects.filter(facts))
        if not told:
            break
        found += told
        facts = Q(withdraws__in=[one.pk for one in told])
    return sorted(found, key=lambda one: (one.happened_at, one.pk))
