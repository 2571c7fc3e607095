"""Long work that a page asks for: it goes on in a thread of the server, whether or not the page stays open.

One piece at a time. A server that is killed loses what it was at: the work must write whole or nothing, so
that it can simply be asked for again.

Decision 0054.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from time import monotonic
from typing import Final
from uuid import UUID

from django.conf import settings
from django.db import InterfaceError, OperationalError, connection, connections
from django.utils import timezone

from tarsus.core.errors import TarsusError
from tarsus.queries.jobs import DONE, FAILED, REFUSED
from tarsus.records.models import Job

KEPT_DAYS: Final = 30
FILES_KEPT_DAYS: Final = 1
_TELLS_EVERY_S: Final = 0.5
_BEATS_EVERY_S: Final = 15.0
_LOG: Final = logging.getLogger(__name__)
_ONE_AT_A_TIME: Final = threading.Lock()
_AT_IT: Final[set[UUID]] = set()


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a job ended well: a sentence, the page that shows it, and the name of the file it left, if any."""

    said: str
    leads_to: str = ""
    file_name: str = ""


class Work:
    """What the work tells of itself while it goes on, and where it may leave a file."""

    def __init__(self, job_id: UUID) -> None:
        self.job_id = job_id
        self.file = file_of(job_id)
        self._done, self._told_at = 0, 0.0

    def begins(self, doing: str, steps: int) -> None:
        """Say what is done now, and in how many steps."""
        self._done, self._told_at = 0, monotonic()
        self._tell(doing=doing[:80], steps=steps, done=0)

    def step(self, more: int = 1) -> None:
        """Say that so many more steps are done; the register hears of it twice a second at most."""
        self._done += more
        if monotonic() - self._told_at >= _TELLS_EVERY_S:
            self._told_at = monotonic()
            self._tell(done=self._done)

    def ends(self, outcome: Outcome) -> None:
        """Write how it ended; called within the transaction of the deed, both are kept or neither is."""
        _end(self.job_id, DONE, outcome)

    def _tell(self, **what: object) -> None:
        # Within a transaction nobody else would read it, and it would be rolled back with the rest.
        if connection.in_atomic_block:
            return
        # How far it is may be told late: a register that is busy never breaks the work itself off.
        with suppress(OperationalError):
            Job.objects.filter(pk=self.job_id).update(beat_at=timezone.now(), **what)


def begin_job(*, kind: str, title: str, by: int, do: Callable[[Work], Outcome]) -> UUID:
    """Begin long work in a thread of its own, and answer at once.

    Args:
        kind: what it is, as in ``import``; pages find a job's own words by it.
        title: what the page calls it, such as *Bringing in birds.xlsx*.
        by: the person who asked for it, who alone is shown it.
        do: the work. What it raises as a `TarsusError` is told as a refusal, anything else as a failure.

    Returns:
        The job's id.

    Assumes:
        `do` writes whole or nothing: a killed server leaves it at whatever it had committed.
    """
    now = timezone.now()
    clear_away()
    job = Job.objects.create(kind=kind, title=title[:200], by_id=by, asked_at=now, beat_at=now)
    _AT_IT.add(job.pk)
    threading.Thread(target=_run, args=(job.pk, do), daemon=True, name=f"job {job.pk}").start()
    return job.pk


def jobs_at_work() -> frozenset[UUID]:
    """The jobs that this very process is at, or will be as soon as the one before is over."""
    return frozenset(_AT_IT)


def file_of(job_id: UUID) -> Path:
    """Where a job leaves its file; kept for a day."""
    return Path(settings.HOME) / "jobs" / str(job_id)


def _run(job_id: UUID, do: Callable[[Work], Outcome]) -> None:
    over = threading.Event()
    # Before the lock: a job that waits for the one before it lives too.
    beats = threading.Thread(target=_beat, args=(job_id, over), daemon=True, name=f"beats of job {job_id}")
    beats.start()
    try:
        with _ONE_AT_A_TIME:
            work = Work(job_id)
            work.file.parent.mkdir(parents=True, exist_ok=True)
            _end(job_id, DONE, do(work))
    except TarsusError as refusal:
        _end(job_id, REFUSED, Outcome(f"{refusal}."))
    except Exception:
        _LOG.exception("a job could not be finished")
        _end(job_id, FAILED, Outcome("It went wrong and was not finished; the server's log says why."))
    finally:
        over.set()
        beats.join()
        _AT_IT.discard(job_id)
        connections.close_all()


def _beat(job_id: UUID, over: threading.Event) -> None:
    """Give signs of life for a job, whether it waits, is within a transaction or says nothing for long.

    Another server that hears none takes it for broken off, and it would be asked for a second time.
    """
    while not over.wait(_BEATS_EVERY_S):
        try:
            with suppress(OperationalError, InterfaceError):
                Job.objects.filter(pk=job_id, ended_at__isnull=True).update(beat_at=timezone.now())
        finally:
            # It is long until the next: nothing is held open until then.
            connections.close_all()


def _end(job_id: UUID, outcome: str, told: Outcome) -> None:
    """Write how a job ended, once."""
    now = timezone.now()
    Job.objects.filter(pk=job_id, ended_at__isnull=True).update(
        ended_at=now,
        beat_at=now,
        outcome=outcome,
        said=told.said,
        leads_to=told.leads_to[:200],
        file_name=told.file_name[:200],
    )


def clear_away() -> None:
    """Take away old jobs, and the files that nobody fetched."""
    now = timezone.now()
    fresh = {str(key) for key in _AT_IT}
    recent = Job.objects.filter(asked_at__gte=now - timedelta(days=FILES_KEPT_DAYS))
    fresh |= {str(key) for key in recent.values_list("id", flat=True)}
    folder = Path(settings.HOME) / "jobs"
    for left in folder.iterdir() if folder.is_dir() else ():
        if left.name not in fresh:
            left.unlink(missing_ok=True)
    Job.objects.filter(ended_at__lt=now - timedelta(days=KEPT_DAYS)).delete()
