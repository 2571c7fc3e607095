"""Tables of another version, a certificate that ends, facts that wait: each said with its remedy."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
from django.db import DatabaseError, connection
from django.db.migrations.recorder import MigrationRecorder

from actions.test_soundness import NOW, a_backup, backups, state_of
from phones import Phone
from tarsus.actions.safekeeping import soundness as sound
from tarsus.actions.safekeeping.soundness import LOOK, WELL, WRONG, answers, last_backup, soundness, worst
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["backups"]


def test_everything_is_looked_at_in_one_order_and_said_in_a_sentence(backups: Path) -> None:
    a_backup(backups, timedelta(hours=1))
    told = soundness(NOW)
    assert [one.what for one in told] == [
        "register",
        "tables",
        "backups",
        "disk",
        "files",
        "clock",
        "facts from phones",
    ]
    one_file = connection.vendor == "sqlite"
    assert told[0].said == ("Read from end to end; whole." if one_file else "The database answers.")
    assert told[1].said == "They are of this version."
    assert told[4].said == "Only this account can read them."
    assert told[5].said == "Not behind anything that was recorded."
    assert told[6].said == "None waits for long."
    assert worst(told) in (WELL, LOOK), "the disk of this machine is not ours to judge"
    assert worst(()) == WELL


def test_tables_of_a_newer_tarsus_are_wrong_and_another_applications_are_not(
    backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = MigrationRecorder.applied_migrations

    def later(app: str) -> None:
        monkeypatch.setattr(
            MigrationRecorder, "applied_migrations", lambda self: {**seen(self), (app, "0999_later"): None}
        )

    later("sessions")
    assert state_of("tables")[0] == WELL
    assert answers()
    later("records")
    assert state_of("tables") == (WRONG, "They were made by a newer Tarsus: install that one again.")
    assert not answers()


def test_tables_of_an_older_tarsus_are_brought_up_by_serving_once(
    backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound.MigrationExecutor, "migration_plan", lambda *_: [("0020_next", False)])
    said = "They are of an older version: back up, then start tarsus serve once."
    assert state_of("tables") == (WRONG, said)
    assert not answers()


def test_a_register_that_cannot_be_read_is_all_that_is_said_of_it(
    backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Broken:
        vendor = "sqlite"

        def cursor(self) -> Any:
            raise DatabaseError("disk  I/O error")

    monkeypatch.setattr(sound, "connection", Broken())
    told = soundness(NOW)
    assert [one.what for one in told] == ["register", "backups", "disk", "files"]
    assert (told[0].state, told[0].said) == (
        WRONG,
        "The register cannot be read (disk I/O error): stop tarsus serve, keep the file, "
        "and run tarsus restore BACKUP.",
    )


@pytest.mark.parametrize(
    ("check", "loose", "said"),
    [
        ("row 3 missing\nfrom index", None, "The register is damaged (row 3 missing from index): stop"),
        ("ok", ("records_stay",), "The register is damaged (a row of records_stay points nowhere): stop"),
    ],
)
def test_a_damaged_register_says_what_is_damaged(
    backups: Path, monkeypatch: pytest.MonkeyPatch, check: str, loose: Any, said: str
) -> None:
    class Answers:
        def __enter__(self) -> Any:
            return self

        def __exit__(self, *_: object) -> None:
            return None

        def execute(self, words: str) -> Any:
            self.words = words
            return self

        def fetchone(self) -> Any:
            return (check,) if "quick_check" in self.words else loose

    class Damaged:
        vendor = "sqlite"

        def cursor(self) -> Any:
            return Answers()

    monkeypatch.setattr(sound, "connection", Damaged())
    told = soundness(NOW)[0]
    assert told.state == WRONG
    assert told.said.startswith(said)


def authority(home: Path, ends: datetime) -> None:
    """A certificate of the park's own that ends then."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Wendlebrook")])
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(7)
        .not_valid_before(ends - timedelta(days=400))
        .not_valid_after(ends)
        .sign(key, hashes.SHA256())
    )
    (home / "authority").mkdir(exist_ok=True)
    pem = made.public_bytes(serialization.Encoding.PEM)
    (home / "authority" / "server.pem").write_bytes(pem)


@pytest.mark.parametrize(
    ("left", "state", "said"),
    [
        (timedelta(days=21), WELL, "."),
        (timedelta(days=20, hours=23), LOOK, ": start tarsus serve --park again by then."),
        (timedelta(0), WRONG, ": start tarsus serve --park again, it makes a new one."),
        (timedelta(days=-3), WRONG, ": start tarsus serve --park again, it makes a new one."),
    ],
)
def test_a_certificate_is_said_three_weeks_before_it_ends(
    backups: Path, settings: Any, left: timedelta, state: str, said: str
) -> None:
    ends = NOW + left
    authority(Path(settings.HOME), ends)
    assert state_of("certificate") == (state, f"Phones trust it until {ends:%-d %B %Y}{said}")


