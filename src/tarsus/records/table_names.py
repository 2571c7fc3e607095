"""What each table is called outside the register: in an export, and where one is read back."""

from __future__ import annotations

import re

from django.db.models import Model


def table_name(model: type[Model]) -> str:
    """A table's name in small letters: `SexFinding` is ``sex_finding``."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", "_", model.__name__).lower()
