"""Setting a fact aside that waits for another, or was refused when its turn came."""

from __future__ import annotations

from uuid import UUID

from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.records.models import SetAside, Waiting


def set_aside(*, told: Told, waiting: UUID, because: str) -> bool:
    """Say that a waiting fact needs nothing more; it stays written as it was told.

    Returns:
        Whether it was written now.

    Raises:
        WrongValue: nothing waits under this id, or no reason is given.
    """
    if not because.strip():
        raise WrongValue("because", "is empty; say what became of it")
    done = SetAside.objects.filter(pk=told.id).exists()
    if not done and not Waiting.objects.filter(pk=waiting).exists():
        raise WrongValue("waiting", "no fact waits under this id; it is written by now")
    return write_once(SetAside, told, {"waiting": waiting, "because": because.strip()})
