"""`tarsus restore`: a backup in the register's place; the register that was there is kept."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from tarsus.cli.running import parser_for, print_document

SUMMARY: Final = "Put a backup in the register's place."


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("restore", SUMMARY)
    options.add_argument("backup", metavar="FILE", help="a file that 'tarsus backup' wrote")
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument("--json", action="store_true", help="print one JSON document instead of sentences")
    return options


def run(args: list[str]) -> int:
    """Look the backup through, put the register aside, put the backup in its place."""
    wishes = parser().parse_args(args)
    from tarsus.cli.progress import doing
    from tarsus.cli.register import open_register

    open_register(wishes.home, migrate=False, make=True)
    from tarsus.actions.safekeeping.deed import restore

    with doing("Looking the backup through", quiet=wishes.json) as say:
        done = restore(backup=Path(wishes.backup), progress=say)
    if wishes.json:
        print_document({"restored": str(done.path), "kept": done.kept or None, "birds": done.birds})
        return 0
    print(f"The register is that of {done.path}: {done.birds} birds.")
    if done.kept:
        print(f"The register that was here is kept as {done.kept}.")
    return 0
