"""Backing a register up and putting a copy in its place, from the deed down to the file."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from actions.test_register_file import a_register, birds_in
from tarsus.actions.safekeeping import deed
from tarsus.actions.safekeeping.deed import back_up, restore
from tarsus.actions.safekeeping.holding import held
from tarsus.actions.safekeeping.refusals import CannotKeep, NoBackup, RegisterInUse
from tarsus.core.errors import WrongValue

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif("connection.vendor != 'sqlite'", reason="the register here is one file"),
]


@pytest.fixture
def register(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, settings: Any) -> Path:
    """A register of its own, with Kelp and Dock, where the settings say it is."""
    home = tmp_path / "home"
    home.mkdir()
    settings.HOME = home
    path = a_register(home / "register.sqlite3", "Kelp", "Dock")
    monkeypatch.setitem(connection.settings_dict, "NAME", str(path))
    # The test's own register is in memory and would be gone with its connection.
    monkeypatch.setattr(deed.connections, "close_all", lambda: None)
    return path


@pytest.fixture
def brought_up(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Any, ...]]:
    """The framework's own step that brings tables up to date, which tests of the deed do not need."""
    told: list[tuple[Any, ...]] = []
    monkeypatch.setattr(deed, "call_command", lambda *words, **more: told.append((*words, more)))
    return told


