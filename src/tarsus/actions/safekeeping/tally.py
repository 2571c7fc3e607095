"""What stands in a table: a count, and one number that is the same for the same rows in either database."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from hashlib import sha256
from typing import Any, Final

from django.apps import apps
from django.db.models import Model

from tarsus.records.table_names import table_name

_ALL: Final = 2**256
_OFTEN: Final = 2000


@dataclass(frozen=True, slots=True)
class Tally:
    """How many rows a table holds, and one number made of all that stands in them, in whatever order."""

    table: str
    rows: int
    digest: str


class Tallying:
    """Counts rows as they pass."""

    def __init__(self) -> None:
        self.rows, self._sum = 0, 0

    def hear(self, row: tuple[Any, ...]) -> None:
        """Take one more row into the count."""
        self.rows += 1
        # A sum, not a chain: two databases order words in two ways.
        self._sum = (self._sum + int.from_bytes(sha256(_said(row)).digest(), "big")) % _ALL

    def tally(self, table: str) -> Tally:
        """What was counted so far."""
        return Tally(table, self.rows, f"{self._sum:064x}")


def all_tables() -> list[type[Model]]:
    """Every table that the framework keeps for us, ours and its own, those between two of them included."""
    found = {
        model._meta.db_table: model
        for model in apps.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy
    }
    return [found[name] for name in sorted(found)]


def called(model: type[Model]) -> str:
    """A table as an export calls it; the framework's own, which no export holds, by their app as well."""
    name = table_name(model)
    return name if model._meta.app_label == "records" else f"{model._meta.app_label} {name}"


def rows_of(alias: str, model: type[Model]) -> Iterator[tuple[Any, ...]]:
    """Every row of a table with all its columns, in the order of `concrete_fields`."""
    names = [field.attname for field in model._meta.concrete_fields]
    asked = model._base_manager.using(alias).order_by().values_list(*names)
    return asked.iterator(chunk_size=_OFTEN)


def tally_of(alias: str, model: type[Model]) -> Tally:
    """What stands in one table of a database."""
    tallying = Tallying()
    for row in rows_of(alias, model):
        tallying.hear(row)
    return tallying.tally(called(model))


def _said(row: Iterable[Any]) -> bytes:
    """All that stands in a row, told alike whichever database it was read from."""
    plain = [_plain(value) for value in row]
    return json.dumps(plain, sort_keys=True, ensure_ascii=True, default=str).encode()


def _plain(value: Any) -> Any:
    """A value as both databases give it: moments in one zone, JSON's whole numbers without a point."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat() if value.tzinfo else value.isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, dict):
        return {str(key): _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value
