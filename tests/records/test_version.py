"""The register's version: the same twice, and nothing was written between, by whomever."""

from __future__ import annotations

import shutil
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from django.db import connection, transaction

from tarsus.records.models import Colour
from tarsus.records.version import Watch, version_now
from wendlebrook import build


def stays(between: Callable[[], object] = lambda: None) -> bool:
    """Whether the version is the same before and after: in one of some tries.

    PostgreSQL's snapshots are of the whole cluster, in which its own housekeeping and other tests write too.
    """
    for _ in range(30):
        before = version_now()
        between()
        if version_now() == before is not None:
            return True
        time.sleep(0.05)
    return False


@pytest.mark.django_db(transaction=True)
def test_a_write_makes_another_version_and_a_read_none() -> None:
    build()
    assert stays(lambda: list(Colour.objects.all()))
    before = version_now()
    Colour.objects.update(faded_hex="#123456")
    assert version_now() != before


@pytest.mark.django_db(transaction=True)
def test_a_write_of_somebody_else_makes_another_version_once_it_is_everybodys() -> None:
    build()
    other = connection.copy()
    try:
        other.set_autocommit(False)
        with other.cursor() as cursor:
            cursor.execute("UPDATE records_park SET name = 'Elsewhere'")
        assert stays()
        while_it_writes = version_now()
        other.commit()
        assert version_now() not in (None, while_it_writes)
    finally:
        other.close()


@pytest.mark.django_db(transaction=True)
def test_a_transaction_is_told_no_version_for_it_may_see_an_older_register() -> None:
    build()
    with transaction.atomic():
        assert version_now() is None
    assert version_now() is not None


def test_another_file_in_the_registers_place_is_another_version(tmp_path: Path) -> None:
    register, restored = tmp_path / "register.sqlite3", tmp_path / "restored.sqlite3"
    with closing(sqlite3.connect(register)) as made:
        made.execute("CREATE TABLE bird (name TEXT)")
    shutil.copy(register, restored)
    watch = Watch()
    try:
        before = watch.version(register)
        assert before is not None
        assert watch.version(register) == before
        restored.replace(register)
        assert watch.version(register) not in (None, before)
    finally:
        watch.close()


def test_a_register_that_is_no_file_has_no_version(tmp_path: Path) -> None:
    assert Watch().version(tmp_path / "nowhere.sqlite3") is None
