"""Backup and restore, rehearsed: under writes, with comparison of contents, and against nonsense."""

from __future__ import annotations

import json
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from shell import tarsus, with_person

from tarsus.actions.safekeeping.holding import held
from tarsus.actions.safekeeping.refusals import NoBackup
from tarsus.actions.safekeeping.register_file import copies_in, look_through, name_by_time

WRITER = """
import sqlite3, sys
register = sqlite3.connect(sys.argv[1], isolation_level=None, timeout=60)
register.execute("PRAGMA journal_mode=WAL")
for number in range(1, 100_000):
    register.execute("BEGIN IMMEDIATE")
    exhibit = register.execute(
        'INSERT INTO records_exhibit (name, purpose, "order") VALUES (?, ?, ?)',
        (f"aviary {number}", "display", number),
    ).lastrowid
    register.execute(
        'INSERT INTO records_place (exhibit_id, name, kind, "order") VALUES (?, ?, ?, ?)',
        (exhibit, f"perch {number}", "perch", number),
    )
    register.execute("COMMIT")
    print(number, flush=True)
"""
BIRDS = b"bird,species,exhibit,marks,ring no\nKelp,Ruff,Reed House,m/W,WB 1\nDock,Ruff,Reed House,m/Y,WB 2\n"


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A register with two birds in it, made once."""
    home = with_person(tmp_path_factory.mktemp("parks") / "filled")
    done = tarsus(home, "import", "-", "--species", "Ruff=leg", "--apply", stdin=BIRDS)
    assert done.returncode == 0, done.stderr
    return home


@pytest.fixture
def home(filled: Path, tmp_path: Path) -> Path:
    """A register of this test's own."""
    return Path(shutil.copytree(filled, tmp_path / "home"))


