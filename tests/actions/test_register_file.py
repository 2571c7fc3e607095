"""The register as one file: copied whole, looked through, and moved aside so that nothing is lost."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tarsus.actions.safekeeping.refusals import CannotKeep, NoBackup, RegisterDamaged, RegisterInUse
from tarsus.actions.safekeeping.register_file import (
    clear_cut_short,
    clear_old_copies,
    copies_in,
    copy_while_running,
    look_through,
    name_by_time,
    put_aside,
    refuse_damaged,
    settle,
    whole_backups,
)

NOW = datetime(2026, 11, 27, 19, 0, 39, tzinfo=UTC)


def a_register(path: Path, *birds: str) -> Path:
    """A file with the two tables by which a register is known, and these birds."""
    with closing(sqlite3.connect(path)) as made:
        made.execute("PRAGMA journal_mode=WAL")
        made.execute("CREATE TABLE records_exhibit (id INTEGER PRIMARY KEY, name TEXT)")
        made.execute(
            "CREATE TABLE records_bird (id INTEGER PRIMARY KEY, name TEXT, "
            "exhibit_id INTEGER REFERENCES records_exhibit (id))"
        )
        made.execute("CREATE TABLE django_migrations (app TEXT, name TEXT)")
        made.execute("INSERT INTO django_migrations VALUES ('records', '0001_begin')")
        made.executemany("INSERT INTO records_bird (name) VALUES (?)", [(bird,) for bird in birds])
        made.commit()
    return path


def birds_in(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as opened:
        return [name for (name,) in opened.execute("SELECT name FROM records_bird ORDER BY id")]


def torn(path: Path) -> Path:
    """Every page after the first three spoilt."""
    with closing(sqlite3.connect(path)) as opened:
        opened.execute("CREATE TABLE filler (words TEXT)")
        opened.executemany("INSERT INTO filler VALUES (?)", [("x" * 500,)] * 200)
        opened.commit()
        opened.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    whole = bytearray(path.read_bytes())
    for place in range(4096 * 3, len(whole), 4096):
        whole[place : place + 64] = b"\xa5" * 64
    path.write_bytes(whole)
    return path


def test_a_copy_is_the_register_with_what_is_not_settled_yet(tmp_path: Path) -> None:
    register = a_register(tmp_path / "register.sqlite3", "Kelp", "Dock")
    with closing(sqlite3.connect(register)) as writer:
        writer.execute("INSERT INTO records_bird (name) VALUES ('Sedge')")
        writer.commit()
        size = copy_while_running(register, tmp_path / "copy.sqlite3")
    assert size == (tmp_path / "copy.sqlite3").stat().st_size > 0
    assert birds_in(tmp_path / "copy.sqlite3") == ["Kelp", "Dock", "Sedge"]
    assert not list(tmp_path.glob("*.part"))


def test_nothing_is_copied_from_nowhere_or_over_something(tmp_path: Path) -> None:
    with pytest.raises(CannotKeep, match=r"register: is not there, so there is nothing to copy; look at"):
        copy_while_running(tmp_path / "register", tmp_path / "copy")
    register = a_register(tmp_path / "register.sqlite3", "Kelp")
    (tmp_path / "copy").write_text("precious")
    with pytest.raises(CannotKeep, match=r"copy: is there already; choose another name, nothing is written"):
        copy_while_running(register, tmp_path / "copy")
    assert (tmp_path / "copy").read_text() == "precious"
    (tmp_path / "new.part").write_text("left over from a copy that was cut short")
    copy_while_running(register, tmp_path / "new")
    assert birds_in(tmp_path / "new") == ["Kelp"]
    with pytest.raises(CannotKeep, match=r"cannot be written .*; choose another place"):
        copy_while_running(register, tmp_path / "no folder" / "copy")


def test_a_damaged_register_is_named_with_the_backups_that_are_whole(tmp_path: Path) -> None:
    register = torn(a_register(tmp_path / "register.sqlite3", "Kelp"))
    folder = tmp_path / "copies"
    folder.mkdir()
    with pytest.raises(RegisterDamaged, match="run: tarsus restore FILE, with the last backup") as none_whole:
        copy_while_running(register, folder / "copy")
    assert none_whole.value.good == ()
    for day in ("20260101", "20260102", "20260103", "20260104"):
        a_register(folder / f"register-{day}-000000.sqlite3")
    (folder / "register-20260105-000000.sqlite3").write_text("the newest, and no backup")
    with pytest.raises(RegisterDamaged) as refusal:
        copy_while_running(register, folder / "copy")
    assert refusal.value.place == str(register)
    assert [Path(path).name for path in refusal.value.good] == [
        "register-20260104-000000.sqlite3",
        "register-20260103-000000.sqlite3",
        "register-20260102-000000.sqlite3",
    ]
    assert f"tarsus restore {refusal.value.good[0]}" in str(refusal.value)
    assert "is itself damaged" in str(refusal.value)
    assert not (folder / "copy").exists()
    assert not list(folder.glob("*.part"))


def test_a_register_whose_references_point_nowhere_is_damaged(tmp_path: Path) -> None:
    register = a_register(tmp_path / "register.sqlite3", "Kelp")
    with closing(sqlite3.connect(register)) as opened:
        opened.execute("UPDATE records_bird SET exhibit_id = 999")
        opened.commit()
    with pytest.raises(RegisterDamaged, match="a row of records_bird points nowhere"):
        copy_while_running(register, tmp_path / "copy")
    assert not (tmp_path / "copy").exists()


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("words", "words: is no backup of a register; choose a file that 'tarsus backup' wrote"),
        ("empty", "empty: is no backup of a register"),
        ("shopping", "shopping: holds no register of birds; choose a file that 'tarsus backup' wrote"),
        ("half", r"half: is damaged .*; choose an older backup"),
        ("absent", r"absent: cannot be read \(No such file or directory\); look at its name"),
    ],
)
def test_what_is_no_backup_is_not_taken_for_one(tmp_path: Path, name: str, said: str) -> None:
    (tmp_path / "words").write_text("no register at all, and longer than sixteen letters")
    (tmp_path / "empty").touch()
    with closing(sqlite3.connect(tmp_path / "shopping")) as other:
        other.execute("CREATE TABLE django_migrations (app, name)")
        other.commit()
    torn(a_register(tmp_path / "half"))
    with pytest.raises(NoBackup, match=said):
        look_through(tmp_path / name)


def test_looking_through_tells_which_migrations_a_copy_has_seen(tmp_path: Path) -> None:
    copy_while_running(a_register(tmp_path / "register.sqlite3"), tmp_path / "copy")
    assert look_through(tmp_path / "copy") == frozenset({("records", "0001_begin")})


def test_copies_are_the_files_named_by_their_time_newest_first(tmp_path: Path) -> None:
    names = (
        "register-20261127-190039.sqlite3",
        "register-20261127-190039-2.sqlite3",
        "register-20261127-190039-10.sqlite3",
        "register-20261126-235959.dump",
        "register-20270101-000000.dump",
    )
    for name in (*names, "register-precious.sqlite3", "register-2026.sqlite3", "other-20261127-190039.dump"):
        (tmp_path / name).touch()
    (tmp_path / "register-20261127-190039.sqlite3.part").touch()
    assert [path.name for path in copies_in(tmp_path)] == [names[at] for at in (4, 2, 1, 0, 3)]
    assert [path.name for path in clear_old_copies(tmp_path, 3)] == [names[0], names[3]]
    assert [path.name for path in copies_in(tmp_path)] == [names[at] for at in (4, 2, 1)]
    assert (tmp_path / "register-precious.sqlite3").exists()
    assert clear_old_copies(tmp_path, 3) == []


def test_a_name_by_time_is_nobodys_yet(tmp_path: Path) -> None:
    names = []
    for _ in range(3):
        names.append(name_by_time(tmp_path, NOW, ".sqlite3"))
        names[-1].touch()
    assert [path.name for path in names] == [
        "register-20261127-190039.sqlite3",
        "register-20261127-190039-2.sqlite3",
        "register-20261127-190039-3.sqlite3",
    ]
    assert name_by_time(tmp_path, NOW, ".dump").name == "register-20261127-190039.dump"


def test_whole_backups_are_the_newest_that_can_be_read(tmp_path: Path) -> None:
    for day in (1, 2, 3):
        a_register(tmp_path / f"register-2026010{day}-000000.sqlite3")
    (tmp_path / "register-20260104-000000.sqlite3").write_text("none")
    names = [Path(path).name for path in whole_backups(tmp_path, 2)]
    assert names == ["register-20260103-000000.sqlite3", "register-20260102-000000.sqlite3"]
    assert len(whole_backups(tmp_path)) == 3


def test_a_register_is_put_aside_whole_under_a_name_that_tells_when(tmp_path: Path) -> None:
    register = a_register(tmp_path / "register.sqlite3", "Kelp")
    aside = put_aside(register, NOW)
    assert aside == tmp_path / "register-until-20261127-190039.sqlite3"
    assert birds_in(aside) == ["Kelp"]
    assert not register.exists()
    assert put_aside(register, NOW) is None, "there is none any more"
    a_register(register, "Dock")
    with pytest.raises(CannotKeep, match="is there already; try again in a second"):
        put_aside(register, NOW)
    assert birds_in(register) == ["Dock"]
    assert birds_in(aside) == ["Kelp"]


def test_a_register_that_somebody_reads_is_not_put_aside(tmp_path: Path) -> None:
    register = a_register(tmp_path / "register.sqlite3", "Kelp")
    with closing(sqlite3.connect(register)) as reader:
        reader.execute("SELECT count(*) FROM records_bird").fetchone()
        with pytest.raises(RegisterInUse, match="is being served or used; stop 'tarsus serve' and try again"):
            put_aside(register, NOW)
    assert register.exists()
    settle(register)
    assert not register.with_name("register.sqlite3-wal").exists()


def test_a_damaged_register_is_moved_aside_as_it_is(tmp_path: Path) -> None:
    register = tmp_path / "register.sqlite3"
    register.write_text("no database any more, and that is why a backup is put in its place")
    aside = put_aside(register, NOW)
    assert aside is not None
    assert aside.read_text().startswith("no database")
    assert not list(tmp_path.glob("register.sqlite3*"))


def test_a_damaged_register_is_moved_aside_whatever_sqlite_calls_its_damage(tmp_path: Path) -> None:
    register = a_register(tmp_path / "register.sqlite3", "Kelp")
    settle(register)
    whole = bytearray(register.read_bytes())
    whole[44:48] = b"\xff" * 4  # the number of the schema's form: SQLite calls that an operational error
    register.write_bytes(whole)
    assert put_aside(register, NOW) is not None
    assert not list(tmp_path.glob("register.sqlite3*"))


def test_a_damaged_register_is_refused_with_the_whole_backups_of_the_first_folder_that_has_any(
    tmp_path: Path,
) -> None:
    for folder in ("none", "copies", "older"):
        (tmp_path / folder).mkdir()
        if folder != "none":
            a_register(tmp_path / folder / "register-20260101-000000.sqlite3")
    folders = [tmp_path / folder for folder in ("none", "copies", "older")]
    register = a_register(tmp_path / "register.sqlite3", "Kelp")
    refuse_damaged(register, folders)
    refuse_damaged(tmp_path / "absent", folders)
    with pytest.raises(RegisterDamaged, match=r"is itself damaged \(.*\); stop 'tarsus serve', keep") as said:
        refuse_damaged(torn(register), folders)
    assert said.value.good == (str(tmp_path / "copies" / "register-20260101-000000.sqlite3"),)
    assert "no copy was kept" not in str(said.value)


def test_what_is_left_of_a_copy_that_was_killed_goes_a_day_later(tmp_path: Path) -> None:
    killed = tmp_path / "register-20261125-021500.sqlite3.part"
    goes_on = tmp_path / "register-20261127-021500.sqlite3.part"
    others = tmp_path / "register-of-ours.sqlite3.part"
    for path, age in ((killed, 2), (goes_on, 0.5), (others, 2)):
        path.write_text("half a copy")
        stamp = (NOW - timedelta(days=age)).timestamp()
        os.utime(path, (stamp, stamp))
    assert clear_cut_short(tmp_path, NOW) == [killed]
    assert sorted(tmp_path.iterdir()) == [goes_on, others]
