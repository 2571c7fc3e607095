"""`tarsus backup`: a whole copy of the register, made while it runs."""

from __future__ import annotations

import argparse
from contextlib import suppress
from pathlib import Path
from typing import Final

from tarsus.cli.running import parser_for, print_document
from tarsus.core.errors import MalformedInput

SUMMARY: Final = "Copy the register while it runs."


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("backup", SUMMARY)
    options.add_argument(
        "target",
        nargs="?",
        default="",
        metavar="TARGET",
        help="a new file, or a folder for a file named by the time; without it, the folder of TARSUS_BACKUPS",
    )
    options.add_argument(
        "--keep", type=int, metavar="N", help="in a folder: keep the newest N copies and remove older ones"
    )
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument("--json", action="store_true", help="print one JSON document instead of a sentence")
    return options


def run(args: list[str]) -> int:
    """Copy, look the copy through, and say where it is; refuse where the register turns out to be damaged."""
    wishes = parser().parse_args(args)
    from tarsus.cli.progress import doing
    from tarsus.cli.register import open_register, refuse_damaged_register

    open_register(wishes.home, migrate=False)
    from django.db import DatabaseError
    from django.utils import timezone

    from tarsus.actions.photographs import clear_pictures
    from tarsus.actions.safekeeping.deed import back_up

    with suppress(DatabaseError):  # a damaged register is told of as such by the copying below
        clear_pictures(timezone.now())  # what is to be gone is not copied once more

    target, keep = _where(wishes.target, wishes.keep)
    with doing("Copying the register", quiet=wishes.json):
        copied = back_up(target=target, keep=keep)
    if wishes.json:
        print_document({"backup": str(copied.path), "bytes": copied.size, "cleared": copied.cleared})
    else:
        print(
            f"The register is copied to {copied.path} ({copied.size / 1e6:.1f} MB), looked through and whole."
        )
        if copied.cleared:
            print(f"{copied.cleared} older copies were removed; the newest {keep} are kept.")
    refuse_damaged_register()  # a copy has indexes of its own: it may be whole where the register is not
    return 0


def _where(target: str, keep: int | None) -> tuple[Path, int | None]:
    """Where the copy goes and how many stay: as asked, else as the settings say."""
    from django.conf import settings

    if target:
        return Path(target), keep
    if settings.BACKUPS is None:
        raise MalformedInput(
            "TARGET", "is missing and TARSUS_BACKUPS names no folder; say where the copy is to go"
        )
    folder = Path(settings.BACKUPS)
    folder.mkdir(parents=True, exist_ok=True)
    return folder, settings.BACKUPS_KEEP if keep is None else keep
