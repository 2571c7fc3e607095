"""A register as it stood, kept and put back in a moment: only for tests, and only on SQLite."""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.db import connection
from django.db.backends.sqlite3.creation import DatabaseCreation

Kept = sqlite3.Connection


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


def _migrations() -> Iterable[Path]:
    """Every file that says what an empty register is: all migrations, and the guards that they lay."""
    from tarsus.records import append_only

    yield Path(append_only.__file__)
    for app in apps.get_app_configs():
        yield from sorted((Path(app.path) / "migrations").glob("*.py"))


def migrated() -> Path:
    """Where the register is kept that these very migrations made."""
    digest = sha256(sqlite3.sqlite_version.encode())
    for file in _migrations():
        digest.update(file.read_bytes())
    return Path(tempfile.gettempdir()) / f"tarsus-migrated-{os.getuid()}-{digest.hexdigest()[:16]}.sqlite3"


def begin_migrated(patch: pytest.MonkeyPatch) -> None:
    """Let the tests' register begin as a copy of one that the same migrations made before, if any did."""
    made = DatabaseCreation._create_test_db

    def create(self: Any, *told: Any, **named: Any) -> str:
        name: str = made(self, *told, **named)
        if migrated().exists():
            shutil.copyfile(migrated(), name)
        return name

    patch.setattr(DatabaseCreation, "_create_test_db", create)


def keep_migrated() -> None:
    """Keep the register that the migrations have just made for the tests that come later."""
    if connection.vendor != "sqlite" or migrated().exists():
        return
    part = migrated().with_suffix(f".{os.getpid()}")
    copy = sqlite3.connect(part)
    connection.ensure_connection()
    connection.connection.backup(copy)
    copy.close()
    part.replace(migrated())
