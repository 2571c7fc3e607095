"""Facts that still stand: those that no standing withdrawal points at; now, or as was known once.

Decision 0034: a report asks what was known on a past day. Within `as_known_by` every question of this module
is answered with what was written by then, so that no query needs a second form for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime
from functools import cache
from typing import Final, TypeVar

from django.db.models import Exists, Model, OuterRef, Q, QuerySet

from tarsus.records.models.facts import Spell
from tarsus.records.models.rounds import Withdrawal

M = TypeVar("M", bound=Model)
S = TypeVar("S", bound=Spell)

_KNOWN_BY: Final[ContextVar[datetime | None]] = ContextVar("known_by", default=None)

TURNS: Final = 3
"""So often a fact can be turned: taken back, brought back, taken back once more. The door refuses the next
turn: SQL looks no deeper than it is told to, and SQLite parses no deeper than a hundred nested terms.
"""


def standing(facts: QuerySet[M]) -> QuerySet[M]:
    """The facts of a queryset without those that were withdrawn.

    A withdrawal that was itself withdrawn takes nothing back, and so on for `TURNS` turns.
    """
    moment = _KNOWN_BY.get()
    if moment is None:
        return facts.filter(~withdrawn())
    return facts.filter(~_withdrawn_by(moment), recorded_at__lt=moment)


@contextmanager
def as_known_by(moment: datetime) -> Iterator[None]:
    """Answer `standing` and `lasting` with what was written before a moment, until the end of the block."""
    before = _KNOWN_BY.set(moment)
    try:
        yield
    finally:
        _KNOWN_BY.reset(before)


def known_by() -> datetime | None:
    """The moment whose knowledge is asked for; nothing where it is what is known now."""
    return _KNOWN_BY.get()


def lasting(spells: QuerySet[S]) -> QuerySet[S]:
    """The spells of a queryset that were not taken back. What each ends on is said by `end_of`."""
    moment = _KNOWN_BY.get()
    if moment is None:
        return spells.filter(taken_back_at__isnull=True)
    kept = Q(taken_back_at__isnull=True) | Q(taken_back_at__gte=moment)
    return spells.filter(kept, recorded_at__lt=moment)


def lasting_after(spells: QuerySet[S], day: date) -> QuerySet[S]:
    """The spells of `lasting` that go on after a day, as far as it is known."""
    goes_on = Q(to_on__isnull=True) | Q(to_on__gt=day)
    if (moment := _KNOWN_BY.get()) is not None:
        goes_on |= Q(ended_at__gte=moment)
    return lasting(spells.filter(goes_on))


def end_of(to_on: date | None, ended_at: datetime | None) -> date | None:
    """The day on which a spell ends, as far as it is known: an end that was written later is none yet."""
    moment = _KNOWN_BY.get()
    return None if moment is not None and ended_at is not None and ended_at >= moment else to_on


@cache
def withdrawn(column: str = "pk") -> Exists:
    """Whether the fact that a column names was withdrawn, by a withdrawal that stands itself."""
    return Exists(_against(column, TURNS))


def _withdrawn_by(moment: datetime) -> Exists:
    return Exists(_against("pk", TURNS, moment))


def _against(column: str, turns: int, moment: datetime | None = None) -> QuerySet[Withdrawal]:
    told = Withdrawal.objects.filter(withdraws=OuterRef(column))
    if moment is not None:
        told = told.filter(recorded_at__lt=moment)
    return told.filter(~Exists(_against("pk", turns - 1, moment))) if turns > 1 else told


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
