"""Write packaging/completion and packaging/man from the commands' own parsers: one description for all.

    .venv/bin/python scripts/write_shell_words.py

A test holds the files to the code (tests/cli/test_shell_words.py); the wheel carries them to where shells and
`man` look.
"""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path
from typing import Final

import shtab
from argparse_manpage.manpage import Manpage

sys.path.insert(0, str(Path(__file__).parent))
from write_reference import commands

ROOT: Final = Path(__file__).resolve().parents[1]
FILES: Final = {
    "bash": "packaging/completion/tarsus.bash",
    "zsh": "packaging/completion/_tarsus",
    "fish": "packaging/completion/tarsus.fish",
    "man": "packaging/man/tarsus.1",
}
_FILES: Final = ("FILE", "DOC", "TARGET")
_FOLDERS: Final = ("DIR",)
_UPKEEP: Final = "upkeep of the register, such as changepassword LOGIN; tarsus manage lists what there is"


def whole_parser() -> argparse.ArgumentParser:
    """Every command of Tarsus below one parser, as the commands describe themselves."""
    root = argparse.ArgumentParser("tarsus", description="Every bird seen, every day.")
    root.add_argument("--version", action="store_true", help="print which Tarsus this is")
    below = root.add_subparsers(metavar="COMMAND", dest="command")
    for name, (summary, options) in commands().items():
        parents = [] if options is None else [options]
        one = below.add_parser(
            name, help=summary, description=summary, parents=parents, conflict_handler="resolve"
        )
        if options is None:
            one.add_argument("words", nargs="*", metavar="WORD", help=_UPKEEP)
        for action in one._actions:
            if action.metavar in _FILES:
                action.complete = shtab.FILE  # type: ignore[attr-defined]  # how shtab is told
            elif action.metavar in _FOLDERS:
                action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]  # how shtab is told
    return root


def man_page(parser: argparse.ArgumentParser) -> str:
    """The page of all commands, without day and version: the same from the same code."""
    told = {
        "prog": "tarsus",
        "project_name": "tarsus",
        "description": "a register and reader for keepers of banded birds",
        "manual_title": "Tarsus",
    }
    page = str(Manpage(parser, told))
    head = '.TH TARSUS "1" "" "tarsus" "Tarsus"'
    return re.sub(r"^\.TH .*$", head, page, count=1, flags=re.M)


def written() -> dict[str, str]:
    """Each file's contents, by what it is for."""
    parser = whole_parser()
    texts = {shell: shtab.complete(parser, shell) for shell in ("bash", "zsh", "fish")}
    return {**texts, "man": man_page(whole_parser())}


def main() -> None:
    """Write them all."""
    for what, text in written().items():
        path = ROOT / FILES[what]
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text.rstrip("\n") + "\n", encoding="utf-8")
        print(f"wrote {FILES[what]}")


if __name__ == "__main__":
    main()
