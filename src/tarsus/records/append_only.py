"""Tables whose rows are never changed and never deleted, held so by triggers of the database itself.

A check in Python would bind only those who pass through it. The same tables are guarded on SQLite and on
PostgreSQL. SQLite drops a table's triggers when a migration remakes the table: such a migration lays the
guards anew as its last step, and a test counts them.

Decision 0003.
"""

from __future__ import annotations

from typing import Final

from django.db.backends.base.base import BaseDatabaseWrapper

NEVER_CHANGED: Final = (
    "roundstarted",
    "roundclosed",
    "roundreopened",
    "roundlight",
    "roundnotdone",
    "count",
    "group",
    "sighting",
    "transponderread",
    "withdrawal",
    "photograph",
    "photographremoved",
    "concern",
    "concernbird",
    "intruder",
    "report",
    "reportbird",
    "reportanswered",
    "setaside",
    "handling",
    "weighing",
    "bandcheck",
    "bandfound",
    "bandownernamed",
    "confirmedreading",
    "healthcheck",
    "nextdaycheck",
    "nothandled",
    "sextest",
    "sexfinding",
    "story",
    "missing",
    "move",
    "movedbird",
    "arrival",
    "quarantinerelease",
    "departure",
    "ownership",
    "death",
    "carcasenamed",
    "postmortem",
    "nestevent",
    "casenote",
    "instruction",
    "bodycondition",
    "treatment",
    "treatmentrecheck",
    "treatmentended",
    "note",
    "forecastnote",
    "change",
    "stockchange",
    "printedinventory",
    "handover",
    "shiftnote",
    "shiftnotefor",
    "exhibitplan",
    "planpin",
    "planpicture",
    "tolddeed",
    "deedbird",
)
"""Facts: appended only."""

NEVER_DELETED: Final = (
    "bird",
    "stay",
    "band",
    "round",
    "person",
    "case",
    "nest",
    "pair",
    "transponder",
    "naturalmark",
)
"""Rows that live on: an end may be written into them, but they stay."""

_SAYS: Final = {
    "UPDATE": "a fact is never changed; record a correction",
    "DELETE": "nothing is deleted; record a correction",
}

_PG_FUNCTION: Final = """
CREATE OR REPLACE FUNCTION records_append_only() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '%: %', TG_TABLE_NAME, TG_ARGV[0] USING ERRCODE = 'integrity_constraint_violation';
END $$;
"""


def _guards() -> list[tuple[str, str]]:
    """Pairs of table and deed that are refused."""
    changed = [(table, deed) for table in NEVER_CHANGED for deed in ("UPDATE", "DELETE")]
    return changed + [(table, "DELETE") for table in NEVER_DELETED]


GUARD_NAMES: Final = {f"records_{table}_no_{deed.lower()}": f"records_{table}" for table, deed in _guards()}
"""The trigger of each guard, and the table that it stands on."""


def _sqlite(table: str, deed: str) -> str:
    return (
        f'CREATE TRIGGER IF NOT EXISTS records_{table}_no_{deed.lower()} BEFORE {deed} ON "records_{table}" '
        f"BEGIN SELECT RAISE(ABORT, 'records_{table}: {_SAYS[deed]}'); END"
    )


def _postgresql(table: str, deed: str) -> str:
    return (
        f'CREATE OR REPLACE TRIGGER records_{table}_no_{deed.lower()} BEFORE {deed} ON "records_{table}" '
        f"FOR EACH ROW EXECUTE FUNCTION records_append_only('{_SAYS[deed]}')"
    )


def lay_guards(connection: BaseDatabaseWrapper) -> None:
    """Make the database refuse to change or delete facts. Laying them twice is harmless.

    A table that a later migration makes is passed over: that migration lays the guards again.
    """
    there = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(_PG_FUNCTION)
        write = _postgresql if connection.vendor == "postgresql" else _sqlite
        for table, deed in _guards():
            if f"records_{table}" in there:
                cursor.execute(write(table, deed))


def lift_guards(connection: BaseDatabaseWrapper) -> None:
    """Take the guards away: for tests that empty the tables, and for undoing the migration."""
    there = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for table, deed in _guards():
            name = f"records_{table}_no_{deed.lower()}"
            if f"records_{table}" not in there:
                continue
            on_table = f' ON "records_{table}"' if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}{on_table}")
