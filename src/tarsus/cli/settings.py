"""`tarsus settings`: what holds for this installation, who said it, and which register that is."""

from __future__ import annotations

import argparse
import os
from typing import Final

from tarsus.cli.running import parser_for, print_document
from tarsus.core.errors import MalformedInput

SUMMARY: Final = "Show what this installation was told, and by whom."
HIDDEN: Final = "(set; not shown)"


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("settings", SUMMARY)
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument("--json", action="store_true", help="print one JSON document instead of a table")
    return options


def run(args: list[str]) -> int:
    """Print every setting. Nothing is made or opened."""
    wishes = parser().parse_args(args)
    from tarsus.cli.register import where_it_is

    if wishes.home:
        os.environ["TARSUS_HOME"] = wishes.home
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tarsus.server.settings")
    try:
        from django.conf import settings
    except ImportError:
        raise MalformedInput(
            "settings", "needs the server part of Tarsus; install it with: pip install 'tarsus[server]'"
        ) from None
    rows = [
        {
            "setting": said.setting.name,
            "value": HIDDEN if said.value and said.setting.secret else said.value or None,
            "from": "--home" if wishes.home and said.setting.name == "TARSUS_HOME" else said.source or None,
            "without": said.setting.without.replace("`", ""),
        }
        for said in settings.TOLD.said.values()
        if said.setting.by_hand
    ]
    if wishes.json:
        file = None if settings.TOLD.file is None else str(settings.TOLD.file)
        print_document({"register": where_it_is(), "file": file, "settings": rows})
        return 0
    _print(rows, where_it_is(), settings.TOLD.file)
    return 0


def _print(rows: list[dict[str, str | None]], register: str, file: object) -> None:
    width = max(len(str(row["setting"])) for row in rows)
    print(f"register: {register}")
    print(f"settings file: {file or 'none (tarsus.toml here, or /etc/tarsus/tarsus.toml)'}\n")
    for row in rows:
        value = f"{row['value']}   from {row['from']}" if row["from"] else f"{row['without']}   (not set)"
        print(f"{row['setting']:<{width}}  {value}")
