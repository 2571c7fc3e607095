"""The park's own row, asked for once a page."""

from __future__ import annotations

from tarsus.queries.once import once
from tarsus.records.models import Park


@once
def one_park() -> Park | None:
    """What the park has chosen; `None` in a register that has none yet."""
    return Park.objects.first()
