"""The register as one SQLite file: copied while it runs, looked through, and put in another's place."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from tarsus.actions.safekeeping.refusals import CannotKeep, NoBackup, RegisterDamaged, RegisterInUse

_MAGIC: Final = b"SQLite format 3\x00"
_SIDES: Final = ("-wal", "-shm", "-journal")
_TAKEN: Final = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
"""What SQLite says, in the lower byte of its code, where somebody else has the file open."""
BESIDE: Final = ".part"
CUT_SHORT: Final = timedelta(days=1)
"""What a copy wrote last, so long ago: that copy was ended in its midst, and none still goes on."""
_NAMED_BY_TIME: Final = re.compile(r"register-\d{8}-\d{6}(?:-\d+)?\.(?:sqlite3|dump)")


def copy_while_running(register: Path, target: Path) -> int:
    """Write a whole and settled copy of a register that others are writing to.

    Args:
        register: the file in use.
        target: where the copy goes; it appears there only once it is whole and was looked through.

    Returns:
        The copy's size in bytes.

    Raises:
        CannotKeep: there is something at the target, or it cannot be written.
        RegisterDamaged: the register is damaged; the backups beside the target that are whole are named.

    Source:
        SQLite's VACUUM INTO: one read transaction, so the copy is the register of one moment; writers go on.
    """
    if not register.exists():
        raise CannotKeep(
            str(register), "is not there, so there is nothing to copy; look at TARSUS_HOME or --home"
        )
    if target.exists():
        raise CannotKeep(str(target), "is there already; choose another name, nothing is written over")
    part = target.with_name(target.name + BESIDE)
    part.unlink(missing_ok=True)
    try:
        with closing(sqlite3.connect(register.as_uri() + "?mode=ro", uri=True, timeout=60)) as running:
            running.execute("VACUUM INTO ?", (str(part),))
        look_through(part)
        part.replace(target)
    except NoBackup as reason:
        raise RegisterDamaged(str(register), reason.message, whole_backups(target.parent)) from None
    except (sqlite3.Error, OSError) as reason:
        if damage := damage_of(register):
            raise RegisterDamaged(str(register), damage, whole_backups(target.parent)) from None
        raise CannotKeep(str(target), f"cannot be written ({reason}); choose another place") from None
    finally:
        part.unlink(missing_ok=True)
    return target.stat().st_size


def refuse_damaged(register: Path, folders: Iterable[Path]) -> None:
    """Let a register whose file is whole pass; one that is not there is not damaged.

    Args:
        register: the file.
        folders: where its backups may lie.

    Raises:
        RegisterDamaged: it is damaged; the newest whole backups of the first folder that has any are named.
    """
    if register.exists() and (damage := damage_of(register)):
        good = next((found for folder in folders if (found := whole_backups(folder))), [])
        raise RegisterDamaged(str(register), damage, good, copying=False)


def damage_of(register: Path) -> str:
    """What is wrong with the register's own file, empty where nothing is. SQLite may blame the copy."""
    if register.stat().st_size == 0:
        return "nothing is in it"  # to SQLite a sound database without a table
    try:
        with closing(sqlite3.connect(register.as_uri() + "?mode=ro", uri=True, timeout=60)) as running:
            told = str(running.execute("PRAGMA quick_check(1)").fetchone()[0])
    except sqlite3.Error as reason:
        return str(reason)
    return "" if told == "ok" else " ".join(told.split())


def copies_in(folder: Path) -> list[Path]:
    """The backups in a folder that are named by their time, the newest first."""
    found = [path for path in folder.glob("register-*") if _NAMED_BY_TIME.fullmatch(path.name)]
    return sorted(found, key=_told_by_name, reverse=True)


def _told_by_name(copy: Path) -> tuple[str, int]:
    day, clock, *again = copy.stem.removeprefix("register-").split("-")
    return day + clock, int(again[0]) if again else 1


def name_by_time(folder: Path, now: datetime, suffix: str) -> Path:
    """A name in a folder that tells when, and that nothing has yet: two backups in one second are two."""
    named = folder / f"register-{now:%Y%m%d-%H%M%S}{suffix}"
    again = 1
    while named.exists():
        again += 1
        named = folder / f"register-{now:%Y%m%d-%H%M%S}-{again}{suffix}"
    return named


