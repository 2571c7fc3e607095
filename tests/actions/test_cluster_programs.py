"""What is asked of PostgreSQL's own programs, in which order; stand-ins of them write down what they hear.

The programs themselves are tried in test_safekeeping_postgresql.py, where a server is.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tarsus.actions.safekeeping.cluster import bring_back, dump_while_running, look_through_dump
from tarsus.actions.safekeeping.refusals import CannotKeep, NoBackup, RegisterInUse

NOW = datetime(2026, 11, 27, 19, 0, 39, tzinfo=UTC)
PARK = {"NAME": "park_birds", "HOST": "db.park.example", "USER": "tarsus"}
STAND_IN = """#!/bin/sh
echo "$(basename "$0") $*" >> "{heard}"
case "$*" in
  *{fails}*) echo "the server  says
no" >&2; exit 3;;
esac
for word in "$@"; do
  case "$word" in
    --file=*) printf 'PGDMP and the rest' > "${{word#--file=}}";;
    *pg_stat_activity*) echo "{busy}";;
    *to_regclass*) echo "{holds}";;
  esac
done
"""


class Programs:
    """A folder of stand-ins on the search path."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.log = folder / "programs", folder / "heard"
        self.folder.mkdir()
        self.speak()

    def speak(self, fails: str = "nothing-fails", busy: str = "0", holds: str = "t") -> None:
        for name in ("pg_dump", "pg_restore", "psql"):
            program = self.folder / name
            program.write_text(STAND_IN.format(heard=self.log, fails=fails, busy=busy, holds=holds))
            program.chmod(0o755)

    def heard(self) -> list[str]:
        return self.log.read_text().splitlines() if self.log.exists() else []

    def asked(self) -> list[str]:
        """The statements, in order."""
        told = (line.partition("--command=")[2] for line in self.heard())
        return [one for one in told if one]


@pytest.fixture
def programs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Programs:
    made = Programs(tmp_path)
    monkeypatch.setenv("PATH", f"{made.folder}:/usr/bin:/bin")
    return made


@pytest.fixture
def dump(tmp_path: Path) -> Path:
    path = tmp_path / "register.dump"
    path.write_bytes(b"PGDMP and the rest")
    return path


def test_a_dump_is_written_beside_its_place_and_read_before_it_goes_there(
    programs: Programs, tmp_path: Path
) -> None:
    target = tmp_path / "copy.dump"
    assert dump_while_running(PARK, target) == len("PGDMP and the rest")
    wrote, read = programs.heard()
    part = tmp_path / "copy.dump.part"
    address = "dbname='park_birds' host='db.park.example' user='tarsus'"
    assert wrote == f"pg_dump --format=custom --no-owner --file={part} --dbname={address}"
    assert read == f"pg_restore --file=/dev/null {part}"
    assert not part.exists()


def test_a_dump_that_cannot_be_read_goes_nowhere(programs: Programs, tmp_path: Path) -> None:
    target = tmp_path / "copy.dump"
    programs.speak(fails="--file=/dev/null")
    with pytest.raises(NoBackup, match=r"pg_restore says no \(the server says no\); mend that and try again"):
        dump_while_running(PARK, target)
    programs.speak(fails="--format")
    with pytest.raises(CannotKeep, match=rf"{target}: pg_dump says no \(the server says no\)"):
        dump_while_running(PARK, target)
    assert not list(tmp_path.glob("copy*"))
    target.write_text("precious")
    with pytest.raises(CannotKeep, match="is there already; choose another name, nothing is written over"):
        dump_while_running(PARK, target)
    assert target.read_text() == "precious"


def test_a_program_that_is_not_installed_is_named_with_what_installs_it(
    dump: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path / "nothing"))
    with pytest.raises(
        CannotKeep, match="pg_restore: is not installed; install it with: apt-get install postgresql-client"
    ):
        look_through_dump(dump)


def test_a_dump_is_restored_beside_the_register_and_then_the_two_change_names(
    programs: Programs, dump: Path
) -> None:
    assert bring_back(PARK, dump, NOW) == "park_birds_until_20261127_190039"
    assert programs.asked() == [
        'DROP DATABASE IF EXISTS "park_birds_coming"',
        'CREATE DATABASE "park_birds_coming" TEMPLATE template0',
        "SELECT to_regclass('records_bird') IS NOT NULL",
        "SELECT count(*) FROM pg_stat_activity WHERE datname = 'park_birds'"
        " AND backend_type = 'client backend'",
        'ALTER DATABASE "park_birds" RENAME TO "park_birds_until_20261127_190039"',
        'ALTER DATABASE "park_birds_coming" RENAME TO "park_birds"',
    ]
    into = [line for line in programs.heard() if line.startswith("pg_restore")]
    address = "dbname='park_birds_coming' host='db.park.example' user='tarsus'"
    assert into == [
        f"pg_restore --list {dump}",
        f"pg_restore --exit-on-error --no-owner --dbname={address} {dump}",
    ], "what it holds is looked at before any of it is run"
    asked = [line for line in programs.heard() if line.startswith("psql")]
    words = "psql --no-psqlrc --tuples-only --no-align --set=ON_ERROR_STOP=1"
    assert all(line.startswith(f"{words} --dbname=dbname=") for line in asked)
    offices = ["park_birds_coming" in line.partition("--command")[0] for line in asked]
    assert offices == [False, False, True, False, False, False], "only its own table is asked of the new one"


@pytest.mark.parametrize(
    ("speaks", "refusal", "said"),
    [
        ({"fails": "--exit-on-error"}, NoBackup, "pg_restore says no"),
        ({"holds": "f"}, NoBackup, "holds no register of birds; choose a file that 'tarsus backup' wrote"),
        ({"busy": "2"}, RegisterInUse, "park_birds: is being served or used"),
        ({"fails": "RENAME"}, CannotKeep, "psql says no"),
    ],
)
def test_where_it_cannot_be_restored_the_register_stays_and_the_new_one_goes(
    programs: Programs, dump: Path, speaks: dict[str, str], refusal: type[Exception], said: str
) -> None:
    programs.speak(**speaks)
    with pytest.raises(refusal, match=said):
        bring_back(PARK, dump, NOW)
    assert programs.asked()[-1] == 'DROP DATABASE IF EXISTS "park_birds_coming"'
    assert 'ALTER DATABASE "park_birds_coming" RENAME TO "park_birds"' not in programs.asked()


def test_what_is_no_dump_is_refused_before_anything_is_asked(
    programs: Programs, tmp_path: Path, dump: Path
) -> None:
    words = tmp_path / "words"
    words.write_text("PGDM, and no dump")
    with pytest.raises(NoBackup, match="is no PostgreSQL backup of a register; choose a file that"):
        bring_back(PARK, words, NOW)
    with pytest.raises(NoBackup, match=r"cannot be read \(No such file or directory\); look at its name"):
        bring_back(PARK, tmp_path / "absent", NOW)
    for name in ('park"; DROP', "park birds", ""):
        with pytest.raises(CannotKeep, match="is no plain name of a database; rename it to letters, digits"):
            bring_back({**PARK, "NAME": name}, dump, NOW)
    assert programs.heard() == []
    bring_back({**PARK, "NAME": "park-birds_2"}, dump, NOW)


def test_a_program_that_says_nothing_is_told_by_its_status(
    programs: Programs, dump: Path, tmp_path: Path
) -> None:
    quiet = programs.folder / "pg_restore"
    quiet.write_text("#!/bin/sh\nexit 7\n")
    with pytest.raises(NoBackup, match=r"pg_restore says no \(status 7\)"):
        look_through_dump(dump)
