"""Whether an installation is sound: each thing that can go wrong quietly, in a sentence with its remedy."""

from __future__ import annotations

import shutil
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from tarsus.actions.safekeeping.cluster import look_through_dump
from tarsus.actions.safekeeping.refusals import CannotKeep, NoBackup
from tarsus.actions.safekeeping.register_file import copies_in, look_through, whole_backups
from tarsus.queries.waiting import waiting_facts
from tarsus.records.models import ToldDeed

WELL: Final = "well"
LOOK: Final = "look at it"
WRONG: Final = "wrong"
STATES: Final = (WELL, LOOK, WRONG)
"""From the best to the worst."""

BACKUP_EVERY: Final = timedelta(days=1, hours=12)
"""A nightly backup that is older than this did not run last night."""
BACKUP_MISSED: Final = timedelta(days=7)
WAITS_LONG: Final = timedelta(days=1)
CERTIFICATE_SOON: Final = timedelta(days=21)
CLOCKS_APART: Final = timedelta(minutes=2)
ROOM_SOON, ROOM_NOW = 2_000_000_000, 500_000_000
"""Free bytes below which a disk is to be looked at, and below which it is full."""


@dataclass(frozen=True, slots=True)
class Checked:
    """One thing that was looked at: `state` is one of `STATES`, `said` a sentence, with the remedy."""

    what: str
    state: str
    said: str


@dataclass(frozen=True, slots=True)
class LastBackup:
    """The newest backup in the folder that the settings name; `path` is `None` where there is none."""

    folder: Path
    path: Path | None
    at: datetime | None


def soundness(now: datetime) -> tuple[Checked, ...]:
    """Look at everything. Nothing is written; the backup and the register are read from end to end.

    Args:
        now: this machine's time.

    Returns:
        Database, tables, backups, disk, clock, files, certificate and waiting facts, in this order.
    """
    database = _database()
    if database.state == WRONG:
        return (database, *_of_the_machine(now))
    tables = _tables()
    if tables.state == WRONG:
        return (database, tables, *_of_the_machine(now))  # nothing can be asked of tables of another version
    return (database, tables, *_of_the_machine(now), _clock(now), _waiting(now))


def answers() -> bool:
    """Whether the register can be asked and has the tables of this version: for a health address."""
    try:
        return _tables().state == WELL
    except DatabaseError:
        return False


def worst(checked: tuple[Checked, ...]) -> str:
    """The worst state among what was looked at."""
    return max((one.state for one in checked), key=STATES.index, default=WELL)


def last_backup() -> LastBackup | None:
    """The newest backup by its name; `None` where no folder of backups is named."""
    if settings.BACKUPS is None:
        return None
    folder = Path(settings.BACKUPS)
    newest = next(iter(copies_in(folder)), None) if folder.is_dir() else None
    if newest is None:
        return LastBackup(folder, None, None)
    zone = timezone.get_current_timezone()
    return LastBackup(folder, newest, datetime.fromtimestamp(newest.stat().st_mtime, tz=zone))


def _database() -> Checked:
    what = "register"
    try:
        with connection.cursor() as asked:
            if connection.vendor != "sqlite":
                asked.execute("SELECT 1")
                return Checked(what, WELL, "The database answers.")
            found = asked.execute("PRAGMA quick_check(1)").fetchone()[0]
            loose = asked.execute("PRAGMA foreign_key_check").fetchone()
    except DatabaseError as reason:
        told = " ".join(str(reason).split())
        return Checked(what, WRONG, f"The register cannot be read ({told}): {_remedy()}.")
    if found != "ok" or loose is not None:
        told = " ".join(str(found).split()) if found != "ok" else f"a row of {loose[0]} points nowhere"
        return Checked(what, WRONG, f"The register is damaged ({told}): {_remedy()}.")
    return Checked(what, WELL, "Read from end to end; whole.")


def _remedy() -> str:
    """What to do about a damaged register, the last backup that is whole named where one is found."""
    folder = None if settings.BACKUPS is None else Path(settings.BACKUPS)
    good = [] if folder is None else whole_backups(folder, 1)
    return f"stop tarsus serve, keep the file, and run tarsus restore {good[0] if good else 'BACKUP'}"


def _tables() -> Checked:
    executor = MigrationExecutor(connection)
    if not executor.loader.applied_migrations:
        return Checked("tables", WRONG, f"There is none, so nothing is in it: {_remedy()}.")
    ahead = set(executor.loader.applied_migrations) - set(executor.loader.disk_migrations)
    if any(app == "records" for app, _ in ahead):
        return Checked("tables", WRONG, "They were made by a newer Tarsus: install that one again.")
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        return Checked(
            "tables", WRONG, "They are of an older version: back up, then start tarsus serve once."
        )
    return Checked("tables", WELL, "They are of this version.")


