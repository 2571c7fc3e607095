"""Reading a file of which it is not known yet what it is a list of."""

from __future__ import annotations

from collections.abc import Callable, Collection

from tarsus.tables.columns import field_of, folded
from tarsus.tables.list_kinds import BIRDS, headings_of, kind_named, known_heading, likely_kind
from tarsus.tables.reading import read_table
from tarsus.tables.rows import Sheet
from tarsus.tables.tick_days import looks_like_day

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
        return read_table(contents, name, _recognise(what, own), sheet), what
    birds = read_table(contents, name, lambda one: bool(field_of(one)) or folded(one) in own, sheet)
    if what or len({field_of(one) for one in birds.headings} - {""}) >= _SURELY_BIRDS:
        kind = BIRDS if what else likely_kind(birds.headings)
        return birds, kind
    other = read_table(contents, name, lambda one: known_heading(one) or folded(one) in own, sheet)
    kind = likely_kind(other.headings)
    if kind == BIRDS:
        # A line of days heads a sheet of ticks, whatever titles with two words stand above it.
        other = read_table(contents, name, _recognise("ticks", own), sheet)
        kind = likely_kind(other.headings)
    return (birds, BIRDS) if kind == BIRDS else (other, kind)


def _recognise(what: str, own: Collection[str]) -> Callable[[str], bool]:
    """Whether a heading is known in a list of this kind."""
    kind = kind_named(what)
    headings = headings_of(kind)
    days = looks_like_day if kind.many else lambda _: False
    return lambda one: folded(one) in headings or folded(one) in own or days(one)
