"""Reading a file of which it is not known yet what it is a list of."""

from __future__ import annotations

from collections.abc import Collection

from tarsus.tables.columns import field_of, folded
from tarsus.tables.list_kinds import BIRDS, headings_of, kind_named, known_heading, likely_kind
from tarsus.tables.reading import read_table
from tarsus.tables.rows import Sheet

_SURELY_BIRDS = 4


def read_list(
    contents: bytes, name: str, own: Collection[str] = (), sheet: str = "", what: str = ""
) -> tuple[Sheet, str]:
    """The table of a file, and what it is a list of.

    Args:
        contents: the file as it was saved.
        name: its name, for refusals.
        own: headings that the park named, folded.
        sheet: which sheet of a workbook; without it the one with most known headings.
        what: what it is said to be a list of; empty, and its headings tell.

    Raises:
        UnreadableTable: as `read_table` does.
        UnknownWord: there is no such kind of list.
    """
    if what not in ("", BIRDS):
        headings = headings_of(kind_named(what))
        found = read_table(contents, name, lambda one: folded(one) in headings or folded(one) in own, sheet)
        return found, what
    birds = read_table(contents, name, lambda one: bool(field_of(one)) or folded(one) in own, sheet)
    if what or len({field_of(one) for one in birds.headings} - {""}) >= _SURELY_BIRDS:
        kind = BIRDS if what else likely_kind(birds.headings)
        return birds, kind
    other = read_table(contents, name, lambda one: known_heading(one) or folded(one) in own, sheet)
    kind = likely_kind(other.headings)
    return (birds, BIRDS) if kind == BIRDS else (other, kind)