def whole_backups(folder: Path, most: int = 3) -> list[str]:
    """The newest backups in a folder that are whole from end to end."""
    whole: list[str] = []
    for path in copies_in(folder):
        try:
            look_through(path)
        except NoBackup:
            continue
        whole.append(str(path))
        if len(whole) == most:
            break
    return whole


def clear_old_copies(folder: Path, keep: int) -> list[Path]:
    """Remove all but the newest copies that are named by their time; nothing else is touched.

    Returns:
        What was removed, the newest first.
    """
    old = copies_in(folder)[keep:]
    for path in old:
        path.unlink()
    return old


def clear_cut_short(folder: Path, now: datetime) -> list[Path]:
    """Remove what is left of copies named by their time that were cut short, a day after their last write.

    Returns:
        What was removed.
    """
    left = [path for path in folder.glob(f"register-*{BESIDE}") if _NAMED_BY_TIME.fullmatch(path.stem)]
    old = [path for path in left if path.stat().st_mtime < (now - CUT_SHORT).timestamp()]
    for path in old:
        path.unlink(missing_ok=True)
    return old


def look_through(copy: Path) -> frozenset[tuple[str, str]]:
    """Look a copy through from end to end.

    Returns:
        The migrations that it has seen, as pairs of application and name.

    Raises:
        NoBackup: it is no SQLite file, no register, is damaged, or its references point nowhere.
    """
    try:
        with copy.open("rb") as begin:
            magic = begin.read(len(_MAGIC))
    except OSError as reason:
        raise NoBackup(str(copy), f"cannot be read ({reason.strerror}); look at its name") from None
    if magic != _MAGIC:
        raise NoBackup(str(copy), "is no backup of a register; choose a file that 'tarsus backup' wrote")
    try:
        with closing(sqlite3.connect(copy.as_uri() + "?mode=ro&immutable=1", uri=True)) as looked_at:
            found = [row[0] for row in looked_at.execute("PRAGMA integrity_check(3)")]
            if found != ["ok"]:
                raise NoBackup(str(copy), f"is damaged ({found[0]}); choose an older backup")
            loose = looked_at.execute("PRAGMA foreign_key_check").fetchone()
            if loose is not None:
                raise NoBackup(
                    str(copy), f"is damaged (a row of {loose[0]} points nowhere); choose an older backup"
                )
            return _migrations(copy, looked_at)
    except sqlite3.DatabaseError as reason:
        raise NoBackup(str(copy), f"is damaged ({reason}); choose an older backup") from None


def _migrations(copy: Path, looked_at: sqlite3.Connection) -> frozenset[tuple[str, str]]:
    tables = {row[0] for row in looked_at.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not {"django_migrations", "records_bird"} <= tables:
        raise NoBackup(str(copy), "holds no register of birds; choose a file that 'tarsus backup' wrote")
    return frozenset(looked_at.execute("SELECT app, name FROM django_migrations"))


def settle(register: Path) -> None:
    """Bring everything of a register into its one file, so that the file can be moved.

    Raises:
        RegisterInUse: somebody still has it open.
    """
    try:
        with closing(sqlite3.connect(register, timeout=5)) as last:
            last.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            mode = last.execute("PRAGMA journal_mode=DELETE").fetchone()[0]
    except sqlite3.DatabaseError as reason:
        if (reason.sqlite_errorcode & 0xFF) in _TAKEN:
            raise RegisterInUse(str(register)) from None
        return  # It is damaged, which may be why a backup is put in its place: it is moved aside as it is.
    if mode != "delete":
        raise RegisterInUse(str(register))


def put_aside(register: Path, now: datetime) -> Path | None:
    """Move a register out of the way, under a name that tells when; nothing where there is none.

    Raises:
        RegisterInUse: somebody still has it open.
    """
    if not register.exists():
        return None
    settle(register)
    aside = register.with_name(f"{register.stem}-until-{now:%Y%m%d-%H%M%S}{register.suffix}")
    if aside.exists():
        raise CannotKeep(str(aside), "is there already; try again in a second")
    for side in _SIDES:
        left = register.with_name(register.name + side)
        if left.exists():
            left.replace(aside.with_name(aside.name + side))
    register.replace(aside)
    return aside