def test_a_certificate_that_is_none_is_wrong_and_a_park_without_one_is_not_asked(
    backups: Path, settings: Any
) -> None:
    assert "certificate" not in [one.what for one in soundness(NOW)]
    (Path(settings.HOME) / "authority").mkdir()
    (Path(settings.HOME) / "authority" / "server.pem").write_text("no certificate")
    told, said = state_of("certificate")
    assert told == WRONG
    assert said.startswith("It cannot be read (")
    assert said.endswith("): start tarsus serve --park again.")


def test_facts_that_were_refused_or_wait_for_a_day_are_for_somebody_to_look_at(
    backups: Path, park: Wendlebrook
) -> None:
    now = datetime.now(tz=UTC)
    tilda = Phone(park, park.actors.tilda)
    tilda.send(tilda.sighting("Kelp"))
    assert state_of("facts from phones", now)[0] == WELL
    rows.Waiting.objects.update(received_at=now - timedelta(hours=25))
    said = ": somebody looks at them under More, Waiting facts."
    assert state_of("facts from phones", now) == (
        LOOK,
        f"0 were refused and 1 wait for longer than a day{said}",
    )
    rows.Waiting.objects.update(reason="is of another exhibit")
    assert state_of("facts from phones", now) == (
        LOOK,
        f"1 were refused and 0 wait for longer than a day{said}",
    )


def test_the_disk_with_the_least_room_is_named(
    backups: Path, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def free(of: dict[Path, float]) -> None:
        monkeypatch.setattr(
            sound.shutil, "disk_usage", lambda place: type("Use", (), {"free": of[Path(place)]})
        )

    home = Path(settings.HOME)
    free({home: 9e9, backups: 1.94e9})
    assert state_of("disk") == (LOOK, f"1.9 GB are free at {backups}: make room soon.")
    free({home: 4e8, backups: 9e9})
    said = f"0.4 GB are free at {home}: make room now, or nothing more can be recorded."
    assert state_of("disk") == (WRONG, said)
    free({home: 2e9, backups: 3e9})
    assert state_of("disk") == (WELL, f"2.0 GB are free at {home}.")
    free({home: 5e8, backups: 3e9})
    assert state_of("disk")[0] == LOOK
    settings.HOME, settings.BACKUPS = home / "gone", None
    assert state_of("disk") == (LOOK, f"{home / 'gone'} is not there; set TARSUS_HOME.")


def test_the_last_backup_is_the_newest_by_its_name(backups: Path, settings: Any) -> None:
    assert last_backup() == sound.LastBackup(backups, None, None)
    a_backup(backups, timedelta(days=3))
    newest = a_backup(backups, timedelta(hours=5))
    last = last_backup()
    assert last is not None
    assert (last.folder, last.path, last.at) == (backups, newest, NOW - timedelta(hours=5))
    settings.BACKUPS = backups / "gone"
    assert last_backup() == sound.LastBackup(backups / "gone", None, None)
    settings.BACKUPS = None
    assert last_backup() is None


def test_a_dump_is_read_through_by_its_own_program(backups: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    heard: list[Path] = []
    monkeypatch.setattr(sound, "look_through_dump", heard.append)
    dump = backups / f"register-{NOW - timedelta(hours=1):%Y%m%d-%H%M%S}.dump"
    dump.write_bytes(b"PGDMP")
    state_of("backups")
    assert heard == [dump]


def test_the_clock_is_judged_by_the_newest_thing_that_was_recorded(backups: Path, park: Wendlebrook) -> None:
    for minutes in (-9, 3):
        rows.ToldDeed.objects.create(
            id=uuid4(),
            kind="note",
            by_id=park.actors.tilda,
            happened_at=NOW,
            recorded_at=NOW + timedelta(minutes=minutes),
            digest="0" * 32,
        )
    told, said = state_of("clock")
    assert told == WRONG
    assert said == (
        "It says 27 November 2026, 12:00, and something was recorded on 27 November 2026, 12:03: set it, "
        "and let it follow a time server."
    )
    assert state_of("clock", NOW + timedelta(minutes=1))[0] == WELL


def test_the_last_backups_that_are_whole_are_named_where_something_is_damaged(
    backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = a_backup(backups, timedelta(days=2))
    a_backup(backups, timedelta(hours=1)).write_bytes(b"SQLite format 3\x00 and no more")
    told, said = state_of("backups")
    assert told == WRONG
    assert said.endswith(f"(the last whole one is {whole.name}).")

    class Broken:
        vendor = "sqlite"

        def cursor(self) -> Any:
            raise DatabaseError("disk I/O error")

    monkeypatch.setattr(sound, "connection", Broken())
    assert soundness(NOW)[0].said.endswith(f"run tarsus restore {whole}.")


def test_a_register_without_a_table_is_wrong_and_nothing_more_is_asked_of_it(
    backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(MigrationRecorder, "applied_migrations", lambda _self: {})
    told = soundness(NOW)
    assert [one.what for one in told] == ["register", "tables", "backups", "disk", "files"]
    assert told[1].said.startswith(
        "There is none, so nothing is in it: stop tarsus serve, keep the file, and"
    )
