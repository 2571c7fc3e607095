"""Back the register up while it runs; put a backup in its place."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.core.management import call_command
from django.db import connection, connections
from django.db.migrations.loader import MigrationLoader
from django.utils import timezone

from tarsus.actions.safekeeping.cluster import bring_back, dump_while_running
from tarsus.actions.safekeeping.foreign import refuse_foreign_file
from tarsus.actions.safekeeping.holding import held
from tarsus.actions.safekeeping.refusals import CannotKeep, NoBackup
from tarsus.actions.safekeeping.register_file import (
    BESIDE,
    clear_cut_short,
    clear_old_copies,
    copy_while_running,
    look_through,
    name_by_time,
    put_aside,
)
from tarsus.core.errors import WrongValue
from tarsus.records.append_only import lay_guards

_SUFFIXES: Final = {"sqlite": ".sqlite3", "postgresql": ".dump"}


@dataclass(frozen=True, slots=True)
class Copied:
    """Where a backup is, how large it is, and how many older ones were cleared away for it."""

    path: Path
    size: int
    cleared: int = 0


@dataclass(frozen=True, slots=True)
class PutBack:
    """What was put in the register's place, and where the one that was there is kept; empty if none was."""

    path: Path
    kept: str
    birds: int


def back_up(*, target: Path, keep: int | None = None) -> Copied:
    """Copy the register as it is at one moment, while others go on recording.

    Args:
        target: a new file, or a folder in which the copy gets a name that tells when.
        keep: with a folder, how many copies so named stay; older ones are removed once the new one is whole.

    Raises:
        CannotKeep: there is something at the target, or it cannot be written.
        RegisterDamaged: the register itself is damaged; nothing is cleared away then.
        WrongValue: fewer than one copy would be kept, or the target is no folder.
    """
    if keep is not None and (keep < 1 or not target.is_dir()):
        raise WrongValue("--keep", "goes with a folder and is at least 1; name the folder of the backups")
    if target.is_dir():
        clear_cut_short(target, timezone.now())
        target = name_by_time(target, timezone.now(), _SUFFIXES.get(connection.vendor, ""))
    if not target.parent.is_dir():
        raise CannotKeep(str(target), "is in a folder that is not there; make the folder first")
    target = target.resolve()
    if connection.vendor == "sqlite":
        size = copy_while_running(_register(), target)
    else:
        size = dump_while_running(connection.settings_dict, target)
    cleared = [] if keep is None else clear_old_copies(target.parent, keep)
    return Copied(target, size, len(cleared))


def restore(*, backup: Path, progress: Callable[[str], None] = lambda _: None) -> PutBack:
    """Put a backup in the register's place. The register that was there is kept beside it, never thrown away.

    The backup is looked through before anything is touched, and brought up to this version of Tarsus
    afterwards.

    Args:
        backup: a file that `back_up` wrote.
        progress: hears what is being done.

    Raises:
        NoBackup: it is no backup, is damaged, was written by a newer Tarsus, or holds what is not of a
            register.
        RegisterInUse: the register is being served.
        CannotKeep: there is no room for it.
    """
    now = timezone.now()
    with held(Path(settings.HOME), alone=True):
        if connection.vendor == "sqlite":
            kept = _restore_file(backup, now, progress)
        else:
            progress("Restoring the dump beside the register")
            connections.close_all()
            kept = bring_back(connection.settings_dict, backup, now)
            progress("Bringing the tables up to date")
            call_command("migrate", verbosity=0, interactive=False)
        lay_guards(connection)  # a backup may have been made while some were lifted
    from tarsus.records.models import Bird

    return PutBack(backup, kept, Bird.objects.count())


def _restore_file(backup: Path, now: datetime, progress: Callable[[str], None]) -> str:
    register = _register()
    progress("Looking the backup through")
    _refuse_newer(backup, look_through(backup.resolve()))
    refuse_foreign_file(backup)
    progress("Copying it")
    part = register.with_name(register.name + BESIDE)
    try:
        with backup.open("rb") as source, part.open("wb") as copy:
            shutil.copyfileobj(source, copy)
            copy.flush()
            os.fsync(copy.fileno())
    except OSError as reason:
        part.unlink(missing_ok=True)
        raise CannotKeep(
            str(register), f"has no room for it ({reason.strerror}); make room and try again"
        ) from None
    look_through(part)
    connections.close_all()
    progress("Putting the register aside")
    try:
        aside = put_aside(register, now)
    except Exception:
        part.unlink(missing_ok=True)
        raise
    part.replace(register)
    progress("Bringing the tables up to date")
    try:
        call_command("migrate", verbosity=0, interactive=False)
    except Exception as reason:
        connections.close_all()
        _undo(register, aside)
        raise NoBackup(
            str(backup), f"cannot be brought up to this version ({reason}); the register is as it was"
        ) from reason
    return str(aside) if aside else ""


def _undo(register: Path, aside: Path | None) -> None:
    """Put the register back that was put aside."""
    for side in ("", "-wal", "-shm"):
        register.with_name(register.name + side).unlink(missing_ok=True)
    if aside is not None:
        aside.replace(register)


def _refuse_newer(backup: Path, seen: frozenset[tuple[str, str]]) -> None:
    known: Any = MigrationLoader(None, ignore_no_migrations=True).disk_migrations
    newer = sorted(f"{app} {name}" for app, name in seen if app == "records" and (app, name) not in known)
    if newer:
        raise NoBackup(str(backup), f"was written by a newer Tarsus ({newer[0]}); update Tarsus first")


def _register() -> Path:
    return Path(str(connection.settings_dict["NAME"])).resolve()
