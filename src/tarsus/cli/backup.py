"""`tarsus backup`: a whole copy of the register, made while it runs."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from tarsus.cli.running import parser_for, print_document

SUMMARY: Final = "Copy the register while it runs."


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("backup", SUMMARY)
    options.add_argument(
        "target", metavar="TARGET", help="a new file, or a folder for a file named by the time"
    )
    options.add_argument(
        "--keep", type=int, metavar="N", help="in a folder: keep the newest N copies and remove older ones"
    )
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument("--json", action="store_true", help="print one JSON document instead of a sentence")
    return options


def run(args: list[str]) -> int:
    """Copy, look the copy through, and say where it is."""
    wishes = parser().parse_args(args)
    from tarsus.cli.progress import doing
    from tarsus.cli.register import open_register

    open_register(wishes.home, migrate=False)
    from tarsus.actions.safekeeping.deed import back_up

    with doing("Copying the register", quiet=wishes.json):
        copied = back_up(target=Path(wishes.target), keep=wishes.keep)
    if wishes.json:
        print_document({"backup": str(copied.path), "bytes": copied.size, "cleared": copied.cleared})
    else:
        print(
            f"The register is copied to {copied.path} ({copied.size / 1e6:.1f} MB), looked through and whole."
        )
        if copied.cleared:
            print(f"{copied.cleared} older copies were removed; the newest {wishes.keep} are kept.")
    return 0
