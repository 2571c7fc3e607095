"""Many rows of one table at once, without making an object of each: a third of the time of `bulk_create`."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import islice
from typing import Any, Final

from django.db import DEFAULT_DB_ALIAS, connection, connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import (
    AutoField,
    BigAutoField,
    CharField,
    Field,
    FloatField,
    ForeignKey,
    IntegerField,
    Model,
)

AS_THEY_ARE = (CharField, FloatField, IntegerField)
_AT_ONCE: Final = 5000


def insert_rows(
    table: type[Model],
    columns: Sequence[str],
    rows: Iterable[Sequence[object]],
    into: BaseDatabaseWrapper | None = None,
) -> int:
    """Insert rows into a table; columns that are not named take the default of their field.

    Args:
        table: which table.
        columns: names of columns, foreign keys with their ``_id``.
        rows: values in the order of the columns; may be a stream.
        into: which database; without it this process's register.

    Returns:
        How many were inserted.

    Assumes:
        Guards are constraints of the database, which hold for these rows as for any other.
    """
    into = into or connections[DEFAULT_DB_ALIAS]
    known = {field.column: field for field in table._meta.concrete_fields}
    others = [field for column, field in known.items() if column not in columns and not _numbered(field)]
    writes = [_writer(known[column], into) for column in columns]
    defaults = [_default(field, into) for field in others]
    quote = into.ops.quote_name
    named = [quote(str(column)) for column in (*columns, *(field.column for field in others))]
    places = ", ".join(["%s"] * len(named))
    sql = f"INSERT INTO {quote(table._meta.db_table)} ({', '.join(named)}) VALUES ({places})"
    ready = (
        [*(write(v) for write, v in zip(writes, row, strict=True)), *(make() for make in defaults)]
        for row in rows
    )
    written = 0
    with into.cursor() as cursor:
        while batch := list(islice(ready, _AT_ONCE)):
            cursor.executemany(sql, batch)
            written += len(batch)
    return written


def free_numbers(table: type[Model], amount: int) -> Iterator[int]:
    """So many ids that no row of a table has or will be given by the database.

    Assumes:
        The caller is within a transaction that writes; on SQLite there is one writer at a time.
    """
    name = table._meta.db_table
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            # By the sequence itself: another connection may be writing rows of this table.
            ask = "SELECT nextval(pg_get_serial_sequence(%s, 'id')) FROM generate_series(1, %s)"
            cursor.execute(ask, [f'"{name}"', amount])
            return iter([row[0] for row in cursor.fetchall()])
        cursor.execute("SELECT seq FROM sqlite_sequence WHERE name = %s", [name])
        last = cursor.fetchone()
    begins = 1 + (last[0] if last else 0)
    return iter(range(begins, begins + amount))


def _numbered(field: Field[Any, Any]) -> bool:
    """Whether the database itself numbers this column."""
    return isinstance(field, AutoField | BigAutoField)


def _default(field: Field[Any, Any], into: BaseDatabaseWrapper) -> Callable[[], Any]:
    """What a column that is not named holds; made anew for each row where it is made (an id, a moment)."""
    if callable(field.default):
        return lambda: field.get_db_prep_save(field.get_default(), into)
    fixed = field.get_db_prep_save(field.get_default(), into)
    return lambda: fixed


def _writer(field: Field[Any, Any], into: BaseDatabaseWrapper) -> Callable[[Any], Any]:
    """How a value of this field goes into the database; the plain ones go as they are."""
    target = field.target_field if isinstance(field, ForeignKey) else field
    if isinstance(target, AS_THEY_ARE):
        return _as_it_is
    return lambda value: target.get_db_prep_save(value, into)


def _as_it_is(value: object) -> object:
    return value
