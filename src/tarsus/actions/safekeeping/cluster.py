"""The register in PostgreSQL: dumped while it runs, and a dump brought back beside it, then in its place."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from tarsus.actions.safekeeping.refusals import CannotKeep, NoBackup, RegisterInUse
from tarsus.actions.safekeeping.register_file import BESIDE

_MAGIC = b"PGDMP"


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
    _run(
        database,
        ["pg_dump", "--format=custom", "--no-owner", f"--file={part}", database["NAME"]],
        str(target),
    )
    _run(database, ["pg_restore", "--list", str(part)], str(target))
    part.replace(target)
    return target.stat().st_size


def bring_back(database: Mapping[str, Any], dump: Path, now: datetime) -> str:
    """Restore a dump into a new database, and let the two change names.

    Returns:
        The name under which the register that was there is kept.

    Raises:
        NoBackup: it is no dump, or cannot be restored whole.
        RegisterInUse: somebody is connected to the register.
        CannotKeep: this account may not make databases.
    """
    try:
        with dump.open("rb") as begin:
            magic = begin.read(len(_MAGIC))
    except OSError as reason:
        raise NoBackup(str(dump), f"cannot be read ({reason.strerror}); look at its name") from None
    if magic != _MAGIC:
        raise NoBackup(
            str(dump), "is no PostgreSQL backup of a register; choose a file that 'tarsus backup' wrote"
        )
    name = str(database["NAME"])
    fresh, aside = f"{name}_coming", f"{name}_until_{now:%Y%m%d_%H%M%S}"
    _run(database, ["dropdb", "--if-exists", fresh], name)
    _run(database, ["createdb", "--template=template0", fresh], name)
    try:
        words = ["pg_restore", "--exit-on-error", "--no-owner", f"--dbname={fresh}", str(dump)]
        _run(database, words, str(dump), NoBackup)
        if _ask(database, fresh, "SELECT to_regclass('records_bird') IS NOT NULL") != "t":
            raise NoBackup(str(dump), "holds no register of birds; choose a file that 'tarsus backup' wrote")
        _change_names(database, (name, fresh, aside))
    except Exception:
        _run(database, ["dropdb", "--if-exists", fresh], name)
        raise
    return aside


def _change_names(database: Mapping[str, Any], names: tuple[str, str, str]) -> None:
    name, fresh, aside = names
    busy = _ask(
        database, "postgres", f"SELECT count(*) FROM pg_stat_activity WHERE datname = '{_word(name)}'"
    )
    if busy != "0":
        raise RegisterInUse(name)
    _ask(database, "postgres", f'ALTER DATABASE "{_word(name)}" RENAME TO "{_word(aside)}"')
    _ask(database, "postgres", f'ALTER DATABASE "{_word(fresh)}" RENAME TO "{_word(name)}"')


def _word(name: str) -> str:
    if not name.replace("_", "").replace("-", "").isalnum():
        raise CannotKeep(name, "is no plain name of a database; rename it to letters, digits and underscores")
    return name


def _ask(database: Mapping[str, Any], name: str, question: str) -> str:
    words = [
        "psql",
        "--no-psqlrc",
        "--tuples-only",
        "--no-align",
        "--set=ON_ERROR_STOP=1",
        f"--dbname={name}",
    ]
    return _run(database, [*words, f"--command={question}"], name).strip()


def _run(
    database: Mapping[str, Any],
    words: Sequence[str],
    place: str,
    refusal: type[CannotKeep | NoBackup] = CannotKeep,
) -> str:
    """Run one of PostgreSQL's own programs against this server."""
    if shutil.which(words[0]) is None:
        raise CannotKeep(words[0], "is not installed; install it with: apt-get install postgresql-client")
    said = {"PGHOST": "HOST", "PGPORT": "PORT", "PGUSER": "USER", "PGPASSWORD": "PASSWORD"}
    environment = {
        **os.environ,
        **{key: str(database[name]) for key, name in said.items() if database.get(name)},
    }
    done = subprocess.run(list(words), capture_output=True, text=True, check=False, env=environment)
    if done.returncode:
        reason = " ".join(done.stderr.split()) or f"status {done.returncode}"
        raise refusal(place, f"{words[0]} says no ({reason}); mend that and try again")
    return done.stdout
