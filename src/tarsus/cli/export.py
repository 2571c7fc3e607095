"""`tarsus export`: everything the register holds, as CSV files, a workbook or one JSON document."""

from __future__ import annotations

import argparse
import shutil
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final

from tarsus.cli.running import parser_for, print_document
from tarsus.core.errors import MalformedInput, UnknownWord

if TYPE_CHECKING:
    from tarsus.tables.writing import Table

SUMMARY: Final = "Write everything out as tables."


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("export", SUMMARY)
    options.add_argument(
        "target",
        metavar="TARGET",
        help="NAME.xlsx, NAME.json, - for JSON on standard output, or a new folder for CSV",
    )
    options.add_argument(
        "--table",
        action="append",
        default=[],
        metavar="NAME",
        help="only this table, such as birds (repeat for more)",
    )
    options.add_argument(
        "--darwin-core",
        action="store_true",
        help="write the observed sightings alone, as occurrences of Darwin Core",
    )
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument("--json", action="store_true", help="print what was written as one JSON document")
    return options


def run(args: list[str]) -> int:
    """Write the tables, all as of one moment, while others go on recording."""
    wishes = parser().parse_args(args)
    target = _free_target(wishes.target)
    from tarsus.cli.progress import progress_bar
    from tarsus.cli.register import open_register

    open_register(wishes.home)
    from tarsus.queries.days import park_today
    from tarsus.queries.exports import one_moment, rows_held, tables_held
    from tarsus.queries.occurrences import occurrences, occurrences_held

    if wishes.darwin_core and wishes.table:
        raise MalformedInput("--darwin-core", "is a table of its own; leave out --table")
    rows = occurrences_held() if wishes.darwin_core else rows_held()
    with one_moment(), progress_bar("Writing rows", rows) as progress:
        tables = _wanted(tables_held(park_today(), progress), wishes.table)
        if wishes.darwin_core:
            tables = iter([occurrences(progress)])
        written = _write(tables, target)
    if target is None:
        return 0
    if wishes.json:
        print_document({"target": str(target), "tables": written})
    else:
        print(f"{sum(written.values())} rows of {len(written)} tables are in {target}.")
    return 0


def _free_target(name: str) -> Path | None:
    if name == "-":
        return None
    target = Path(name)
    taken = any(target.iterdir()) if target.is_dir() else target.exists()
    if taken:
        raise MalformedInput(name, "is there already; choose another name, nothing is written over")
    if target.suffix.lower() not in ("", ".xlsx", ".json"):
        raise MalformedInput(
            name,
            f"'{target.suffix}' is no kind of file written here; end it in .xlsx or .json, or name a folder",
        )
    return target


def _wanted(tables: Iterator[Table], names: list[str]) -> Iterator[Table]:
    from tarsus.queries.exports import table_names

    known = table_names()
    for name in names:
        if name not in known:
            raise UnknownWord("--table", name, "table of the register", known)
    return (table for table in tables if not names or table.name in names)


def _write(tables: Iterable[Table], target: Path | None) -> dict[str, int]:
    """Write the tables in the target's form; answer how many rows of each."""
    from tarsus.tables.book_out import write_workbook
    from tarsus.tables.writing import json_text

    written: dict[str, int] = {}
    counted = (_counting(table, written) for table in tables)
    try:
        if target is None:
            sys.stdout.writelines(json_text(counted))
        elif target.suffix.lower() == ".json":
            with _beside(target).open("w", encoding="utf-8") as out:
                out.writelines(json_text(counted))
            _beside(target).replace(target)
        elif target.suffix.lower() == ".xlsx":
            with _beside(target).open("wb") as whole:
                write_workbook(counted, whole)
            _beside(target).replace(target)
        else:
            _write_folder(counted, _beside(target))
            _beside(target).replace(target)
    except BrokenPipeError:
        raise
    except OSError as reason:
        raise MalformedInput(
            str(target or "-"), f"cannot be written ({reason.strerror}); choose another place"
        ) from None
    finally:
        if target is not None:
            _clear_away(_beside(target))
    return written


def _beside(target: Path) -> Path:
    """Where a file is written until it is whole: one that was broken off is never taken for an export."""
    return target.with_name(target.name + ".part")


def _clear_away(part: Path) -> None:
    """Remove what was begun and not finished; where all went well nothing is there any more."""
    if part.is_dir():
        shutil.rmtree(part)
    else:
        part.unlink(missing_ok=True)


def _write_folder(tables: Iterable[Table], folder: Path) -> None:
    from tarsus.tables.writing import csv_text

    folder.mkdir(parents=True, exist_ok=True)
    for table in tables:
        with (folder / f"{table.name.replace(' ', '-')}.csv").open("w", encoding="utf-8", newline="") as out:
            out.writelines(csv_text(table))


def _counting(table: Table, written: dict[str, int]) -> Table:
    from tarsus.tables.writing import Table as Counted

    written[table.name] = 0

    def rows() -> Iterator[object]:
        for row in table.rows:
            written[table.name] += 1
            yield row

    return Counted(table.name, table.headings, rows())  # type: ignore[arg-type]  # the same rows, counted
