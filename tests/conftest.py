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
# A guard asks whether a change broke something: it draws the same examples each time. All others draw anew.
settings.register_profile("guard", parent=settings.get_profile("busy"), derandomize=True)
settings.load_profile(os.environ.get("TARSUS_TEST_PROFILE", "busy"))


_REGISTER = frozenset({"db", "transactional_db", "django_db_setup", "live_server"})
"""Fixtures by which a test asks the register anything."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--register", action="store_true", help="only tests that ask the register anything")


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line(
        "markers", "both_databases: asks a register in a process of its own, so no fixture says so"
    )


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """With `--register` the tests are those of the register, whichever database it is in."""
    if config.getoption("--register"):
        asks = [item for item in items if _asks_the_register(item)]
        config.hook.pytest_deselected(items=[item for item in items if not _asks_the_register(item)])
        items[:] = asks


def _asks_the_register(item: pytest.Item) -> bool:
    marked = any(item.get_closest_marker(mark) for mark in ("django_db", "both_databases", "postgresql"))
    return marked or not _REGISTER.isdisjoint(getattr(item, "fixturenames", ()))


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings: None, django_db_use_migrations: bool
) -> Iterator[None]:
    """On SQLite the migrations run once; what they made is kept for as long as no migration changes."""
    import kept_register

    patch = pytest.MonkeyPatch()
    if django_db_use_migrations:
        kept_register.begin_migrated(patch)
    yield
    patch.undo()


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: Any, django_db_use_migrations: bool) -> None:
    """What was made from the models alone (`--no-migrations`) has no guards, and is nothing to begin with."""
    import kept_register

    if django_db_use_migrations:
        with django_db_blocker.unblock():
            kept_register.keep_migrated()


@pytest.fixture(scope="session", autouse=True)
def _emptied_at_once() -> Iterator[None]:
    """Tests with real transactions empty the register after them: on SQLite by putting an empty one back.

    The first of them empties table by table, the append-only guards stepping aside; what that leaves is kept.
    """
    if importlib.util.find_spec("django") is None:  # the core is tested without it
        yield
        return
    from django.db import connection
    from django.db.backends.sqlite3.base import DatabaseOperations
    from django.test import TransactionTestCase

    import kept_register
    from tarsus.records.append_only import lay_guards, lift_guards

    emptied, torn_down = DatabaseOperations.execute_sql_flush, TransactionTestCase._fixture_teardown
    empty: list[kept_register.Kept] = []

    def flush(self: Any, sql_list: Any) -> None:
        lift_guards(self.connection)
        emptied(self, sql_list)
        lay_guards(self.connection)

    def tear_down(self: Any) -> None:
        if empty:
            kept_register.put_back(empty[0])
            return
        torn_down(self)
        if connection.vendor == "sqlite":
            empty.extend(kept for kept in [kept_register.keep()] if kept_register.holds_nothing(kept))

    patch = pytest.MonkeyPatch()
    patch.setattr(DatabaseOperations, "execute_sql_flush", flush)
    patch.setattr(TransactionTestCase, "_fixture_teardown", tear_down)
    yield
    patch.undo()


@pytest.fixture
def park(db: None) -> Any:
    """Wendlebrook in small: see tests/wendlebrook.py."""
    import wendlebrook

    return wendlebrook.build()
