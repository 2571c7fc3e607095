"""Opening the register from a shell: which one it is, and in whose name a command acts."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any, Final

from tarsus.cli.running import say_at_the_end
from tarsus.cli.upgrading import copy_before, refuse_newer, refuse_older
from tarsus.core.errors import MalformedInput, UnknownWord

BELONGS: Final = ("secret-key", "authority", "lost+found")
"""What may lie in a folder that is empty all the same."""


class RegisterNotThere(MalformedInput):
    """The register cannot be opened, or nobody is in it."""


def open_register(home: str = "", *, migrate: bool = True, make: bool = False, look: bool = False) -> None:
    """Make the register ready for this process, its tables brought up to this version of Tarsus.

    Where it is not the one of the folder that Tarsus is started in, its place is told at the end.

    Args:
        home: its folder; empty for the one that the settings name.
        migrate: whether to bring its tables up to date.
        make: whether to make one where none is. Without it a mistyped folder is told of, never filled.
        look: nothing may be written: where none is, an empty one is opened that is in memory alone, and one
            of an older Tarsus is refused instead of being brought up.

    Raises:
        OlderRegister: it is of an older Tarsus, and this is a look.
        RegisterDamaged: its file is damaged.
        RegisterNotThere: there is none, the server part is not installed, or the database cannot be opened.
        MalformedInput: a setting that nobody can follow.
    """
    if make:
        os.environ["TARSUS_NEW"] = "1"
    _set_up(home)
    _say_which(home)
    blank = look and not _is_there()
    if blank:
        say_at_the_end(f"register: {_none_there()} The file was held against an empty one; nothing is kept.")
        _open_blank()
        make = True
    elif not make and not _is_there():
        raise RegisterNotThere("register", _none_there())
    from django.db import DatabaseError

    if make and not blank:
        Path(_settings().HOME).mkdir(parents=True, exist_ok=True)
    if migrate and make and not blank and _is_an_empty_file():
        refuse_damaged_register()
    try:
        if migrate:
            _bring_tables_up_to_date(make=make, blank=blank, look=look)
    except DatabaseError as reason:
        refuse_damaged_register()
        said, where = " ".join(str(reason).split()), "TARSUS_HOME"
        if _settings().DATABASES["default"]["ENGINE"].endswith("postgresql"):
            where = "TARSUS_DATABASE"
        raise RegisterNotThere("register", f"cannot be opened ({said}); look at {where}") from None


def refuse_damaged_register() -> None:
    """Let a register whose file is whole pass. A register of PostgreSQL is looked after by its server.

    Raises:
        RegisterDamaged: its file is damaged; the last backups that are whole are named.
    """
    from tarsus.actions.safekeeping.register_file import refuse_damaged

    database, home, backups = _settings().DATABASES["default"], _settings().HOME, _settings().BACKUPS
    if "sqlite3" in database["ENGINE"]:
        folders = [Path(folder) for folder in (backups, home) if folder]
        refuse_damaged(Path(database["NAME"]).absolute(), folders)


def may_be_made(home: str, *, asked: bool) -> bool:
    """Whether a new register may be made where none is: in an empty folder, or where somebody says so.

    A forgotten TARSUS_HOME or a mistyped folder would else quietly become a second register.

    Args:
        home: its folder; empty for the one that the settings name.
        asked: whether the command line asked for a new one.

    Raises:
        RegisterNotThere: there is none, and nobody asked for one.
    """
    _set_up(home)
    if asked or _is_there() or _is_empty_place(Path(_settings().HOME)):
        return True
    if sys.stdin.isatty() and sys.stderr.isatty():
        tell(f"No register is at {where_it_is()}.")
        print("Start a new park there? [y/N] ", end="", file=sys.stderr, flush=True)
        if sys.stdin.readline().strip().lower() in ("y", "yes"):
            return True
    raise RegisterNotThere("register", _none_there())


def _is_empty_place(home: Path) -> bool:
    """Whether the folder is there and empty; where nobody named one, that in which Tarsus was started."""
    folder = home if _settings().TOLD.said["TARSUS_HOME"].source else home.parent
    return folder.is_dir() and not any(one.name not in BELONGS for one in folder.iterdir())


def _settings() -> Any:
    from django.conf import settings

    return settings


def _set_up(home: str) -> None:
    if home:
        os.environ["TARSUS_HOME"] = str(Path(home).resolve())
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tarsus.server.settings")
    try:
        import django
    except ImportError:
        raise RegisterNotThere(
            "register", "needs the server part of Tarsus; install it with: pip install 'tarsus[server]'"
        ) from None
    try:
        django.setup()
    except OSError as reason:
        said = f"{reason.filename}: {reason.strerror}"
        raise RegisterNotThere("register", f"has no home ({said}); set TARSUS_HOME or --home") from None


def where_it_is() -> str:
    """The register of this process: its file, or its database and machine, without a password."""
    from django.conf import settings

    database = settings.DATABASES["default"]
    if "sqlite3" in database["ENGINE"]:
        return str(database["NAME"])
    return f"database {database['NAME']} on {database['HOST'] or 'this machine'}"


def _say_which(home: str) -> None:
    from django.conf import settings

    for name in ("TARSUS_DATABASE", "TARSUS_HOME"):
        said = settings.TOLD.said[name]
        if said.source:
            whence = "--home" if home and name == "TARSUS_HOME" else said.source
            by = f"{name} of the environment" if whence == "environment" else whence
            say_at_the_end(f"register: {where_it_is()} ({by})")
            return


def _is_there() -> bool:
    """Whether there is something to open; of a PostgreSQL database its tables are asked later."""
    from django.conf import settings

    database = settings.DATABASES["default"]
    return "sqlite3" not in database["ENGINE"] or Path(database["NAME"]).exists()


def _is_an_empty_file() -> bool:
    """Whether a file is there with nothing in it: what a full disk or a broken copy leaves of a register."""
    from django.conf import settings

    database = settings.DATABASES["default"]
    file = Path(database["NAME"])
    return "sqlite3" in database["ENGINE"] and file.is_file() and file.stat().st_size == 0


def _none_there() -> str:
    return (
        f"none is at {where_it_is()}; name its folder with --home or TARSUS_HOME, "
        "or start a new park there with: tarsus serve --new"
    )


def _open_blank() -> None:
    from django.db import connection

    connection.settings_dict["NAME"] = ":memory:"


def _bring_tables_up_to_date(*, make: bool, blank: bool, look: bool) -> None:
    """Run the migrations that are still to run, if any; a look at a register runs none."""
    from django.core.management import call_command
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    applied = executor.loader.applied_migrations
    if not make and not applied:
        raise RegisterNotThere(
            "register", f"{where_it_is()} holds none; start a new park there with: tarsus serve"
        )
    home, backups = Path(_settings().HOME), _settings().BACKUPS
    refuse_newer(executor, where_it_is(), (home, *([Path(backups)] if backups else [])))
    if look and not blank:
        refuse_older(executor, where_it_is())
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        if applied:
            suffix = ".sqlite3" if connection.vendor == "sqlite" else ".dump"
            copy = copy_before(Path(backups or home), suffix)
            tell(f"The register is brought up to this Tarsus; as it was, it is kept as {copy}.")
        elif not blank:
            tell("Making the tables of a new register …")
        call_command("migrate", verbosity=0, interactive=False)


def person_of(login: str) -> int:
    """The person in whose name a command acts: the one of this login, or the only one there is.

    Raises:
        RegisterNotThere: nobody is in the register, or several are and none is named.
        UnknownWord: nobody has this login.
    """
    from tarsus.queries.people import people_by_login

    people = people_by_login()
    if login and login not in people:
        raise UnknownWord("--by", login, "person of this register", people)
    if login:
        return people[login]
    if not people:
        raise RegisterNotThere(
            "--by",
            "nobody is in this register yet; make the first person with tarsus serve, or with: "
            "tarsus manage createsuperuser",
        )
    if len(people) > 1:
        raise RegisterNotThere("--by", f"say in whose name it is done: {', '.join(people)}")
    return next(iter(people.values()))


def tell(line: str) -> None:
    """Say something on standard error, where it does not mix with what a command prints."""
    print(line, file=sys.stderr)
