"""How a fact is written once: told again with the same contents changes nothing, with others is refused."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Final, TypeVar
from uuid import UUID, uuid4

from django.db import IntegrityError, transaction
from django.db.models import Model
from django.utils import timezone

from tarsus.actions.asked_once import lent
from tarsus.actions.refusals import Retold, SightingRetold
from tarsus.records.models.facts import Fact, FieldFact

CLOCK_TRUSTED: Final = timedelta(seconds=60)
"""A phone's clock that is off by less is taken at its word: the way through the network takes as long."""


@dataclass(frozen=True, slots=True)
class Told:
    """Who tells a fact, when it happened by their clock, and under which id.

    `clock_offset` is how far the phone's clock was ahead of the register's when it sent. `sent_by` is the
    person whose session sent it, where that is not `by` (a shared phone).
    """

    by: int
    at: datetime
    id: UUID = field(default_factory=uuid4)
    clock_offset: timedelta | None = None
    device: str = ""
    sent_by: int | None = None

    @property
    def happened_at(self) -> datetime:
        """When it happened by the register's clock."""
        if self.clock_offset is None or abs(self.clock_offset) < CLOCK_TRUSTED:
            return self.at
        return self.at - self.clock_offset


def digest_of(contents: Mapping[str, Any]) -> str:
    """The digest by which a retelling is compared: the same for equal contents in any order of keys."""
    text = json.dumps(contents, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def write_once(
    table: type[Fact],
    told: Told,
    columns: Mapping[str, Any],
    *,
    derived: Mapping[str, Any] | None = None,
    beside: Mapping[str, Any] | None = None,
) -> bool:
    """Write one fact down unless it is already written.

    Args:
        table: the fact's table.
        told: who tells it and under which id.
        columns: what was said.
        derived: further columns that the register worked out itself; they do not belong to what was said.
        beside: what was said and stands in other tables (the birds of a concern).

    Returns:
        Whether it was written now; `False` when the same was told before.

    Raises:
        Retold: the id is taken by the same kind of fact with other contents.
    """
    digest = digest_of({"at": told.at.timestamp(), "by": told.by, **columns, **(beside or {})})
    if _known(table, told.id, digest):
        return False
    row = table(
        id=told.id,
        told=digest,
        recorded_by_id=told.by,
        recorded_at=timezone.now(),
        happened_at=told.happened_at,
        **_of_the_phone(table, told),
        **columns,
        **(derived or {}),
    )
    if lent() is not None:
        row.save(force_insert=True)  # where that clashes, the lender lets the fact be heard by itself
        return True
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        # Another connection may have written the same id between our look and our write.
        if _known(table, told.id, digest):
            return False
        raise
    return True


M = TypeVar("M", bound=Model)


def insert_once(row: M, deed: UUID | None) -> M:
    """Insert a row of which a form chose the deed's id, unless that deed was done already.

    Returns:
        The row as it is written: this one, or the one that another connection was faster with.
    """
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        done = None if deed is None else type(row)._default_manager.filter(deed=deed).first()
        if done is None:
            raise
        return done
    return row


def _of_the_phone(table: type[Fact], told: Told) -> dict[str, Any]:
    if not issubclass(table, FieldFact):
        return {}
    offset = told.clock_offset
    return {
        "phone_at": told.at,
        "clock_offset_s": None if offset is None else offset.total_seconds(),
        "device": told.device,
        "sent_by_id": told.sent_by,
    }


def _known(table: type[Fact], fact_id: UUID, digest: str) -> bool:
    asked = lent()
    if asked is not None and fact_id in asked.ids:
        written = asked.digest(table, fact_id)
    else:
        written = table._default_manager.filter(pk=fact_id).values_list("told", flat=True).first()
    if written is None:
        return False
    if written != digest:
        kind = str(table._meta.verbose_name)
        raise SightingRetold(fact_id, kind) if kind == "sighting" else Retold(fact_id, kind)
    return True
