"""How far long work of the server is."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from tarsus.records.models import Job

DONE: Final = "done"
REFUSED: Final = "refused"
FAILED: Final = "failed"
AT_WORK: Final = "at work"
BROKEN_OFF: Final = "broken off"
"""The server was stopped or killed while it was at it."""
QUIET_S: Final = 60.0
"""For how long a job of another process may give no sign of life before it counts as broken off."""


@dataclass(frozen=True, slots=True)
class JobTold:
    """A job as its page tells of it. `state` is `AT_WORK`, `DONE`, `REFUSED`, `FAILED` or `BROKEN_OFF`."""

    job_id: UUID
    kind: str
    title: str
    by: int
    asked_at: datetime
    state: str
    doing: str
    done: int
    steps: int
    said: str
    leads_to: str
    file_name: str

    @property
    def share(self) -> int:
        """How far the present part of it is, in per cent; 0 where that is not known."""
        return min(100, 100 * self.done // self.steps) if self.steps else 0


def job_told(job_id: UUID, now: datetime, at_work: Collection[UUID]) -> JobTold | None:
    """How far a job is; nothing where there is none.

    Args:
        job_id: which.
        now: the moment of asking.
        at_work: the jobs that this process itself is at.
    """
    row = Job.objects.filter(pk=job_id).first()
    return None if row is None else _told(row, now, at_work)


def jobs_of(by: int, kind: str, now: datetime, at_work: Collection[UUID]) -> tuple[JobTold, ...]:
    """The jobs of a kind that one person asked for within the last day, the newest first."""
    rows = Job.objects.filter(by=by, kind=kind, asked_at__gte=now - timedelta(days=1)).order_by("-asked_at")
    return tuple(_told(row, now, at_work) for row in rows[:20])


def _told(row: Job, now: datetime, at_work: Collection[UUID]) -> JobTold:
    quiet = now - row.beat_at > timedelta(seconds=QUIET_S)
    state = row.outcome or (BROKEN_OFF if quiet and row.pk not in at_work else AT_WORK)
    return JobTold(
        *(row.pk, row.kind, row.title, row.by_id, row.asked_at, state, row.doing, row.done, row.steps),
        *(row.said, row.leads_to, row.file_name),
    )
