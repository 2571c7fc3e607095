"""What a backup holds that no register of Tarsus has: a restore puts none of it where facts are recorded.

A trigger or a view is a program within the data: it could change what is recorded, or show something else.
"""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Final

from django.apps import apps
from django.db.migrations.recorder import MigrationRecorder

from tarsus.actions.safekeeping.refusals import NoBackup
from tarsus.records.append_only import GUARD_NAMES

_GUARD: Final = re.compile(
    r"CREATE TRIGGER (records_\w+) BEFORE (?:UPDATE|DELETE) ON \"(records_\w+)\" "
    r"BEGIN SELECT RAISE\(ABORT, '[^']*'\); END"
)
"""A guard as SQLite keeps it: it refuses, and does nothing else. Its words may be an older version's."""

_PARTS: Final = (
    "TABLE DATA",
    "TABLE",
    "SEQUENCE SET",
    "SEQUENCE OWNED BY",
    "SEQUENCE",
    "DEFAULT",
    "FK CONSTRAINT",
    "CHECK CONSTRAINT",
    "CONSTRAINT",
    "INDEX",
)
"""What a dump lists that belongs to a table; `TRIGGER` and `FUNCTION` are looked at by name."""
_LISTED: Final = re.compile(r"\d+; \d+ \d+ (.+)")
_FUNCTION: Final = "FUNCTION public records_append_only() "


def refuse_foreign_file(copy: Path) -> None:
    """Let a file pass that holds only what registers of Tarsus hold.

    Raises:
        NoBackup: it holds another table, a view, or a trigger that is none of the guards.
    """
    with closing(sqlite3.connect(copy.absolute().as_uri() + "?mode=ro&immutable=1", uri=True)) as looked_at:
        kept = looked_at.execute(
            "SELECT type, name, tbl_name, sql FROM sqlite_master "
            "WHERE type <> 'index' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\' ORDER BY type, name"
        ).fetchall()
    known = _tables()
    for kind, name, table, sql in kept:
        if kind == "table" and name in known and str(sql).startswith("CREATE TABLE"):
            continue
        if kind == "trigger" and _is_guard(name, table, sql):
            continue
        raise _foreign(copy, kind, name)


def refuse_foreign_dump(dump: Path, listed: str) -> None:
    """Let a dump pass whose list names only what registers of Tarsus hold.

    Args:
        dump: the file, for the refusal.
        listed: what `pg_restore --list` says of it.

    Raises:
        NoBackup: it holds another table, schema, function or trigger, or anything that Tarsus makes none of.
    """
    known, guards = _tables(), {f"{table} {name}" for name, table in GUARD_NAMES.items()}
    for line in listed.splitlines():
        found = _LISTED.fullmatch(line.strip())
        if found is None:
            continue
        entry = found[1]
        if entry.startswith(
            (_FUNCTION, "SCHEMA - public ", "COMMENT - SCHEMA public ", "ACL - SCHEMA public ")
        ):
            continue
        if entry.startswith("TRIGGER public "):
            words = entry.split()
            if " ".join(words[2:4]) in guards:
                continue
        part = next((part for part in _PARTS if entry.startswith(f"{part} public ")), "")
        if part and (part not in ("TABLE", "TABLE DATA") or entry.split(" public ")[1].split()[0] in known):
            continue
        raise _foreign(dump, "", entry.rpartition(" ")[0])


def _tables() -> frozenset[str]:
    """Every table of this version: no version of Tarsus has had one that this one has not."""
    tables = {model._meta.db_table for model in apps.get_models(include_auto_created=True)}
    return frozenset({*tables, MigrationRecorder.Migration._meta.db_table})


def _is_guard(name: str, table: str, sql: str) -> bool:
    said = _GUARD.fullmatch(sql)
    return said is not None and (said[1], said[2]) == (name, table) and GUARD_NAMES.get(name) == table


def _foreign(copy: Path, kind: str, name: str) -> NoBackup:
    what = f"{kind} {name}".strip()
    return NoBackup(
        str(copy),
        f"holds something that is not of a register ({what}), and is not put in its place; "
        "choose a file that 'tarsus backup' wrote",
    )
