"""A whole register from one database into another, row by row, counted and compared before it is kept.

Decision 0048.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.contrib.auth.models import Permission
from django.contrib.contenttypes.models import ContentType
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import DEFAULT_DB_ALIAS, DatabaseError, connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor
from django.db.models import Model

from tarsus.actions.bulk.inserting import insert_rows
from tarsus.actions.safekeeping.holding import held
from tarsus.actions.safekeeping.refusals import CannotKeep, RegisterInUse
from tarsus.actions.safekeeping.tally import Tally, Tallying, all_tables, called, rows_of, tally_of
from tarsus.core.errors import MalformedInput
from tarsus.queries.exports import one_moment

TARGET: Final = "moved_to"
"""Under which name this process knows the database that a register is moved into."""
_MADE_ANEW: Final = (Permission, ContentType)
"""Tables whose rows the making of tables writes; those of the register that is moved take their place."""


class TargetNotEmpty(MalformedInput):
    """The database that a register is to be moved into holds something."""

    def __init__(self, target: str, table: str) -> None:
        self.table = table
        super().__init__(
            target, f"is not empty (it holds {table}); make a new database or choose a new folder for it"
        )


class NotMoved(MalformedInput):
    """A register could not be carried over whole; nothing was kept of what was tried."""

    def __init__(self, table: str, why: str) -> None:
        self.table = table
        super().__init__(
            table, f"cannot be carried over ({why}); nothing was moved, and the register is as it was"
        )


def move_register(
    *,
    target: Mapping[str, Any],
    progress: Callable[[int], None] = lambda _: None,
) -> tuple[Tally, ...]:
    """Carry everything of this process's register into another database; the register itself is only read.

    Passwords, sessions, devices' tokens and what waits come along: it is the same register in another place.
    Each table is counted and digested as it is read, and again as it stands in the target, before anything
    is kept there.

    Args:
        target: the other database, as the framework is told of it.
        progress: hears how many more rows were carried over.

    Returns:
        What was carried over, table by table.

    Raises:
        RegisterInUse: it is being served.
        TargetNotEmpty: something is there already.
        CannotKeep: the target cannot be opened, or its tables cannot be made.
        NotMoved: the register's tables are not of this version, the target refuses a row, or what stands
            there afterwards is not the same.
    """
    source = connections[DEFAULT_DB_ALIAS]
    with held(Path(settings.HOME), alone=True):
        _refuse_busy(source)
        _refuse_other_tables(source)
        with _opened(target) as into, one_moment(), transaction.atomic(using=TARGET):
            _forget_what_is_made_anew(into)
            carried = tuple(_carried(source, into, model, progress) for model in all_tables())
            _references_hold(into)
            for was, model in zip(carried, all_tables(), strict=True):
                _compare(was, tally_of(TARGET, model))
            _number_on(into)
    return carried


def rows_to_move() -> int:
    """How many rows there are to carry over."""
    return sum(model._base_manager.count() for model in all_tables())


@contextmanager
def _opened(target: Mapping[str, Any]) -> Iterator[BaseDatabaseWrapper]:
    """The empty target with this version's tables made; a file that was made for nothing is gone again."""
    file = Path(str(target["NAME"])) if "sqlite3" in target["ENGINE"] else None
    where = str(target["NAME"])
    if file is not None and file.exists():
        raise TargetNotEmpty(where, "a register or another file")
    connections.databases[TARGET] = dict(target)
    connections.configure_settings(connections.databases)
    done = False
    try:
        if file is not None:
            file.parent.mkdir(parents=True, exist_ok=True)
        into = connections[TARGET]
        _refuse_filled(into, where)
        call_command("migrate", database=TARGET, verbosity=0, interactive=False)
        yield into
        done = True
    except (OSError, DatabaseError) as reason:
        said = " ".join(str(reason).split())
        raise CannotKeep(where, f"cannot be opened or filled ({said}); look at its address") from None
    finally:
        connections[TARGET].close()
        del connections[TARGET]
        del connections.databases[TARGET]
        if file is not None and not done:
            for side in ("", "-wal", "-shm", "-journal"):
                file.with_name(file.name + side).unlink(missing_ok=True)


def _refuse_filled(into: BaseDatabaseWrapper, where: str) -> None:
    """Refuse a target with any table in it that is not ours, or a table of ours with a row in it.

    Tables of ours without rows are what a move leaves behind that failed.
    """
    ours = {model._meta.db_table: model for model in all_tables()}
    anew = {model._meta.db_table for model in _MADE_ANEW}
    for table in sorted(into.introspection.table_names()):
        if table == "django_migrations" or table in anew:
            continue
        if table not in ours:
            raise TargetNotEmpty(where, f"a table '{table}'")
        with into.cursor() as cursor:
            cursor.execute(f"SELECT 1 FROM {into.ops.quote_name(table)} LIMIT 1")
            if cursor.fetchone():
                raise TargetNotEmpty(where, f"rows of {called(ours[table])}")


def _refuse_busy(source: BaseDatabaseWrapper) -> None:
    if source.vendor != "postgresql":
        return
    name = str(source.settings_dict["NAME"])
    with source.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE datname = %s AND pid <> pg_backend_pid()"
            " AND backend_type = 'client backend'",
            [name],
        )
        if cursor.fetchone()[0]:
            raise RegisterInUse(name)


def _refuse_other_tables(source: BaseDatabaseWrapper) -> None:
    """Refuse tables of another version: of a newer one, what this one does not know would stay behind."""
    executor = MigrationExecutor(source)
    known: Any = executor.loader.disk_migrations
    if any(step not in known for step in executor.loader.applied_migrations if step[0] == "records"):
        raise NotMoved("register", "its tables are of a newer Tarsus; move it with that one")
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise NotMoved("register", "its tables are of an older Tarsus; first run: tarsus manage migrate")


def _forget_what_is_made_anew(into: BaseDatabaseWrapper) -> None:
    with into.cursor() as cursor:
        for model in _MADE_ANEW:
            cursor.execute(f"DELETE FROM {into.ops.quote_name(model._meta.db_table)}")


def _carried(
    source: BaseDatabaseWrapper,
    into: BaseDatabaseWrapper,
    model: type[Model],
    progress: Callable[[int], None],
) -> Tally:
    tallying = Tallying()

    def heard() -> Iterator[tuple[Any, ...]]:
        for row in rows_of(source.alias, model):
            tallying.hear(row)
            progress(1)
            yield row

    columns = [str(field.column) for field in model._meta.concrete_fields]
    try:
        insert_rows(model, columns, heard(), into)
    except (DatabaseError, ValueError, TypeError, OverflowError) as reason:
        raise NotMoved(called(model), " ".join(str(reason).split())) from reason
    return tallying.tally(called(model))


def _compare(was: Tally, now: Tally) -> None:
    if was != now:
        raise NotMoved(
            was.table,
            f"{was.rows} rows with digest {was.digest[:12]} became {now.rows} with {now.digest[:12]}",
        )


def _references_hold(into: BaseDatabaseWrapper) -> None:
    try:
        into.check_constraints()
    except DatabaseError as reason:
        raise NotMoved("references", " ".join(str(reason).split())) from reason


def _number_on(into: BaseDatabaseWrapper) -> None:
    """Let the database number new rows after those that came with a number of their own."""
    with into.cursor() as cursor:
        for sql in into.ops.sequence_reset_sql(no_style(), all_tables()):
            cursor.execute(sql)
