"""What the report of an import says of the columns of a file."""

from __future__ import annotations

from io import StringIO

from rich.console import Console

from tarsus.cli.import_report import print_columns
from tarsus.tables.list_kinds import KINDS, list_columns
from tarsus.tables.rows import Sheet


def test_many_columns_of_one_field_are_told_by_their_first_and_last() -> None:
    headings = ("Vogel", "Sa 3", "So 4", "Mo 5", "Wetter")
    out = Console(file=StringIO(), width=300)
    print_columns(out, Sheet("april", headings, ()), list_columns(headings, KINDS["ticks"], {}))
    assert isinstance(out.file, StringIO)
    said = out.file.getvalue()
    assert "Read: Vogel as bird, Sa 3 … Mo 5 (3 columns) as tick." in said
    assert "Left out: Wetter" in said
