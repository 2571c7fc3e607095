"""`tarsus move-register`: the whole register into another database, counted and compared."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tarsus.cli.running import parser_for, print_document
from tarsus.core.errors import MalformedInput

if TYPE_CHECKING:
    from tarsus.actions.safekeeping.tally import Tally

SUMMARY: Final = "Carry the whole register into another database, and compare."
_SHOWN: Final = 12


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("move-register", SUMMARY)
    options.add_argument(
        "target",
        metavar="TARGET",
        help="postgresql://person@machine:5432/name, an empty database (the password may stand in "
        "~/.pgpass); or a folder without a register, for SQLite",
    )
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register that is moved")
    options.add_argument("--json", action="store_true", help="print one JSON document instead of a table")
    return options


def run(args: list[str]) -> int:
    """Carry everything over, compare, and say what was found in each table."""
    wishes = parser().parse_args(args)
    if not wishes.target.strip():
        # An empty name would be the folder that somebody happens to stand in.
        raise MalformedInput("TARGET", "is empty; name an address of PostgreSQL or a folder")
    from tarsus.cli.progress import progress_bar
    from tarsus.cli.register import open_register

    open_register(wishes.home, migrate=False)
    from tarsus.actions.safekeeping.moving import move_register, rows_to_move

    target, begin = _target(wishes.target)
    with progress_bar("Carrying rows over", rows_to_move(), quiet=wishes.json) as progress:
        carried = move_register(target=target, progress=progress)
    if wishes.json:
        tables = [{"table": one.table, "rows": one.rows, "digest": one.digest} for one in carried]
        print_document({"tables": tables, "rows": sum(one.rows for one in carried)})
        return 0
    _tell(carried, begin)
    return 0


def _target(said: str) -> tuple[dict[str, Any], str]:
    """The database that is meant, and how Tarsus is told of it from now on."""
    from tarsus.records.databases import postgresql_at, sqlite_in

    if "://" in said:
        return postgresql_at(said, "TARGET"), "TARSUS_DATABASE with that address"
    home = Path(said).resolve()
    return sqlite_in(home), f"TARSUS_HOME={home} and without TARSUS_DATABASE"


def _tell(carried: tuple[Tally, ...], begin: str) -> None:
    from django.conf import settings

    width = max(len(one.table) for one in carried)
    filled = [one for one in carried if one.rows]
    for one in filled:
        print(f"{one.table:<{width}}  {one.rows:>9}  {one.digest[:_SHOWN]}")
    rows, empty = sum(one.rows for one in carried), len(carried) - len(filled)
    print(
        f"{rows} rows of {len(filled)} tables were carried over; {empty} more tables are empty. "
        "Each table's count and digest are the same in both."
    )
    print(f"The old register was only read. From now on start with {begin}.")
    print(
        "The new home needs the old one's secret-key: without it people sign in again, by a recovery code "
        "where they have a second step."
    )
    if settings.PUSH_SERVICES:
        print("It needs the push-key too: without it every phone that is told things is to be asked anew.")
