"""The tests' own register begins as the migrations made it: nothing older, half-made or foreign."""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from kept_register import begin_as, holds_nothing, is_ours

ROOT = Path(__file__).resolve().parents[2]


def register_with(path: Path, name: str) -> sqlite3.Connection:
    held = sqlite3.connect(path)
    held.execute("PRAGMA journal_mode = wal")
    with held:
        held.execute("CREATE TABLE records_bird (name)")
        held.execute("INSERT INTO records_bird VALUES (?)", (name,))
    return held


def birds_in(path: Path) -> list[str]:
    with contextlib.closing(sqlite3.connect(path)) as held:
        return [name for (name,) in held.execute("SELECT name FROM records_bird")]


def test_a_register_does_not_begin_with_what_a_killed_run_left(tmp_path: Path) -> None:
    killed = register_with(tmp_path / "killed", "Dock")
    shutil.copyfile(tmp_path / "killed-wal", tmp_path / "new-wal")
    killed.close()
    register_with(tmp_path / "kept", "Kelp").close()
    begin_as(tmp_path / "kept", str(tmp_path / "new"))
    assert birds_in(tmp_path / "new") == ["Kelp"]


def test_a_register_into_which_a_late_server_wrote_is_not_kept_as_empty(tmp_path: Path) -> None:
    with contextlib.closing(register_with(tmp_path / "one", "Kelp")) as held:
        assert not holds_nothing(held)
        held.execute("DELETE FROM records_bird")
        assert holds_nothing(held)


def test_what_somebody_else_put_there_is_not_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file, link = tmp_path / "kept", tmp_path / "link"
    assert not is_ours(file)
    file.touch()
    link.symlink_to(file)
    assert is_ours(file)
    assert not is_ours(link)
    me = os.getuid()
    monkeypatch.setattr(os, "getuid", lambda: me + 1)
    assert not is_ours(file)


def test_what_was_made_without_migrations_is_not_kept(tmp_path: Path) -> None:
    quick = "tests/actions/test_devices.py::test_a_person_who_left_is_nobodys_voice"
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-p",
            "no:cacheprovider",
            "-p",
            "no:xdist",
            "--no-migrations",
            quick,
        ],
        cwd=ROOT,
        env={**os.environ, "TMPDIR": str(tmp_path), "TARSUS_DATABASE": ""},
        capture_output=True,
        timeout=600,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout
    assert [file.name for file in tmp_path.glob("tarsus-*")] == [], "nor is anything else left behind"