def _of_the_machine(now: datetime) -> Iterator[Checked]:
    yield _backups(now)
    yield _disk()
    yield _files()
    yield from _certificate(now)


def _backups(now: datetime) -> Checked:
    what, last = "backups", last_backup()
    if last is None:
        return Checked(what, LOOK, "No folder is named: set TARSUS_BACKUPS, and make one every night.")
    if last.path is None or last.at is None:
        return Checked(what, WRONG, f"None is in {last.folder}: run tarsus backup, and look at its timer.")
    when = f"The last one is of {last.at:%-d %B %Y, %H:%M} ({last.path.name})"
    try:
        _read_through(last.path)
    except (NoBackup, CannotKeep) as reason:
        good = whole_backups(last.folder, 1)
        older = f" (the last whole one is {Path(good[0]).name})" if good else ""
        return Checked(what, WRONG, f"{when}, and {reason}{older}.")
    age = now - last.at
    if age > BACKUP_MISSED:
        return Checked(what, WRONG, f"{when}: run tarsus backup, and look at its timer.")
    if age > BACKUP_EVERY:
        return Checked(what, LOOK, f"{when}: none was made last night; look at its timer.")
    return Checked(what, WELL, f"{when}, read from end to end; whole.")


def _read_through(copy: Path) -> None:
    if copy.suffix == ".sqlite3":
        look_through(copy)
    else:
        look_through_dump(copy)


def _disk() -> Checked:
    places = [Path(settings.HOME)] + ([Path(settings.BACKUPS)] if settings.BACKUPS is not None else [])
    room = {place: shutil.disk_usage(place).free for place in places if place.is_dir()}
    if not room:
        return Checked("disk", LOOK, f"{settings.HOME} is not there; set TARSUS_HOME.")
    place, free = min(room.items(), key=lambda one: one[1])
    said = f"{free / 1e9:.1f} GB are free at {place}"
    if free < ROOM_NOW:
        return Checked("disk", WRONG, f"{said}: make room now, or nothing more can be recorded.")
    if free < ROOM_SOON:
        return Checked("disk", LOOK, f"{said}: make room soon.")
    return Checked("disk", WELL, f"{said}.")


def _files() -> Checked:
    home = Path(settings.HOME)
    wide = [
        path
        for path in (home, *sorted(home.glob("register.sqlite3*")), home / "secret-key")
        if path.exists() and stat.S_IMODE(path.stat().st_mode) & 0o077
    ]
    if wide:
        names = " ".join(str(path) for path in wide)
        return Checked("files", WRONG, f"Other accounts of this machine can read them: chmod go= {names}")
    return Checked("files", WELL, "Only this account can read them.")


def _certificate(now: datetime) -> Iterator[Checked]:
    chain = Path(settings.HOME) / "authority" / "server.pem"
    if not chain.is_file():
        return
    from cryptography import x509  # heavy, and only where the park has an authority of its own

    try:
        ends = x509.load_pem_x509_certificate(chain.read_bytes()).not_valid_after_utc
    except (OSError, ValueError) as reason:
        yield Checked("certificate", WRONG, f"It cannot be read ({reason}): start tarsus serve --park again.")
        return
    said = f"Phones trust it until {ends:%-d %B %Y}"
    if ends <= now:
        yield Checked("certificate", WRONG, f"{said}: start tarsus serve --park again, it makes a new one.")
    elif ends - now < CERTIFICATE_SOON:
        yield Checked("certificate", LOOK, f"{said}: start tarsus serve --park again by then.")
    else:
        yield Checked("certificate", WELL, f"{said}.")


def _clock(now: datetime) -> Checked:
    newest = ToldDeed.objects.order_by("-recorded_at").values_list("recorded_at", flat=True).first()
    if newest is not None and newest - now > CLOCKS_APART:
        said = f"It says {now:%-d %B %Y, %H:%M}, and something was recorded on {newest:%-d %B %Y, %H:%M}"
        return Checked("clock", WRONG, f"{said}: set it, and let it follow a time server.")
    if connection.vendor == "postgresql":
        with connection.cursor() as asked:
            asked.execute("SELECT now()")
            apart = abs(asked.fetchone()[0] - timezone.now())
        if apart > CLOCKS_APART:
            return Checked("clock", WRONG, f"The database's clock is {apart} away from this one: set both.")
    return Checked("clock", WELL, "Not behind anything that was recorded.")


def _waiting(now: datetime) -> Checked:
    told = waiting_facts()
    refused = sum(fact.refused for fact in told)
    long = sum(not fact.refused and now - fact.received_at > WAITS_LONG for fact in told)
    if refused or long:
        said = f"{refused} were refused and {long} wait for longer than a day"
        return Checked(
            "facts from phones", LOOK, f"{said}: somebody looks at them under More, Waiting facts."
        )
    return Checked("facts from phones", WELL, "None waits for long.")