def contents(register: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table."""
    with closing(sqlite3.connect(register)) as opened:
        query = (
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name"
        )
        names = [name for (name,) in opened.execute(query)]
        return {name: sorted(opened.execute(f'SELECT * FROM "{name}"'), key=repr) for name in names}


def guards(register: Path) -> list[str]:
    with closing(sqlite3.connect(register)) as opened:
        return sorted(
            name for (name,) in opened.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        )


def test_a_backup_under_writes_is_the_register_of_one_moment(home: Path, tmp_path: Path) -> None:
    register = home / "register.sqlite3"
    backup = tmp_path / "copy.sqlite3"
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(register)], stdout=subprocess.PIPE, text=True
    ) as writer:
        assert writer.stdout is not None
        acknowledged = 0
        while acknowledged < 50:
            acknowledged = int(writer.stdout.readline())
        done = tarsus(home, "backup", str(backup), "--json")
        assert writer.poll() is None, "the writer went on all the while"
        writer.kill()
        last = max([acknowledged, *map(int, writer.stdout.read().split())])
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["bytes"] == backup.stat().st_size

    copied = contents(backup)
    numbers = sorted(row[1] for row in copied["records_exhibit"] if str(row[1]).startswith("aviary"))
    perches = {str(row[1]) for row in copied["records_place"]}
    amount = len(numbers)
    assert set(numbers) == {f"aviary {n}" for n in range(1, amount + 1)}
    assert perches == {f"perch {n}" for n in range(1, amount + 1)}
    assert acknowledged <= amount <= last + 1, "nothing that was acknowledged before is lost"
    assert last > acknowledged, "writes went on during the backup"

    fresh = tmp_path / "other machine"
    fresh.mkdir()
    done = tarsus(fresh, "restore", str(backup))
    assert done.returncode == 0, done.stderr
    assert contents(fresh / "register.sqlite3") == copied
    assert guards(fresh / "register.sqlite3") == guards(register) != []


def test_a_restored_register_is_that_of_the_backup_and_the_other_is_kept(home: Path, tmp_path: Path) -> None:
    register = home / "register.sqlite3"
    before = contents(register)
    backup = tmp_path / "copy.sqlite3"
    assert tarsus(home, "backup", str(backup)).returncode == 0
    more = b"bird,species,exhibit,marks\nNettle,Ruff,Reed House,m/G\n"
    assert tarsus(home, "import", "-", "--letters", "wader", "--apply", stdin=more).returncode == 0
    after = contents(register)
    assert after["records_bird"] != before["records_bird"]

    done = tarsus(home, "restore", str(backup), "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["birds"] == 2
    assert contents(register) == before
    assert contents(Path(told["kept"])) == after
    exported = tarsus(home, "export", "-", "--table", "birds")
    assert [bird["name"] for bird in json.loads(exported.stdout)["birds"]] == ["Kelp", "Dock"]


def test_a_folder_gets_a_backup_named_by_its_time(home: Path, tmp_path: Path) -> None:
    done = tarsus(home, "backup", str(tmp_path))
    assert done.returncode == 0, done.stderr
    (copy,) = tmp_path.glob("register-2*.sqlite3")
    assert str(copy) in done.stdout


def test_nonsense_is_refused_and_the_register_stays_as_it_was(home: Path, tmp_path: Path) -> None:
    backup = tmp_path / "copy.sqlite3"
    assert tarsus(home, "backup", str(backup)).returncode == 0
    before = contents(home / "register.sqlite3")

    (tmp_path / "words").write_text("no register at all")
    (tmp_path / "half").write_bytes(backup.read_bytes()[: backup.stat().st_size // 2])
    torn = bytearray(backup.read_bytes())
    for place in range(4096 * 3, len(torn), 4096):
        torn[place : place + 64] = b"\xa5" * 64
    (tmp_path / "torn").write_bytes(torn)
    with closing(sqlite3.connect(tmp_path / "other")) as other:
        other.execute("CREATE TABLE shopping (item)")
        other.commit()
    shutil.copy(backup, tmp_path / "newer")
    with closing(sqlite3.connect(tmp_path / "newer")) as newer:
        later = ("records", "0999_later", "2030-01-01")
        newer.execute("INSERT INTO django_migrations (app, name, applied) VALUES (?, ?, ?)", later)
        newer.commit()
    shutil.copy(backup, tmp_path / "loose")
    with closing(sqlite3.connect(tmp_path / "loose")) as loose:
        loose.execute("UPDATE records_stay SET exhibit_id = 999")
        loose.commit()

    for name, said in (
        ("words", "is no backup of a register"),
        ("half", "is damaged"),
        ("torn", "is damaged"),
        ("other", "holds no register of birds"),
        ("loose", "a row of records_stay points nowhere"),
        ("absent", "cannot be read"),
    ):
        with pytest.raises(NoBackup, match=said):
            look_through(tmp_path / name)
    assert ("records", "0999_later") in look_through(tmp_path / "newer")
    for name, said in (
        ("torn", "is damaged"),
        ("newer", "was written by a newer Tarsus (records 0999_later)"),
    ):
        done = tarsus(home, "restore", str(tmp_path / name))
        assert (done.returncode, done.stdout) == (2, ""), name
        assert said in done.stderr, name
        assert len(done.stderr.splitlines()) == 1
    assert contents(home / "register.sqlite3") == before
    assert not list(home.glob("*until*"))
    assert not list(home.glob("*.part"))


def test_nothing_is_written_over_by_a_backup(home: Path, tmp_path: Path) -> None:
    kept = tmp_path / "precious"
    kept.write_text("another backup")
    done = tarsus(home, "backup", str(kept))
    assert (done.returncode, done.stdout) == (2, "")
    assert "is there already" in done.stderr
    assert kept.read_text() == "another backup"


def test_a_register_that_is_served_is_not_replaced(home: Path, tmp_path: Path) -> None:
    backup = tmp_path / "copy.sqlite3"
    assert tarsus(home, "backup", str(backup)).returncode == 0
    with held(home, alone=False):
        done = tarsus(home, "restore", str(backup))
    assert (done.returncode, done.stdout) == (2, "")
    assert "stop 'tarsus serve' and try again" in done.stderr
    with closing(sqlite3.connect(home / "register.sqlite3")) as reader:
        reader.execute("PRAGMA journal_mode=WAL")
        reader.execute("SELECT count(*) FROM records_bird").fetchone()
        done = tarsus(home, "restore", str(backup))
    assert done.returncode == 2, "a program that was not started by us has it open"
    assert tarsus(home, "restore", str(backup)).returncode == 0


def test_where_there_is_no_register_there_is_nothing_to_copy(tmp_path: Path) -> None:
    done = tarsus(tmp_path, "backup", str(tmp_path / "copy"))
    assert (done.returncode, done.stdout) == (2, "")
    assert "register: none is at" in done.stderr
    assert not (tmp_path / "register.sqlite3").exists()


def test_only_copies_named_by_their_time_are_cleared_away(home: Path, tmp_path: Path) -> None:
    folder = tmp_path / "copies"
    folder.mkdir()
    for name in ("register-20200101-000000.sqlite3", "register-20210101-000000.sqlite3"):
        (folder / name).write_text("old")
    (folder / "register-precious.sqlite3").write_text("by hand")
    done = tarsus(home, "backup", str(folder), "--keep", "2", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["cleared"] == 1
    left = {path.name for path in folder.iterdir()}
    fresh = Path(told["backup"]).name
    assert left == {"register-precious.sqlite3", "register-20210101-000000.sqlite3", fresh}
    assert tarsus(home, "backup", str(folder / "one.sqlite3"), "--keep", "2").returncode == 2


def test_a_damaged_register_is_said_to_be_the_damaged_one(home: Path, tmp_path: Path) -> None:
    folder = tmp_path / "copies"
    folder.mkdir()
    assert tarsus(home, "backup", str(folder)).returncode == 0
    (good,) = folder.iterdir()
    (folder / "register-20990101-000000.sqlite3").write_text("newer, and no backup")
    register = home / "register.sqlite3"
    with closing(sqlite3.connect(register)) as opened:
        opened.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    torn = bytearray(register.read_bytes())
    for place in range(4096 * 3, len(torn), 4096):
        torn[place : place + 64] = b"\xa5" * 64
    register.write_bytes(torn)
    done = tarsus(home, "backup", str(folder), "--keep", "1")
    assert (done.returncode, done.stdout) == (2, "")
    assert "register.sqlite3: is itself damaged" in done.stderr
    assert f"tarsus restore {good}" in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert len(list(folder.iterdir())) == 2, "nothing was removed, and no .part is left"


def with_spoilt_page(register: Path, of: str) -> bytes:
    """The register's file with the first page of one table or index overwritten.

    `of`: which one, as a condition on SQLite's own list.
    """
    with closing(sqlite3.connect(register)) as opened:
        opened.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        (page,) = opened.execute(f"SELECT rootpage FROM sqlite_master WHERE {of}").fetchone()
        (size,) = opened.execute("PRAGMA page_size").fetchone()
    spoilt = bytearray(register.read_bytes())
    spoilt[(page - 1) * size : page * size] = b"\xff" * size
    return bytes(spoilt)


def test_a_damaged_register_is_not_served_and_no_command_of_it_ends_in_a_traceback(
    home: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "copies"
    assert tarsus(home, "backup", TARSUS_BACKUPS=str(folder)).returncode == 0
    (good,) = folder.iterdir()
    register = home / "register.sqlite3"
    spoilt = with_spoilt_page(register, "name = 'records_bird'")  # birds alone: all else can be read
    whole = register.read_bytes()
    for contents, words in (
        (spoilt, ("serve", "--port", "8931")),
        (spoilt, ("export", str(tmp_path / "all.json"))),
        (b"XXXX" + whole[4:], ("serve", "--port", "8931")),
        (b"", ("serve", "--port", "8931")),
    ):
        register.write_bytes(contents)
        done = tarsus(home, *words, TARSUS_BACKUPS=str(folder))
        assert done.returncode == 2, done.stdout
        (said,) = done.stderr.splitlines()
        assert said.startswith(f"tarsus: {register}: is itself damaged (")
        assert said.endswith(f"and run: tarsus restore {good}")


def test_a_damaged_index_is_told_of_though_the_copy_is_whole(home: Path, tmp_path: Path) -> None:
    register = home / "register.sqlite3"
    register.write_bytes(with_spoilt_page(register, "type = 'index' AND tbl_name = 'records_sighting'"))
    copy = tmp_path / "copies" / "register-20260101-000000.sqlite3"
    copy.parent.mkdir()
    done = tarsus(home, "backup", str(copy), TARSUS_BACKUPS=str(copy.parent))
    assert done.returncode == 2
    assert "looked through and whole" in done.stdout
    assert f"{register}: is itself damaged (" in done.stderr
    assert f"tarsus restore {copy}" in done.stderr


def test_two_backups_within_one_second_are_two(tmp_path: Path) -> None:
    now = datetime(2026, 11, 27, 19, 0, 39, tzinfo=UTC)
    for _ in range(11):
        name_by_time(tmp_path, now, ".sqlite3").touch()
    (tmp_path / "register-20261127-190038.sqlite3").touch()
    newest_first = [path.name for path in copies_in(tmp_path)]
    assert newest_first[0] == "register-20261127-190039-11.sqlite3"
    assert newest_first[-2:] == ["register-20261127-190039.sqlite3", "register-20261127-190038.sqlite3"]


def test_check_says_what_is_wrong_by_its_exit_status_and_backup_goes_where_the_settings_say(
    home: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "nightly"
    said = {"TARSUS_BACKUPS": str(folder)}
    missing = tarsus(home, "check", "--json", **said)
    assert missing.returncode == 1
    assert json.loads(missing.stdout)["state"] == "wrong"
    assert tarsus(home, "backup", **said).returncode == 0
    sound = tarsus(home, "check", "--json", **said)
    assert sound.returncode == 0, sound.stdout
    told = {one["what"]: one["state"] for one in json.loads(sound.stdout)["checked"]}
    assert told["backups"] == told["register"] == told["tables"] == "well"
    nowhere = tarsus(home, "backup")
    assert nowhere.returncode == 2
    assert "TARSUS_BACKUPS names no folder" in nowhere.stderr
