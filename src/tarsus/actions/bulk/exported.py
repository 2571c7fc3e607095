"""An export read back: one JSON document as `tarsus export` writes it, as rows for the bulk reader."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from django.contrib.auth.hashers import make_password

from tarsus.actions.bulk.frozen import FrozenRows
from tarsus.core.documents.text import parse_json
from tarsus.core.errors import MalformedInput, WrongValue

SHOWN_ONLY: Final = ("birds",)
"""Tables that an export tells for people and programs; the register makes them from the others."""
WITHOUT_SECRET: Final = (
    *("device_token", "device_token_exhibits", "device_token_people"),
    *("phone_news", "phone_letter", "phone_key", "signed_in"),
)
"""Tables whose rows are of no use without the secret that no export holds: a device is given a new token, a
phone asked anew."""
_OF_THOSE: Final = frozenset({("waiting", "token_id")})
"""Columns that name a row of such a table: they come back empty."""


def document_of(contents: bytes, name: str) -> Mapping[str, Any]:
    """The document that a file holds.

    Raises:
        MalformedInput: it is no JSON, or no document of tables.
        WrongValue: an object has a key twice.
    """
    document = parse_json(contents, name)
    if not isinstance(document, dict) or "park" not in document or "bird" not in document:
        raise MalformedInput(
            name, "is no export of a whole register; write one with: tarsus export NAME.json"
        )
    return document


def exported_rows(document: Mapping[str, Any]) -> Iterator[FrozenRows]:
    """The rows of an export, table by table, under the ids they have there.

    People come without a password: each needs a new one before signing in.

    Raises:
        WrongValue: a table that is no list of rows, or a row with other columns than the first.
    """
    for table, rows in document.items():
        if table in SHOWN_ONLY or table in WITHOUT_SECRET:
            continue
        columns = _columns(table, rows)
        kept = [column if (table, column) not in _OF_THOSE else None for column in columns]
        values = [[None if column is None else row[column] for column in kept] for row in rows]
        if table == "person":
            columns = (*columns, "password")
            values = [[*row, make_password(None)] for row in values]
        yield FrozenRows(table, columns, values)


def left_out(document: Mapping[str, Any]) -> tuple[str, ...]:
    """Tables of an export that hold rows and are not read back, for lack of their secrets."""
    return tuple(table for table in WITHOUT_SECRET if document.get(table))


def _columns(table: str, rows: Any) -> tuple[str, ...]:
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise WrongValue(table, "is no list of rows; write it as an export does")
    columns = tuple(rows[0]) if rows else ()
    for number, row in enumerate(rows):
        if row.keys() != set(columns):
            odd = ", ".join(sorted(row.keys() ^ set(columns)))
            raise WrongValue(f"{table}[{number}]", f"has other columns than the first row: {odd}")
    return columns
