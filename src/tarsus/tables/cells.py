"""What stands in a cell, as the text that somebody would read there."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from typing import Final

SPREADSHEET_ERRORS: Final = ("#REF!", "#N/A", "#VALUE!", "#NAME?", "#DIV/0!", "#NULL!", "#NUM!")
_ZEROS: Final = re.compile(r"0{2,}")
_GUARDED: Final = re.compile(r"'(?=[=+\-@\t\r])")


def cell_text(value: object, number_format: str = "") -> str:
    """The text of one cell, without blanks at its ends and with `; ` for a line break.

    Args:
        value: what the file holds: text, number, date, truth or nothing.
        number_format: the cell's format; one of noughts only keeps leading noughts of a number.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time(0) else value.isoformat(" ", "minutes")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, timedelta):
        return str(value)
    if isinstance(value, int | float):
        whole = isinstance(value, int) or value.is_integer()
        text = str(int(value)) if whole else repr(value)
        return text.zfill(len(number_format)) if whole and _ZEROS.fullmatch(number_format) else text
    return plain_text(str(value))


def plain_text(text: str) -> str:
    """Text with plain blanks; the guard that `guarded` set before a sign is taken off again."""
    lines = (" ".join(line.replace("\u00a0", " ").split()) for line in text.splitlines())
    return _GUARDED.sub("", "; ".join(line for line in lines if line), count=1) if text else ""


def guarded(text: str) -> str:
    """Text that no spreadsheet program takes for a formula: one that begins with a sign gets an apostrophe.

    Source:
        OWASP, CSV Injection: cells that begin with = + - @, tab or carriage return.
    """
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
