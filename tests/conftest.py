"""Fixtures of the tests that need a register: a small park, and tables that can be emptied between tests."""

from __future__ import annotations

import importlib.util
import os
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

# How long a busy machine takes to draw an example is no property of ours.
settings.register_profile("busy", suppress_health_check=[HealthCheck.too_slow], deadline=None)
settings.load_profile("busy")


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "both_databases: runs on SQLite, and once more on PostgreSQL")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Where the register is a PostgreSQL one, the tests for both databases are the PostgreSQL tests."""
    if os.environ.get("TARSUS_DATABASE", "").startswith("postgresql:"):
        for item in items:
            if item.get_closest_marker("both_databases"):
                item.add_marker(pytest.mark.postgresql)


@pytest.fixture(scope="session", autouse=True)
def _emptying_lifts_the_guards() -> Iterator[None]:
    """Tests with real transactions empty all tables after them; the append-only guards step aside then."""
    if importlib.util.find_spec("django") is None:  # the core is tested without it
        yield
        return
    from django.db.backends.sqlite3.base import DatabaseOperations

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
