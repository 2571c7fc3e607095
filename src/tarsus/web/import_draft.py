"""The file that somebody is about to bring in, kept in their session from page to page.

In the session and not on a disk, since the next page may be answered by another process or another machine.
"""

from __future__ import annotations

import base64
import hashlib
import zlib
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import lru_cache
from typing import Any, Final

from django.http import HttpRequest
from django.utils import timezone

from tarsus.core.errors import MalformedInput
from tarsus.queries.days import park_today
from tarsus.queries.imports import SavedMapping
from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns, columns_of, folded, still_there
from tarsus.tables.list_kinds import BIRDS, KINDS, ListKind, kind_named, list_columns
from tarsus.tables.list_reading import read_list
from tarsus.tables.rows import Sheet

_KEY: Final = "import_draft"
LARGEST: Final = 3 * 1024 * 1024


class TooLargeForAPage(MalformedInput):
    """The file is too large to be carried from page to page."""

    def __init__(self, name: str) -> None:
        super().__init__(name, "is too large for this page; bring it in with the command: tarsus import")


@dataclass(frozen=True)
class Draft:
    """A file with what was said of it so far."""

    name: str
    contents: bytes
    sheet: str = ""
    columns: dict[str, str] = field(default_factory=dict)
    choices: Choices = field(default_factory=Choices)

    @classmethod
    def of(cls, name: str, contents: bytes, saved: SavedMapping | None) -> Draft:
        """A draft that begins as a saved mapping says.

        Raises:
            TooLargeForAPage: it does not fit, even packed.
        """
        draft = cls(name, contents)
        if saved is not None:
            draft = replace(draft, columns=saved.columns, choices=Choices.of(saved.writing))
        if len(draft.packed()) > LARGEST:
            raise TooLargeForAPage(name)
        return draft

    @property
    def kind(self) -> ListKind | None:
        """What it is a list of; nothing where it is one of birds."""
        return KINDS.get(self.choices.what)

    @property
    def digest(self) -> str:
        """Of its contents: the same file again is known by it."""
        return hashlib.sha256(self.contents).hexdigest()

    def guessed(self) -> Draft:
        """The draft with what it is a list of, by its headings where nobody said.

        Raises:
            UnreadableTable: it is no table.
        """
        if self.choices.what:
            return self
        return self.as_list_of(self._read("")[1])

    def as_list_of(self, what: str) -> Draft:
        """The draft read as a list of this; columns that were named mean nothing in another kind of list."""
        if what == (self.choices.what or BIRDS):
            return self
        return replace(self, columns={}, choices=replace(self.choices, what=what, cells={}))

    def _read(self, what: str) -> tuple[Sheet, str]:
        own = frozenset(folded(heading) for heading in self.columns)
        return _table(self.contents, self.name, own, self.sheet, what)

    def packed(self) -> str:
        """The file as text for the session."""
        return base64.b64encode(zlib.compress(self.contents, 6)).decode("ascii")

    def table(self) -> tuple[Sheet, Columns]:
        """The table and what its columns mean.

        Raises:
            UnreadableTable, UnknownWord, WrongValue: as reading a table and naming its columns do.
        """
        sheet, what = self._read(self.choices.what or BIRDS)
        if what != BIRDS:
            columns = list_columns(
                sheet.headings, kind_named(what), still_there(self.columns, sheet.headings)
            )
            return sheet, columns
        return sheet, columns_of(sheet, still_there(self.columns, sheet.headings), park_today())


@lru_cache(maxsize=2)
def _table(contents: bytes, name: str, own: frozenset[str], sheet: str, what: str) -> tuple[Sheet, str]:
    """A file is taken apart once for several pages; two of them are kept, no more."""
    return read_list(contents, name, own, sheet, what)


def keep_draft(request: HttpRequest, draft: Draft) -> None:
    """Keep a draft in this person's session."""
    request.session[_KEY] = {
        "name": draft.name,
        "packed": draft.packed(),
        "sheet": draft.sheet,
        "columns": draft.columns,
        "choices": draft.choices.as_mapping(),
        "kept_at": timezone.now().isoformat(),
    }


def kept_draft(request: HttpRequest) -> Draft | None:
    """The draft of this person's session; nothing where there is none."""
    kept: dict[str, Any] | None = request.session.get(_KEY)
    if kept is None:
        return None
    contents = zlib.decompress(base64.b64decode(kept["packed"]))
    return Draft(kept["name"], contents, kept["sheet"], kept["columns"], Choices.of(kept["choices"]))


def drop_draft_brought_in(request: HttpRequest, digest: str, at: datetime) -> None:
    """Forget the draft of this file, if it was brought in at this moment and not only once before."""
    draft = kept_draft(request)
    if draft is None or draft.digest != digest:
        return
    kept_at = request.session[_KEY].get("kept_at")
    if kept_at is None or datetime.fromisoformat(kept_at) <= at:
        drop_draft(request)


def drop_draft(request: HttpRequest) -> None:
    """Forget the draft of this person's session."""
    request.session.pop(_KEY, None)
