"""Lists as files of a park, brought in through the one door."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tarsus.actions.lists import ListBrought, bring_list_in
from tarsus.tables.choices import Choices
from tarsus.tables.list_kinds import KINDS, known_heading, likely_kind, list_columns
from tarsus.tables.reading import read_table
from tarsus.tables.rows import Sheet


def table(*lines: str) -> Sheet:
    """A file of these lines."""
    return read_table(("\n".join(lines) + "\n").encode(), "list.csv", known_heading)


def brought(
    park: Any,
    *lines: str,
    by: str = "maren",
    what: str = "",
    said: Mapping[str, str] | None = None,
    **more: Any,
) -> ListBrought:
    """What became of a list: of the kind said or that its headings tell; `said` names columns by hand."""
    sheet = table(*lines)
    kind = KINDS[what or likely_kind(sheet.headings)]
    choices = Choices(**more.pop("choices", {}))
    told = {"file_name": "list.csv", "digest": "d", "by": getattr(park.actors, by), **more}
    columns = list_columns(sheet.headings, kind, said or {})
    return bring_list_in(sheet=sheet, columns=columns, kind=kind, choices=choices, **told)
