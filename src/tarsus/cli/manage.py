"""Upkeep of the register (migrations, people)."""

from __future__ import annotations

import os
from typing import Final

from tarsus.core.errors import UnknownWord

SUMMARY: Final = "Upkeep of the register (migrations, people)."
COMMANDS: Final = {
    "migrate": "bring the tables up to this version, no copy made first; with --new make them",
    "showmigrations": "which steps of the tables are done",
    "createsuperuser": "make a first person, an administrator",
    "changepassword": "give a person a new password",
    "clearsessions": "forget sessions that are over",
    "axes_reset": "let people sign in again who tried too often",
    "makemigrations": "for developers: write the next step of the tables",
    "check": "the framework's own look at the settings",
}

NEED_NONE: Final = ("makemigrations", "check")
"""Those that look at Tarsus itself and at no register."""


def run(args: list[str]) -> int:
    """Hand over to those of the framework's own upkeep commands that cannot empty or bypass a register.

    Raises:
        UnknownWord: any other word.
    """
    wished = args[0] if args else "help"
    if wished in ("help", "--help", "-h"):
        width = max(map(len, COMMANDS))
        print("\n".join(f"tarsus manage {name:<{width}}  {what}" for name, what in COMMANDS.items()))
        return 0
    if wished not in COMMANDS:
        raise UnknownWord("manage", wished, "upkeep command", COMMANDS)
    make = wished == "migrate" and "--new" in args
    args = [word for word in args if word != "--new"]
    if wished in NEED_NONE:
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tarsus.server.settings")
    else:
        from tarsus.cli.register import open_register

        open_register(migrate=False, make=make)
    from django.core.management import execute_from_command_line

    execute_from_command_line(["tarsus manage", *args])
    return 0
