"""What is asked once for a batch of facts: the rows that they name, and what is told under their ids already.

It is lent to plain facts alone, which change no row that another fact looks up (decision 0061). Whatever
else is heard in between, all is asked anew after it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import wraps
from typing import Any, Final, ParamSpec, TypeVar
from uuid import UUID

from django.db import transaction
from django.db.models import Model

from tarsus.records.models import Bird
from tarsus.records.models.facts import Fact

M = TypeVar("M", bound=Model)
Asked = ParamSpec("Asked")
Told = TypeVar("Told")

_WITH: Final[Mapping[type[Model], tuple[str, ...]]] = {Bird: ("species",)}
"""What is asked for together with a row, since whoever looks it up asks for that next."""


@dataclass(slots=True)
class AskedOnce:
    """Answers for the facts of one batch, each asked for when the first of them needs it.

    Only what is there is remembered: what is missing is asked for again by whoever misses it. Nobody changes
    a row that is lent.

    `ids`: of the facts. `named`: keys of rows that they name, by table.
    """

    ids: frozenset[UUID]
    named: Mapping[type[Model], frozenset[Any]]
    rows: dict[type[Model], dict[Any, Model]] = field(default_factory=dict)
    told: dict[type[Fact], dict[UUID, str]] = field(default_factory=dict)

    def row(self, table: type[M], key: object) -> M | None:
        """The row with this key, if it is one that the batch names and the register has."""
        keys = self.named.get(table, frozenset())
        if key not in keys:
            return None
        if table not in self.rows:
            rows = table._default_manager.select_related(*_WITH.get(table, ()))
            self.rows[table] = dict(rows.in_bulk(keys))
        row = self.rows[table].get(key)
        return row if isinstance(row, table) else None

    def digest(self, table: type[Fact], fact_id: UUID) -> str | None:
        """The digest of what was told under an id of the batch, if it stood in the table before it."""
        if table not in self.told:
            rows = table._default_manager.filter(pk__in=self.ids)
            self.told[table] = dict(rows.values_list("pk", "told"))
        return self.told[table].get(fact_id)


_LENT: Final[ContextVar[AskedOnce | None]] = ContextVar("lent", default=None)


@contextmanager
def lending(asked: AskedOnce) -> Iterator[None]:
    """Let what is written within look rows up in what was asked once.

    All of it is undone as one by whoever lends: in here `as_a_whole` makes no savepoint of its own.
    """
    before = _LENT.set(asked)
    try:
        yield
    finally:
        _LENT.reset(before)


def lent() -> AskedOnce | None:
    """What was asked once for the fact that is being written; nothing where it is written by itself."""
    return _LENT.get()


def lent_row(table: type[M], key: object) -> M | None:
    """The row with this key, if it was asked for already."""
    asked = _LENT.get()
    return None if asked is None else asked.row(table, key)


def as_a_whole(write: Callable[Asked, Told]) -> Callable[Asked, Told]:
    """Write all of it or nothing, like `transaction.atomic`; to whom is lent, the lender undoes it."""

    @wraps(write)
    def whole(*args: Asked.args, **kwargs: Asked.kwargs) -> Told:
        with transaction.atomic(savepoint=_LENT.get() is None):
            return write(*args, **kwargs)

    return whole
