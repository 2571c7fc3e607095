"""A register as it stood, kept and put back in a moment: only for tests, and only on SQLite."""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
import time
from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path
from typing import Any

import django
import pytest
from django.apps import apps
from django.db import connection
from django.db.backends.sqlite3.creation import DatabaseCreation

Kept = sqlite3.Connection
KEPT_FOR_S = 7 * 24 * 3600
"""What other migrations made a week ago is thrown away."""


def keep() -> Kept:
    """The whole register as it stands, copied page by page."""
    kept = sqlite3.connect(":memory:", check_same_thread=False)
    connection.ensure_connection()
    connection.connection.backup(kept)
    return kept


def put_back(kept: Kept) -> None:
    """Make the register what it was. It waits for whoever still writes."""
    connection.ensure_connection()
    kept.backup(connection.connection)


def holds_nothing(kept: Kept) -> bool:
    """Whether it is empty indeed: a server that answered late may have written after the emptying."""
    tables = kept.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name LIKE 'records_%'")
    return all(kept.execute(f'SELECT 1 FROM "{table}"').fetchone() is None for (table,) in tables.fetchall())


def _migrations() -> Iterable[Path]:
    """Every file that says what an empty register is: all migrations, and the guards that they lay."""
    from tarsus.records import append_only

    yield Path(append_only.__file__)
    for app in apps.get_app_configs():
        yield from sorted((Path(app.path) / "migrations").glob("*.py"))


def migrated() -> Path:
    """Where the register is kept that these very migrations made."""
    digest = sha256(f"{sqlite3.sqlite_version} {django.__version__}".encode())
    for file in _migrations():
        digest.update(file.name.encode() + file.read_bytes())
    return Path(tempfile.gettempdir()) / f"{_kept_ones()}{digest.hexdigest()[:16]}.sqlite3"


def _kept_ones() -> str:
    return f"tarsus-migrated-{os.getuid()}-"


def is_ours(file: Path) -> bool:
    """Whether a file is there that nobody else put there: the temporary folder is everybody's."""
    return file.is_file() and not file.is_symlink() and file.stat().st_uid == os.getuid()


def begin_migrated(patch: pytest.MonkeyPatch) -> None:
    """Let the tests' register begin as a copy of one that the same migrations made before, if any did."""
    made = DatabaseCreation._create_test_db

    def create(self: Any, *told: Any, **named: Any) -> str:
        name: str = made(self, *told, **named)
        if is_ours(migrated()):
            begin_as(migrated(), name)
        return name

    patch.setattr(DatabaseCreation, "_create_test_db", create)


def begin_as(kept: Path, name: str) -> None:
    """Begin a register as a copy of another.

    A run that was killed left its log behind, and its process number comes again: SQLite throws such a log
    away beside an empty file, but would read it into a copy.
    """
    sweep_beside(name)
    shutil.copyfile(kept, name)


def begun(home: Path) -> None:
    """Begin a home's register as what the migrations made before, if any did: they take half a minute."""
    home.mkdir(parents=True, exist_ok=True)
    if is_ours(migrated()):
        shutil.copy(migrated(), home / "register.sqlite3")


def sweep_beside(name: str) -> None:
    """Throw away what SQLite laid beside a register that nobody has open any more."""
    for log in ("-wal", "-shm", "-journal"):
        Path(f"{name}{log}").unlink(missing_ok=True)


def keep_migrated() -> None:
    """Keep the register that the migrations have just made for the tests that come later."""
    if connection.vendor != "sqlite" or migrated().exists():
        return
    number, part = tempfile.mkstemp(prefix="tarsus-migrating-")
    os.close(number)
    copy = sqlite3.connect(part)
    connection.ensure_connection()
    connection.connection.backup(copy)
    copy.close()
    Path(part).replace(migrated())
    for old in migrated().parent.glob(f"{_kept_ones()}*"):
        if is_ours(old) and time.time() - old.stat().st_mtime > KEPT_FOR_S:
            old.unlink(missing_ok=True)
