"""Which state the register is in: told twice the same, nothing was written between, by whomever.

Nothing is counted when somebody writes, so nobody waits for a counter: both databases know it themselves.
"""

from __future__ import annotations

import atexit
import os
import sqlite3
import threading
from collections.abc import Hashable
from contextlib import suppress
from pathlib import Path
from typing import Final

from django.db import connection

_File = tuple[int, Path, int, int]
"""A process and the file that it watches: its path, and which file of which disk stands there."""


def version_now(*, within: bool = False) -> Hashable | None:
    """The state that the register is in now; `None` where this connection might see another one.

    Whatever is read after this call on a connection outside of any transaction shows at least this state.
    Within one it may be an older one, or one with writes that are nobody else's yet: there nothing is told.

    Args:
        within: this connection is in a transaction that only reads and has begun to: whether the state is
            still the one that was told before it began.

    Source:
        SQLite's `PRAGMA data_version`, asked on a connection that never writes: it changes with every commit
        of another connection or process. PostgreSQL's `pg_current_snapshot`: equal snapshots see the same
        transactions.
    """
    if connection.in_atomic_block and not within:
        return None
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            # A register that is set back to an earlier moment comes with another start of its server.
            cursor.execute("SELECT pg_current_snapshot()::text, pg_postmaster_start_time()::text")
            return ("postgresql", *cursor.fetchone())
    if connection.vendor == "sqlite":
        return _WATCH.version(Path(connection.settings_dict["NAME"]).absolute())
    return None


class Watch:
    """One connection of this process that only watches the register's file."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._watched: tuple[_File, sqlite3.Connection] | None = None
        self._opened = 0

    def version(self, register: Path) -> Hashable | None:
        """The state of the file; `None` for a register that is no file of its own."""
        try:
            there = register.stat()
        except OSError:
            return None
        # Another file in its place is another register; after a fork the connection is the parent's.
        file = (os.getpid(), register, there.st_dev, there.st_ino)
        with self._lock:
            try:
                if self._watched is None or self._watched[0] != file:
                    self._open(register, file)
                assert self._watched is not None
                told = self._watched[1].execute("PRAGMA data_version").fetchone()[0]
            except sqlite3.Error:
                self._close()  # busy or gone: this page is made anew, and the next one looks again
                return None
            return ("sqlite", self._opened, file, int(told))

    def _open(self, register: Path, file: _File) -> None:
        self._close()
        opened = sqlite3.connect(f"{register.as_uri()}?mode=rw", uri=True, check_same_thread=False)
        self._watched = (file, opened)
        self._opened += 1

    def _close(self) -> None:
        if self._watched is not None and self._watched[0][0] == os.getpid():
            with suppress(sqlite3.Error):
                self._watched[1].close()
        self._watched = None

    def close(self) -> None:
        """Let the file go."""
        with self._lock:
            self._close()


_WATCH: Final = Watch()
atexit.register(_WATCH.close)
