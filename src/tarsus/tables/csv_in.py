"""Text tables in, in whichever encoding and with whichever delimiter a spreadsheet program wrote them."""

from __future__ import annotations

import csv
import io
from collections import Counter
from typing import Final

from tarsus.tables.cells import plain_text
from tarsus.tables.rows import Grid, UnreadableTable

_DELIMITERS: Final = (",", ";", "\t", "|")
_MARKED: Final = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
_TRIED: Final = 60


def csv_grid(contents: bytes, name: str) -> Grid:
    """The cells of a text table.

    Args:
        contents: the file, in UTF-8 with or without its mark, UTF-16 with its mark, or Windows-1252.
        name: what to call the file in a refusal.

    Raises:
        UnreadableTable: it is no text, or quotes do not close.
    """
    text = _decoded(contents, name)
    delimiter = _delimiter(text)
    lines: list[tuple[int, tuple[str, ...]]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    begins = 1
    try:
        for cells in reader:
            lines.append((begins, tuple(plain_text(cell) for cell in cells)))
            begins = reader.line_num + 1
    except csv.Error as reason:
        raise UnreadableTable(
            f"{name}, line {begins}", f"is no text table ({reason}); look at its quotation marks"
        ) from None
    return Grid(name, tuple(lines))


def _decoded(contents: bytes, name: str) -> str:
    encoding = next((encoding for mark, encoding in _MARKED if contents.startswith(mark)), "utf-8")
    if encoding == "utf-8" and b"\0" in contents:
        raise UnreadableTable(name, "is no text table; save it as XLSX or as CSV")
    try:
        return contents.decode(encoding)
    except UnicodeDecodeError:
        pass
    try:
        return contents.decode("cp1252")
    except UnicodeDecodeError:
        raise UnreadableTable(name, "is written in no known encoding; save it as CSV in UTF-8") from None


def _delimiter(text: str) -> str:
    """The delimiter that cuts most lines into the same number of cells, more cells before fewer."""
    lines = text.splitlines(keepends=True)[:_TRIED]

    def evenness(delimiter: str) -> tuple[int, int]:
        try:
            widths = Counter(len(row) for row in csv.reader(lines, delimiter=delimiter) if len(row) > 1)
        except csv.Error:
            return 0, 0
        width, times = max(widths.items(), key=lambda item: (item[1], item[0]), default=(0, 0))
        return times, width

    return max(_DELIMITERS, key=evenness)
