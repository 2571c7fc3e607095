"""`tarsus check`: whether the installation is sound, in plain words and in the exit status."""

from __future__ import annotations

import argparse
from typing import Final

from tarsus.cli.running import parser_for, print_document

SUMMARY: Final = "Say whether register, backups, disk and clock are sound."


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("check", SUMMARY)
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument("--json", action="store_true", help="print one JSON document instead of a table")
    return options


def run(args: list[str]) -> int:
    """Look at everything and say it; 1 where something is wrong, else 0."""
    wishes = parser().parse_args(args)
    from tarsus.cli.register import open_register, where_it_is

    open_register(wishes.home, migrate=False)
    from django.utils import timezone

    from tarsus.actions.safekeeping.soundness import WRONG, soundness, worst

    checked = soundness(timezone.now())
    if wishes.json:
        told = [{"what": one.what, "state": one.state, "said": one.said} for one in checked]
        print_document({"register": where_it_is(), "state": worst(checked), "checked": told})
    else:
        width = max(len(one.what) for one in checked)
        for one in checked:
            print(f"{one.what:<{width}}  {one.state:<10}  {one.said}")
    return int(worst(checked) == WRONG)
