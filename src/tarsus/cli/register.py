"""Opening the register from a shell, and in whose name a command acts."""

from __future__ import annotations

import os
import sys

from tarsus.core.errors import MalformedInput, UnknownWord


class RegisterNotThere(MalformedInput):
    """The register cannot be opened, or nobody is in it."""


def open_register(home: str = "", *, migrate: bool = True) -> None:
    """Make the register ready for this process, its tables brought up to this version of Tarsus.

    Raises:
        RegisterNotThere: the server part is not installed, or the database cannot be opened.
    """
    from tarsus.cli.opening import bring_tables_up_to_date, choose_home

    if home:
        choose_home(home)
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
    from django.db import DatabaseError

    try:
        if migrate:
            bring_tables_up_to_date()
    except DatabaseError as reason:
        said = " ".join(str(reason).split())
        raise RegisterNotThere("register", f"cannot be opened ({said}); look at TARSUS_HOME") from None


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
            "nobody is in this register yet; make the first person with: tarsus manage createsuperuser",
        )
    if len(people) > 1:
        raise RegisterNotThere("--by", f"say in whose name it is done: {', '.join(people)}")
    return next(iter(people.values()))


def tell(line: str) -> None:
    """Say something on standard error, where it does not mix with what a command prints."""
    print(line, file=sys.stderr)
