"""Saving a row of the settings, with a line for each field that is different now."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db.models import Model

from tarsus.actions.changes import note_changes
from tarsus.core.errors import WrongValue


def save_row(row: Model, values: Mapping[str, Any], by: int) -> int:
    """Set fields of a row and save it, old or new.

    Args:
        row: a row of the register, or one that is not yet in it.
        values: new values by field.
        by: the person who changes it.

    Returns:
        The row's id.
    """
    table = str(row._meta.model_name)
    before = {field: getattr(row, field) for field in values} if row.pk else {}
    for field, value in values.items():
        setattr(row, field, value)
    row.save()
    note_changes(table, row.pk, before, values, by)
    return int(row.pk)


def said(place: str, text: str, what: str) -> str:
    """The text without the blanks around it.

    Raises:
        WrongValue: nothing is left of it.
    """
    text = " ".join(text.split())
    if not text:
        raise WrongValue(place, f"is empty; write {what}")
    return text
