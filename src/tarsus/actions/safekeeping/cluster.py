"""The register in PostgreSQL: dumped while it runs, and a dump brought back beside it, then in its place."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from tarsus.actions.safekeeping.foreign import refuse_foreign_dump
from tarsus.actions.safekeeping.refusals import CannotKeep, NoBackup, RegisterInUse
from tarsus.actions.safekeeping.register_file import BESIDE

_MAGIC: Final = b"PGDMP"
_OFFICE: Final = "postgres"
"""The database from which others are made and named; every PostgreSQL server has it."""


def dump_while_running(database: Mapping[str, Any], target: Path) -> int:
    """Write a dump of the register of one moment, while others go on writing.

    Args:
        database: the connection's settings, as the framework keeps them.
        target: where the dump goes, in PostgreSQL's own packed form.

    Returns:
        The dump's size in bytes.

    Raises:
        CannotKeep: there is something at the target, `pg_dump` is missing, or it says no.
    """
    if target.exists():
        raise CannotKeep(str(target), "is there already; choose another name, nothing is written over")
    part = target.with_name(target.name + BESIDE)
    with _address(database, str(database["NAME"])) as register:
        words = ["pg_dump", "--format=custom", "--no-owner", f"--file={part}", f"--dbname={register}"]
        try:
            _run(words, str(target))
            look_through_dump(part)
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    return target.stat().st_size


def look_through_dump(dump: Path) -> None:
    """Read a dump from end to end: every row is unpacked, and nothing kept.

    Raises:
        NoBackup: it is no dump, or cannot be read.
        CannotKeep: PostgreSQL's programs are not installed.
    """
    _run(["pg_restore", f"--file={os.devnull}", str(dump)], str(dump), NoBackup)


def bring_back(database: Mapping[str, Any], dump: Path, now: datetime) -> str:
    """Restore a dump into a new database, and let the two change names.

    Returns:
        The name under which the register that was there is kept.

    Raises:
        NoBackup: it is no dump, cannot be restored whole, or holds what is not of a register.
        RegisterInUse: somebody is connected to the register.
        CannotKeep: this account may not make databases.
    """
    _refuse_other_files(dump)
    name = _word(str(database["NAME"]))
    refuse_foreign_dump(dump, _run(["pg_restore", "--list", str(dump)], str(dump), NoBackup))
    fresh, aside = f"{name}_coming", f"{name}_until_{now:%Y%m%d_%H%M%S}"
    _ask(database, _OFFICE, f'DROP DATABASE IF EXISTS "{fresh}"')
    _ask(database, _OFFICE, f'CREATE DATABASE "{fresh}" TEMPLATE template0')
    try:
        with _address(database, fresh) as register:
            words = ["pg_restore", "--exit-on-error", "--no-owner", f"--dbname={register}", str(dump)]
            _run(words, str(dump), NoBackup)
        if _ask(database, fresh, "SELECT to_regclass('records_bird') IS NOT NULL") != "t":
            raise NoBackup(str(dump), "holds no register of birds; choose a file that 'tarsus backup' wrote")
        _change_names(database, (name, fresh, aside))
    except Exception:
        _ask(database, _OFFICE, f'DROP DATABASE IF EXISTS "{fresh}"')
        raise
    return aside


def _refuse_other_files(dump: Path) -> None:
    try:
        with dump.open("rb") as begin:
            magic = begin.read(len(_MAGIC))
    except OSError as reason:
        raise NoBackup(str(dump), f"cannot be read ({reason.strerror}); look at its name") from None
    if magic != _MAGIC:
        raise NoBackup(
            str(dump), "is no PostgreSQL backup of a register; choose a file that 'tarsus backup' wrote"
        )


def _change_names(database: Mapping[str, Any], names: tuple[str, str, str]) -> None:
    name, fresh, aside = names
    # Of the cluster's own workers, which come and go by themselves, renaming takes care.
    clients = "backend_type = 'client backend'"
    busy = _ask(
        database, _OFFICE, f"SELECT count(*) FROM pg_stat_activity WHERE datname = '{name}' AND {clients}"
    )
    if busy != "0":
        raise RegisterInUse(name)
    _ask(database, _OFFICE, f'ALTER DATABASE "{name}" RENAME TO "{aside}"')
    _ask(database, _OFFICE, f'ALTER DATABASE "{fresh}" RENAME TO "{name}"')


def _word(name: str) -> str:
    if not name.replace("_", "").replace("-", "").isalnum():
        raise CannotKeep(name, "is no plain name of a database; rename it to letters, digits and underscores")
    return name


def _ask(database: Mapping[str, Any], name: str, question: str) -> str:
    with _address(database, name) as register:
        words = ["psql", "--no-psqlrc", "--tuples-only", "--no-align", "--set=ON_ERROR_STOP=1"]
        return _run([*words, f"--dbname={register}", f"--command={question}"], name).strip()


@contextmanager
def _address(database: Mapping[str, Any], name: str) -> Iterator[str]:
    """Where a database of this server is, for its programs.

    The password goes by way of a file that only this account can read: on a command line everybody would see
    it.
    """
    said = {"host": "HOST", "port": "PORT", "user": "USER"}
    parts = {"dbname": name} | {key: str(database[word]) for key, word in said.items() if database.get(word)}
    with tempfile.TemporaryDirectory() as folder:
        if database.get("PASSWORD"):
            file = Path(folder) / "password"
            file.touch(mode=0o600)
            password = str(database["PASSWORD"]).replace("\\", "\\\\").replace(":", "\\:")
            file.write_text(f"*:*:*:*:{password}\n", encoding="utf-8")
            parts["passfile"] = str(file)
        yield " ".join(f"{key}={_quoted(value)}" for key, value in parts.items())


def _quoted(value: str) -> str:
    escaped = value.replace("\\", "\\\\").replace("'", "\\'")
    return f"'{escaped}'"


def _run(words: Sequence[str], place: str, refusal: type[CannotKeep | NoBackup] = CannotKeep) -> str:
    """Run one of PostgreSQL's own programs."""
    if shutil.which(words[0]) is None:
        raise CannotKeep(words[0], "is not installed; install it with: apt-get install postgresql-client")
    done = subprocess.run(list(words), capture_output=True, text=True, check=False)
    if done.returncode:
        reason = " ".join(done.stderr.split()) or f"status {done.returncode}"
        raise refusal(place, f"{words[0]} says no ({reason}); mend that and try again")
    return done.stdout
