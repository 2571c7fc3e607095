"""Backup and restore of a register in PostgreSQL, with its own programs, against a cluster for the tests."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection, connections

from tarsus.actions.safekeeping.cluster import look_through_dump
from tarsus.actions.safekeeping.deed import back_up, restore
from tarsus.actions.safekeeping.refusals import CannotKeep, NoBackup

pytestmark = [pytest.mark.postgresql, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def programs(monkeypatch: pytest.MonkeyPatch) -> None:
    """PostgreSQL's own programs, which Debian keeps off the path."""
    (newest, *_) = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    monkeypatch.setenv("PATH", f"{newest}:/usr/bin:/bin")


@pytest.fixture
def home(tmp_path: Path, settings: Any) -> Path:
    """A folder in which the register is held."""
    settings.HOME = tmp_path
    return tmp_path


def names() -> list[str]:
    from tarsus.records.models import Exhibit

    return sorted(Exhibit.objects.values_list("name", flat=True))


def test_a_dump_is_brought_back_and_the_register_that_was_there_is_kept(
    programs: None, home: Path, tmp_path: Path
) -> None:
    from tarsus.records.models import Exhibit

    name = connection.settings_dict["NAME"]
    Exhibit.objects.create(name="Reed House")
    dump = back_up(target=tmp_path / "register.dump")
    assert dump.size == dump.path.stat().st_size > 1000
    Exhibit.objects.create(name="Shingle Aviary")
    done = restore(backup=dump.path)
    assert names() == ["Reed House"]
    connections.close_all()
    # What was there is kept under another name; the test takes it back, so that the database is its own
    # again.
    connection.settings_dict["NAME"] = done.kept
    assert names() == ["Reed House", "Shingle Aviary"]
    connections.close_all()
    connection.settings_dict["NAME"] = name
    call_command("check", verbosity=0)


def test_what_is_no_dump_is_refused(programs: None, home: Path, tmp_path: Path) -> None:
    (tmp_path / "words").write_text("no dump")
    with pytest.raises(NoBackup, match="is no PostgreSQL backup of a register"):
        restore(backup=tmp_path / "words")
    dump = back_up(target=tmp_path / "register.dump")
    half = tmp_path / "half"
    half.write_bytes(dump.path.read_bytes()[: dump.size // 2])
    with pytest.raises(NoBackup, match="pg_restore says no"):
        restore(backup=half)
    with pytest.raises(CannotKeep, match="is there already"):
        back_up(target=dump.path)
    assert names() == []


def test_a_dump_that_is_spoilt_within_is_no_backup(programs: None, home: Path, tmp_path: Path) -> None:
    dump = back_up(target=tmp_path / "register.dump")
    spoilt = bytearray(dump.path.read_bytes())
    spoilt[-2000:-1000] = b"\xa5" * 1000  # rows, far behind the list that stands first
    dump.path.write_bytes(spoilt)
    with pytest.raises(NoBackup, match="pg_restore says no"):
        look_through_dump(dump.path)


@pytest.mark.parametrize(
    ("made", "gone"),
    [
        ("CREATE TABLE extra (id integer)", "DROP TABLE extra"),
        ("CREATE VIEW birds AS SELECT 1 AS one", "DROP VIEW birds"),
        ("CREATE SCHEMA other", "DROP SCHEMA other"),
        (
            "CREATE TRIGGER extra BEFORE INSERT ON records_exhibit FOR EACH ROW "
            "EXECUTE FUNCTION records_append_only('no')",
            "DROP TRIGGER extra ON records_exhibit",
        ),
    ],
)
def test_a_dump_with_anything_that_is_not_of_a_register_is_not_put_in_its_place(
    programs: None, home: Path, tmp_path: Path, made: str, gone: str
) -> None:
    with connection.cursor() as cursor:
        cursor.execute(made)
    try:
        dump = back_up(target=tmp_path / "register.dump")
    finally:
        with connection.cursor() as cursor:
            cursor.execute(gone)
    with pytest.raises(NoBackup, match="holds something that is not of a register"):
        restore(backup=dump.path)
    assert names() == []
