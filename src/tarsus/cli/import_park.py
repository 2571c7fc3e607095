"""`tarsus import` of a whole park: an export in JSON, read into an empty register."""

from __future__ import annotations

import argparse
from pathlib import Path

from tarsus.cli.running import print_document


def bring_whole_park_in(wishes: argparse.Namespace, contents: bytes) -> int:
    """Read an export into the empty register; without --apply try it and keep nothing."""
    from tarsus.actions.bulk.exported import document_of, exported_rows, left_out
    from tarsus.actions.bulk.reader import read_whole_park
    from tarsus.cli.progress import progress_bar

    name = "standard input" if wishes.file == "-" else Path(wishes.file).name
    document = document_of(contents, name)
    rows = sum(len(table) for table in document.values() if isinstance(table, list))
    with progress_bar("Reading rows", rows, quiet=wishes.json) as progress:
        written = read_whole_park(content=exported_rows(document), progress=progress, keep=wishes.apply)
    without = left_out(document)
    if wishes.json:
        print_document({"applied": wishes.apply, "tables": written, "left_out": list(without)})
        return 0
    _tell(written, without, applied=wishes.apply)
    return 0


def _tell(written: dict[str, int], without: tuple[str, ...], *, applied: bool) -> None:
    rows, birds = sum(written.values()), written.get("bird", 0)
    went = "were read in" if applied else "would be read in"
    print(f"{rows} rows of {len(written)} tables {went}: {birds} birds with all that was recorded of them.")
    if without:
        print("Devices come without their tokens: give each a new one in Settings.")
    if applied:
        print("Nobody has a password yet. Give each person one: tarsus manage changepassword LOGIN")
    else:
        print("Nothing was written. Add --apply to read it in.")
