"""What goes wrong quietly is said, each thing by itself, with its remedy."""

from __future__ import annotations

import os
import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from pages import shown
from tarsus.actions.safekeeping import soundness as sound
from tarsus.actions.safekeeping.soundness import LOOK, WELL, WRONG, soundness, worst
from tarsus.records.models import Person, ToldDeed
from wendlebrook import build

NOW = datetime(2026, 11, 27, 12, 0, tzinfo=UTC)
pytestmark = pytest.mark.django_db


def state_of(what: str, now: datetime = NOW) -> tuple[str, str]:
    return next((one.state, one.said) for one in soundness(now) if one.what == what)


@pytest.fixture
def backups(settings: Any, tmp_path: Path) -> Path:
    settings.HOME = tmp_path / "home"
    settings.HOME.mkdir(mode=0o700)
    settings.BACKUPS = tmp_path / "copies"
    settings.BACKUPS.mkdir()
    return tmp_path / "copies"


def a_backup(folder: Path, age: timedelta) -> Path:
    """A file that passes for a register's copy, so old."""
    path = folder / f"register-{NOW - age:%Y%m%d-%H%M%S}.sqlite3"
    with sqlite3.connect(path) as made:
        made.execute("CREATE TABLE records_bird (id INTEGER)")
        made.execute("CREATE TABLE django_migrations (app TEXT, name TEXT)")
    made.close()
    stamp = (NOW - age).timestamp()
    os.utime(path, (stamp, stamp))
    return path


@pytest.mark.parametrize(
    ("hours", "state"), [(1, WELL), (35, WELL), (37, LOOK), (7 * 24 - 1, LOOK), (7 * 24 + 1, WRONG)]
)
def test_a_backup_is_looked_at_by_its_age(backups: Path, hours: int, state: str) -> None:
    a_backup(backups, timedelta(days=40))
    a_backup(backups, timedelta(hours=hours))
    assert state_of("backups")[0] == state


def test_a_fresh_backup_that_cannot_be_read_is_wrong(backups: Path) -> None:
    path = a_backup(backups, timedelta(hours=1))
    path.write_bytes(path.read_bytes()[:3000])
    told, said = state_of("backups")
    assert told == WRONG
    assert "choose an older backup" in said or "is no backup" in said


def test_no_folder_and_an_empty_folder_are_told_apart(backups: Path, settings: Any) -> None:
    assert state_of("backups")[0] == WRONG
    settings.BACKUPS = None
    assert state_of("backups") == (
        LOOK,
        "No folder is named: set TARSUS_BACKUPS, and make one every night.",
    )


def test_a_full_disk_is_said_before_it_is_full(backups: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for free, state in ((3e9, WELL), (1e9, LOOK), (1e8, WRONG)):
        monkeypatch.setattr(
            sound.shutil, "disk_usage", lambda _place, free=free: type("Use", (), {"free": free})
        )
        assert state_of("disk")[0] == state


def test_files_that_others_can_read_are_named_with_the_command_that_mends_it(
    backups: Path, settings: Any
) -> None:
    key = Path(settings.HOME) / "secret-key"
    key.write_text("k")
    key.chmod(0o644)
    told, said = state_of("files")
    assert told == WRONG
    assert said.endswith(f"chmod go= {key}")
    key.chmod(0o600)
    assert state_of("files")[0] == WELL


def test_a_clock_behind_the_record_is_wrong(backups: Path) -> None:
    park = build()
    ToldDeed.objects.create(
        id="5f2c7a7e-5a8e-4a3c-9d55-0f6a1d1d4e11",
        kind="note",
        by=Person.objects.get(pk=park.actors.tilda),
        happened_at=NOW,
        recorded_at=NOW + timedelta(minutes=3),
        digest="0" * 32,
    )
    assert state_of("clock", NOW)[0] == WRONG
    assert state_of("clock", NOW + timedelta(minutes=2))[0] == WELL


def test_the_worst_of_all_is_what_the_command_ends_by() -> None:
    told = tuple(sound.Checked("a", state, "") for state in (WELL, LOOK))
    assert worst(told) == LOOK
    assert worst((*told, sound.Checked("b", WRONG, ""))) == WRONG
    assert worst(()) == WELL


def test_the_health_address_says_one_word_to_anybody(monkeypatch: pytest.MonkeyPatch) -> None:
    answer = Client().get("/health")
    assert (answer.status_code, answer.json()) == (200, {"state": "well"})
    monkeypatch.setattr("tarsus.web.soundness.answers", lambda: False)
    assert Client().get("/health").status_code == 503


def test_an_administrator_reads_it_on_a_page_and_a_keeper_does_not(backups: Path) -> None:
    park = build()
    a_backup(backups, timedelta(hours=1))
    for login, status in ((park.actors.tilda, 403), (None, 200)):
        person = (
            Person.objects.get(pk=login)
            if login
            else Person.objects.create_user(
                "ann", "a long walk to the north", display_name="Ann", role="administrator"
            )
        )
        client = Client()
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        page = client.get("/settings/sound/")
        assert page.status_code == status
    text = shown(page)
    assert "Register" in text
    assert "register-" in text
    today = shown(client.get("/"))
    assert "Last backup: 27 November" in today
