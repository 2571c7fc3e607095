"""Long work in the background: it tells how far it is, ends once, and is whole or nothing."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from threading import Event
from uuid import UUID

import pytest
from django.db import transaction
from django.utils import timezone

import wendlebrook
from tarsus.actions import jobs
from tarsus.actions.jobs import KEPT_DAYS, Outcome, Work, begin_job, file_of, jobs_at_work
from tarsus.core.errors import MalformedInput
from tarsus.queries.exports import table_names
from tarsus.queries.jobs import (
    AT_WORK,
    BROKEN_OFF,
    DONE,
    FAILED,
    QUIET_S,
    REFUSED,
    JobTold,
    job_told,
    jobs_of,
)
from tarsus.records.models import Exhibit, Job
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db(transaction=True)
LONGEST_S = 60


@pytest.fixture
def garden(transactional_db: None, tmp_path: Path, settings: object) -> Wendlebrook:
    settings.HOME = tmp_path  # type: ignore[attr-defined]  # pytest-django's settings
    return wendlebrook.build()


def told(job_id: UUID) -> JobTold:
    found = job_told(job_id, timezone.now(), jobs_at_work())
    assert found is not None
    return found


def over(job_id: UUID) -> JobTold:
    """The job once its thread has let go of it."""
    until = time.monotonic() + LONGEST_S
    while job_id in jobs_at_work():
        assert time.monotonic() < until, "the job does not end"
        time.sleep(0.01)
    return told(job_id)


def begun(garden: Wendlebrook, do: Callable[[Work], Outcome]) -> UUID:
    return begin_job(kind="trial", title="Counting shells", by=garden.actors.maren, do=do)


def test_a_job_tells_how_far_it_is_and_where_it_led(garden: Wendlebrook) -> None:
    halfway, go_on = Event(), Event()

    def count(work: Work) -> Outcome:
        work.begins("Counting", 40)
        work._told_at = 0.0  # as if the last telling were long ago
        work.step(10)
        halfway.set()
        assert go_on.wait(LONGEST_S)
        work.file.write_text("forty", encoding="utf-8")
        return Outcome("40 shells.", "/shells/", "shells.txt")

    job_id = begun(garden, count)
    assert halfway.wait(LONGEST_S)
    at_work = told(job_id)
    assert (at_work.state, at_work.doing, at_work.done, at_work.share) == (AT_WORK, "Counting", 10, 25)
    go_on.set()
    ended = over(job_id)
    assert (ended.state, ended.said, ended.leads_to) == (DONE, "40 shells.", "/shells/")
    assert file_of(job_id).read_text("utf-8") == "forty"
    assert [one.job_id for one in jobs_of(garden.actors.maren, "trial", timezone.now(), ())] == [job_id]
    assert jobs_of(garden.actors.tilda, "trial", timezone.now(), ()) == ()


def test_a_refusal_is_told_in_its_own_words_and_a_fault_in_ours(
    garden: Wendlebrook, caplog: pytest.LogCaptureFixture
) -> None:
    def refuse(_: Work) -> Outcome:
        raise MalformedInput("line 7", "has no bird; write one")

    def fail(_: Work) -> Outcome:
        raise ZeroDivisionError

    refused, failed = over(begun(garden, refuse)), over(begun(garden, fail))
    assert (refused.state, refused.said) == (REFUSED, "line 7: has no bird; write one.")
    assert failed.state == FAILED
    assert "could not be finished" in caplog.text


def test_one_job_at_a_time(garden: Wendlebrook) -> None:
    order: list[str] = []
    go_on = Event()

    def first(_: Work) -> Outcome:
        assert go_on.wait(LONGEST_S)
        order.append("first")
        return Outcome("")

    def second(_: Work) -> Outcome:
        order.append("second")
        return Outcome("")

    one, two = begun(garden, first), begun(garden, second)
    assert told(two).state == AT_WORK
    go_on.set()
    over(one), over(two)
    assert order == ["first", "second"]


def test_a_job_gives_signs_of_life_while_it_says_nothing_and_while_it_waits(
    garden: Wendlebrook, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(jobs, "_BEATS_EVERY_S", 0.01)
    go_on = Event()

    def silent(_: Work) -> Outcome:
        assert go_on.wait(LONGEST_S)
        return Outcome("said at last")

    both = [begun(garden, silent), begun(garden, silent)]
    begins = dict(Job.objects.values_list("pk", "asked_at"))
    until = time.monotonic() + LONGEST_S
    try:
        while not all(Job.objects.get(pk=one).beat_at > begins[one] for one in both):
            assert time.monotonic() < until, "another server would take it for broken off"
            time.sleep(0.01)
    finally:
        go_on.set()
    assert [over(one).said for one in both] == ["said at last"] * 2
    assert all(job.beat_at == job.ended_at for job in Job.objects.all())


def test_what_is_written_and_how_it_ended_are_kept_together_or_not_at_all(garden: Wendlebrook) -> None:
    def write(work: Work) -> Outcome:
        outcome = Outcome("written")
        with transaction.atomic():
            Exhibit.objects.create(name="Saltpan")
            work.ends(outcome)
            raise MalformedInput("", "the power went")
        return outcome

    ended = over(begun(garden, write))
    assert (ended.state, Exhibit.objects.filter(name="Saltpan").exists()) == (REFUSED, False)


def test_a_job_of_a_server_that_was_killed_is_told_as_broken_off(garden: Wendlebrook) -> None:
    job = Job.objects.create(kind="trial", title="Counting", by_id=garden.actors.maren)
    later = job.beat_at + timedelta(seconds=QUIET_S + 1)
    told_then = [
        job_told(job.pk, job.beat_at, ()),
        job_told(job.pk, later, ()),
        job_told(job.pk, later, {job.pk}),
    ]
    assert [one and one.state for one in told_then] == [AT_WORK, BROKEN_OFF, AT_WORK]


def test_old_jobs_and_their_files_are_cleared_away_and_no_export_holds_them(garden: Wendlebrook) -> None:
    old = over(begun(garden, lambda work: Outcome(str(work.file.write_text("old")))))
    long_ago = timezone.now() - timedelta(days=KEPT_DAYS + 1)
    Job.objects.filter(pk=old.job_id).update(asked_at=long_ago, ended_at=long_ago)
    new = over(begun(garden, lambda work: Outcome(str(work.file.write_text("new")))))
    assert job_told(old.job_id, timezone.now(), ()) is None
    assert (file_of(old.job_id).exists(), file_of(new.job_id).exists()) == (False, True)
    assert "job" not in table_names()
