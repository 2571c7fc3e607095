"""Fixtures of the tests that need a register: a small park, and tables that can be emptied between tests."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from typing import Any

import pytest


@pytest.fixture(scope="session", autouse=True)
def _emptying_lifts_the_guards() -> Iterator[None]:
    """Tests with real transactions empty all tables after them; the append-only guards step aside then."""
    if importlib.util.find_spec("django") is None:  # the core is tested without it
        yield
        return
    from django.db.backends.sqlite3.operations import DatabaseOperations

    from tarsus.records.append_only import lay_guards, lift_guards

    emptied = DatabaseOperations.execute_sql_flush

    def empty(self: Any, sql_list: Any) -> None:
        lift_guards(self.connection)
        emptied(self, sql_list)
        lay_guards(self.connection)

    patch = pytest.MonkeyPatch()
    patch.setattr(DatabaseOperations, "execute_sql_flush", empty)
    yield
    patch.undo()


@pytest.fixture
def park(db: None) -> Any:
    """Wendlebrook in small: see tests/wendlebrook.py."""
    import wendlebrook

    return wendlebrook.build()
