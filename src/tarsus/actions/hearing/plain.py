"""The plain facts of a batch: heard by what was asked once, their lines of the ledger written together.

Decision 0061.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any, Final
from uuid import UUID

from django.db import DatabaseError
from django.db.models import Model, Q

from tarsus.actions.asked_once import AskedOnce
from tarsus.actions.hearing.ledger import Line, write_lines
from tarsus.actions.hearing.table import BOUND
from tarsus.core.deeds.fields import LARGEST_ID, Kind
from tarsus.core.deeds.register import DEEDS
from tarsus.records.models import Bird, Exhibit, Place, Round, Waiting

LOOKED_UP: Final[Mapping[Kind, type[Model]]] = {
    Kind.BIRD: Bird,
    Kind.EXHIBIT: Exhibit,
    Kind.PLACE: Place,
    Kind.ROUND: Round,
}
"""What is lent to plain facts, by the kind of field that names it; none of them changes or locks one."""


class LinesRefused(Exception):
    """The lines of plain facts cannot stand together: each fact is to be heard by itself."""


@dataclass(slots=True)
class PlainFacts:
    """What the plain facts of one batch share.

    `asked`: what was asked once, forgotten whenever another fact is heard. `careful`: ids that wait, or that
    something waits for. `lines`: of the ledger, to be written.
    """

    facts: Sequence[Mapping[str, Any]]
    ids: frozenset[UUID]
    asked: AskedOnce | None = None
    careful: frozenset[UUID] = frozenset()
    lines: list[Line] = field(default_factory=list)

    def asking(self) -> AskedOnce:
        """What was asked once; asked anew where another fact was heard since."""
        if self.asked is None:
            waits = Waiting.objects.filter(Q(pk__in=self.ids) | Q(needs__in=self.ids))
            self.careful = frozenset(key for row in waits.values_list("pk", "needs") for key in row)
            self.asked = AskedOnce(self.ids, named_in(self.facts))
        return self.asked

    def keep(self, line: Line) -> None:
        """Keep the line of a fact that was written, until `settle`."""
        self.lines.append(line)

    def settle(self) -> None:
        """Write the lines down that are kept, and forget what was asked: another fact may change it.

        Raises:
            LinesRefused: the database refuses one of them.
        """
        self.asked = None
        if self.lines:
            try:
                write_lines(self.lines)
            except DatabaseError as refusal:
                raise LinesRefused(str(refusal)) from refusal
            self.lines.clear()


def is_plain(fact: Any) -> bool:
    """Whether a fact is of a plain kind, and corrects nothing."""
    if not isinstance(fact, Mapping) or fact.get("corrects") is not None:
        return False
    kind = fact.get("kind")
    return isinstance(kind, str) and kind in BOUND and BOUND[kind].plain


def named_in(facts: Sequence[Mapping[str, Any]]) -> dict[type[Model], frozenset[Any]]:
    """The keys of rows that plain facts name; what is no key is left to be refused in its turn."""
    named: dict[type[Model], set[Any]] = {}
    for fact in filter(is_plain, facts):
        for one in DEEDS[fact["kind"]].fields:
            key = _key(one.kind, fact.get(one.name))
            if key is not None:
                named.setdefault(LOOKED_UP[one.kind], set()).add(key)
    return {table: frozenset(keys) for table, keys in named.items()}


def _key(kind: Kind, said: Any) -> int | UUID | None:
    if kind is Kind.ROUND:
        with suppress(ValueError):
            return UUID(str(said))
    elif kind in LOOKED_UP and type(said) is int and 0 < said <= LARGEST_ID:
        return said
    return None