def left(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_a_backup_goes_where_it_was_said_or_into_the_folder_under_its_time(
    register: Path, tmp_path: Path
) -> None:
    copied = back_up(target=tmp_path / "copy.sqlite3")
    assert (copied.path, copied.size, copied.cleared) == (
        tmp_path / "copy.sqlite3",
        (tmp_path / "copy.sqlite3").stat().st_size,
        0,
    )
    assert birds_in(copied.path) == ["Kelp", "Dock"]
    folder = tmp_path / "copies"
    folder.mkdir()
    named = back_up(target=folder).path
    assert named.parent == folder
    assert named.name.startswith("register-2")
    assert named.suffix == ".sqlite3"


def test_older_copies_are_cleared_for_a_new_one_and_only_where_that_was_asked(
    register: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "copies"
    folder.mkdir()
    for year in (2001, 2002, 2003):
        (folder / f"register-{year}0101-000000.sqlite3").touch()
    assert back_up(target=folder).cleared == 0
    copied = back_up(target=folder, keep=2)
    assert copied.cleared == 3
    assert len(left(folder)) == 2
    assert copied.path.exists()
    assert back_up(target=folder, keep=1).cleared == 2


def test_a_backup_into_a_folder_clears_what_is_left_of_one_that_was_killed(
    register: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "copies"
    folder.mkdir()
    part = folder / "register-20010101-000000.sqlite3.part"
    part.write_text("half a copy")
    os.utime(part, (1, 1))
    copied = back_up(target=folder)
    assert left(folder) == {copied.path.name}


@pytest.mark.parametrize(("keep", "where"), [(0, "."), (-1, "."), (1, "copy.sqlite3")])
def test_how_many_are_kept_goes_with_a_folder_and_is_one_at_least(
    register: Path, tmp_path: Path, keep: int, where: str
) -> None:
    with pytest.raises(WrongValue, match="--keep: goes with a folder and is at least 1; name the folder of"):
        back_up(target=tmp_path / where, keep=keep)
    assert left(tmp_path) == {"home"}


def test_a_folder_that_is_not_there_is_not_made(register: Path, tmp_path: Path) -> None:
    with pytest.raises(CannotKeep, match="is in a folder that is not there; make the folder first"):
        back_up(target=tmp_path / "copies" / "copy.sqlite3")


def test_a_restored_backup_stands_in_the_registers_place_and_that_one_beside_it(
    register: Path, tmp_path: Path, brought_up: list[Any]
) -> None:
    backup = known_copy(tmp_path)
    steps: list[str] = []
    put_back = restore(backup=backup, progress=steps.append)
    assert birds_in(register) == ["Sedge"]
    assert Path(put_back.kept).parent == register.parent
    assert birds_in(Path(put_back.kept)) == ["Kelp", "Dock"]
    assert put_back.path == backup
    assert put_back.birds == 0, "counted in the register that answers now"
    assert steps == [
        "Looking the backup through",
        "Copying it",
        "Putting the register aside",
        "Bringing the tables up to date",
    ]
    assert brought_up == [("migrate", {"verbosity": 0, "interactive": False})]
    assert not [name for name in left(register.parent) if name.endswith(".part")]


def test_where_there_was_no_register_none_is_kept(
    register: Path, tmp_path: Path, brought_up: list[Any]
) -> None:
    register.unlink()
    for side in ("-wal", "-shm"):
        register.with_name(register.name + side).unlink(missing_ok=True)
    assert restore(backup=known_copy(tmp_path)).kept == ""
    assert birds_in(register) == ["Sedge"]


def test_a_backup_of_a_newer_tarsus_is_refused_and_an_unknown_one_of_others_is_not(
    register: Path, tmp_path: Path, brought_up: list[Any]
) -> None:
    backup = a_register(tmp_path / "backup", "Sedge")
    loader = MigrationLoader(None, ignore_no_migrations=True)
    known = [one for one in loader.disk_migrations if one[0] == "records"]
    with closing(sqlite3.connect(backup)) as opened:
        opened.execute("DELETE FROM django_migrations")
        opened.executemany("INSERT INTO django_migrations VALUES (?, ?)", known)
        opened.execute("INSERT INTO django_migrations VALUES ('sessions', '0999_later')")
        opened.commit()
    restore(backup=backup)
    assert birds_in(register) == ["Sedge"]
    newer = a_register(tmp_path / "newer", "Thrift")
    with closing(sqlite3.connect(newer)) as opened:
        opened.execute("UPDATE django_migrations SET name = '0999_later'")
        opened.commit()
    with pytest.raises(
        NoBackup, match=r"was written by a newer Tarsus \(records 0999_later\); update Tarsus first"
    ):
        restore(backup=newer)
    assert birds_in(register) == ["Sedge"]


def test_a_backup_that_cannot_be_brought_up_leaves_the_register_as_it_was(
    register: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise RuntimeError("no such table")

    monkeypatch.setattr(deed, "call_command", fails)
    before = left(register.parent)
    with pytest.raises(
        NoBackup, match=r"cannot be brought up to this version \(no such table\); the register is as it was"
    ):
        restore(backup=known_copy(tmp_path))
    assert birds_in(register) == ["Kelp", "Dock"]
    assert left(register.parent) - before == {"held"}


def known_copy(folder: Path) -> Path:
    backup = a_register(folder / "backup", "Sedge")
    with closing(sqlite3.connect(backup)) as opened:
        opened.execute("DELETE FROM django_migrations")
        opened.commit()
    return backup


def test_a_register_in_use_is_not_replaced_and_nothing_is_left_of_the_try(
    register: Path, tmp_path: Path, brought_up: list[Any]
) -> None:
    backup = known_copy(tmp_path)
    with held(register.parent, alone=False), pytest.raises(RegisterInUse):
        restore(backup=backup)
    with closing(sqlite3.connect(register)) as reader:
        reader.execute("SELECT count(*) FROM records_bird").fetchone()
        with pytest.raises(RegisterInUse):
            restore(backup=backup)
    assert not list(register.parent.glob("*.part"))
    assert birds_in(register) == ["Kelp", "Dock"]
    assert brought_up == []


def refused(home: Path, *, alone: bool) -> None:
    with pytest.raises(RegisterInUse, match="is being served or used"), held(home, alone=alone):
        pass


def test_servers_hold_a_register_together_and_a_restore_alone(tmp_path: Path) -> None:
    with held(tmp_path, alone=False), held(tmp_path, alone=False):
        refused(tmp_path, alone=True)
    with held(tmp_path, alone=True):
        for alone in (True, False):
            refused(tmp_path, alone=alone)
    with held(tmp_path, alone=True):
        pass


FOREIGN = {
    "table extra": "CREATE TABLE extra (id INTEGER)",
    "view birds": "CREATE VIEW birds AS SELECT * FROM records_bird",
    "trigger heard": (
        "CREATE TRIGGER heard AFTER INSERT ON records_bird BEGIN DELETE FROM records_exhibit; END"
    ),
    "trigger records_bird_no_delete": (
        'CREATE TRIGGER records_bird_no_delete BEFORE DELETE ON "records_bird" '
        "BEGIN SELECT RAISE(IGNORE); END"
    ),
    "trigger records_exhibit_no_update": (
        'CREATE TRIGGER records_exhibit_no_update BEFORE UPDATE ON "records_exhibit" '
        "BEGIN SELECT RAISE(ABORT, 'no'); END"
    ),
    "table records_stay": "CREATE VIRTUAL TABLE records_stay USING fts5(words)",
}


@pytest.mark.parametrize("what", FOREIGN)
def test_a_backup_with_anything_that_is_not_of_a_register_is_not_put_in_its_place(
    register: Path, tmp_path: Path, brought_up: list[Any], what: str
) -> None:
    backup = known_copy(tmp_path)
    with closing(sqlite3.connect(backup)) as opened:
        opened.execute(FOREIGN[what])
        opened.commit()
    before = left(register.parent)
    with pytest.raises(NoBackup, match="holds something that is not of a register") as refusal:
        restore(backup=backup)
    assert f"({what})" in str(refusal.value)
    assert birds_in(register) == ["Kelp", "Dock"]
    assert left(register.parent) - before == {"held"}
    assert brought_up == []


def test_a_guard_of_an_older_version_with_other_words_is_a_guard(
    register: Path, tmp_path: Path, brought_up: list[Any]
) -> None:
    backup = known_copy(tmp_path)
    with closing(sqlite3.connect(backup)) as opened:
        opened.execute(
            'CREATE TRIGGER records_bird_no_delete BEFORE DELETE ON "records_bird" '
            "BEGIN SELECT RAISE(ABORT, 'birds stay'); END"
        )
        opened.commit()
    restore(backup=backup)
    assert birds_in(register) == ["Sedge"]


def test_a_restored_register_has_its_guards_whatever_the_backup_had(
    register: Path, tmp_path: Path, brought_up: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    laid: list[Any] = []
    monkeypatch.setattr(deed, "lay_guards", laid.append)
    restore(backup=known_copy(tmp_path))
    assert laid == [connection]
