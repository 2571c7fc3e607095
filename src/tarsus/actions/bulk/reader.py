"""The bulk reader: plain frozen rows of a park into the register, in one transaction.

Decision 0038.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache

from django.apps import apps
from django.core.exceptions import ValidationError
from django.core.management.color import no_style
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.models import Model

from tarsus.actions.bulk.frozen import FrozenRows
from tarsus.actions.bulk.inserting import insert_rows
from tarsus.core.errors import MalformedInput, UnknownWord
from tarsus.records.models import Bird, Park, Person, Round
from tarsus.records.table_names import table_name


class RegisterNotEmpty(MalformedInput):
    """The register already holds a park; a whole one may only go into an empty register."""

    def __init__(self, name: str) -> None:
        super().__init__(
            "register", f"already holds '{name}'; choose another home folder for a park that is loaded whole"
        )


class RowsRefused(MalformedInput):
    """Rows of a table that the register's own guards refuse."""

    def __init__(self, table: str, why: str) -> None:
        self.table = table
        super().__init__(table, f"the register refuses a row ({why}); nothing was written")


def register_is_empty() -> bool:
    """Whether nothing was recorded yet: no park, no people, no birds, no rounds."""
    return not any(table.objects.exists() for table in (Park, Person, Bird, Round))


@transaction.atomic
def read_whole_park(
    *, content: Iterable[FrozenRows], progress: Callable[[int], None] = lambda _: None, keep: bool = True
) -> dict[str, int]:
    """Read a whole park into an empty register, every row under the id it has.

    Args:
        content: rows of all tables; references may point at rows that come later.
        progress: hears 1 for each row.
        keep: whether to keep the rows; without it everything is tried and nothing is left behind.

    Returns:
        How many rows went into each table.

    Raises:
        RegisterNotEmpty: a park, people, birds or rounds are there already.
        UnknownWord, RowsRefused: as `read_rows` does; nothing is written then.
    """
    if not register_is_empty():
        known = Park.objects.values_list("name", flat=True).first()
        raise RegisterNotEmpty(known or "people or birds of a park")
    written = read_rows(content=content, progress=progress)
    try:
        # References may point forward while rows are read; now each must have found its row.
        connection.check_constraints()
    except IntegrityError as reason:
        raise RowsRefused("references", " ".join(str(reason).split())) from reason
    _number_on(written)
    if not keep:
        transaction.set_rollback(True)
    return written


def read_rows(
    *, content: Iterable[FrozenRows], progress: Callable[[int], None] = lambda _: None
) -> dict[str, int]:
    """Insert plain rows, whatever they were read from; facts among them are inserted and nothing else.

    Args:
        content: rows by table.
        progress: hears 1 for each row.

    Returns:
        How many rows went into each table.

    Raises:
        UnknownWord: the register has no such table, or the table no such column.
        RowsRefused: a guard of the register holds against a row.

    Assumes:
        The caller's transaction is open. The guards of the tables stay in force all the while.
    """
    written: dict[str, int] = {}
    for rows in content:
        if not rows.columns:
            continue
        model = _model(rows)
        counted = replace(rows, rows=_heard(rows, progress))
        try:
            with transaction.atomic():
                amount = insert_rows(model, rows.columns, counted.rows)
        except (DatabaseError, ValidationError, ValueError, TypeError, OverflowError) as reason:
            raise RowsRefused(rows.table, " ".join(str(reason).split())) from reason
        written[rows.table] = written.get(rows.table, 0) + amount
    return written


def _heard(rows: FrozenRows, progress: Callable[[int], None]) -> Iterable[tuple[object, ...]]:
    for row in rows.rows:
        progress(1)
        yield tuple(row)


@cache
def _models() -> dict[str, type[Model]]:
    tables = apps.get_app_config("records").get_models(include_auto_created=True)
    return {table_name(model): model for model in tables}


def _model(rows: FrozenRows) -> type[Model]:
    known = _models()
    if rows.table not in known:
        raise UnknownWord("table", rows.table, "table of this register", known)
    model = known[rows.table]
    columns = [str(field.column) for field in model._meta.concrete_fields]
    for column in rows.columns:
        if column not in columns:
            raise UnknownWord(rows.table, column, "column of this table", columns)
    return model


def _number_on(written: Iterable[str]) -> None:
    """Let the database number new rows after those that came with a number of their own."""
    models = [_models()[table] for table in written]
    with connection.cursor() as cursor:
        for sql in connection.ops.sequence_reset_sql(no_style(), models):
            cursor.execute(sql)
