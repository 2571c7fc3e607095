"""The page of long work: it asks again by itself, leads on when all is done, and is its asker's own."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from pages import shown
from tarsus.actions.jobs import file_of
from tarsus.queries.jobs import QUIET_S
from tarsus.records.models import Job, Park, Person

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]


def a_job(people: dict[str, Person], **also: object) -> Job:
    return Job.objects.create(kind="import", title="Bringing in birds.xlsx", by=people["rhea"], **also)


def test_a_job_at_work_shows_a_bar_and_the_browser_asks_again_without_a_script(
    park: Park, people: dict[str, Person], browser_of: Browser
) -> None:
    job = a_job(people, doing="Reading lines", done=50, steps=200)
    answer = browser_of("rhea").get(reverse("job", args=[job.pk]))
    page = shown(answer)
    assert int(answer["Refresh"]) > 0
    assert 'max="100" value="25"' in page
    assert "Reading lines: 50 of 200" in page


def test_a_job_that_is_done_leads_to_its_page(
    park: Park, people: dict[str, Person], browser_of: Browser
) -> None:
    job = a_job(people, ended_at=timezone.now(), outcome="done", said="Done.", leads_to="/import/7/")
    answer = browser_of("rhea").get(reverse("job", args=[job.pk]))
    assert (answer.status_code, answer["Location"]) == (302, "/import/7/")


def test_a_job_that_was_refused_or_broken_off_says_so_and_asks_no_more(
    park: Park, people: dict[str, Person], browser_of: Browser
) -> None:
    refused = a_job(people, ended_at=timezone.now(), outcome="refused", said="line 7: no bird.")
    broken = a_job(people, beat_at=timezone.now() - timedelta(seconds=QUIET_S + 5))
    written = a_job(people, beat_at=broken.beat_at)
    Job.objects.filter(pk=written.pk).update(kind="export")
    for job, words, back in (
        (refused, "line 7: no bird.", "import"),
        (broken, "what is in already is passed over", "import"),
        (written, "Nothing half done was kept", "export"),
    ):
        answer = browser_of("rhea").get(reverse("job", args=[job.pk]))
        page = shown(answer)
        assert words in page
        assert f'href="{reverse(back)}">To the {back}<' in page
        assert "Refresh" not in answer


def test_the_file_of_a_job_is_fetched_by_whoever_asked_for_it_alone(
    park: Park, people: dict[str, Person], browser_of: Browser, tmp_path: Path, settings: object
) -> None:
    settings.HOME = tmp_path  # type: ignore[attr-defined]  # pytest-django's settings
    job = a_job(people, ended_at=timezone.now(), outcome="done", said="Done.", file_name="park.json")
    file_of(job.pk).parent.mkdir()
    file_of(job.pk).write_bytes(b"{}")
    page = shown(browser_of("rhea").get(reverse("job", args=[job.pk])))
    assert reverse("job-file", args=[job.pk]) in page
    fetched = browser_of("rhea").get(reverse("job-file", args=[job.pk]))
    assert b"".join(fetched) == b"{}"  # type: ignore[arg-type]  # a file's parts
    assert 'filename="park.json"' in fetched["Content-Disposition"]
    for address in ("job", "job-file"):
        assert browser_of("oda").get(reverse(address, args=[job.pk])).status_code == 404


def test_a_file_that_is_old_or_lies_elsewhere_or_is_not_theirs_any_more_is_not_offered(
    park: Park, people: dict[str, Person], browser_of: Browser, tmp_path: Path, settings: object
) -> None:
    settings.HOME = tmp_path  # type: ignore[attr-defined]  # pytest-django's settings
    done = {"kind": "export", "outcome": "done", "said": "Done.", "file_name": "park.json"}
    rhea = browser_of("rhea")

    def offered(job: Job) -> bool:
        page = shown(rhea.get(reverse("job", args=[job.pk])))
        answer = rhea.get(reverse("job-file", args=[job.pk]))
        fetched = b"".join(answer) == b"{}"  # type: ignore[arg-type]  # a file's parts
        assert fetched == (f"Fetch {job.file_name}" in page) == ("is not here" not in page)
        return fetched

    jobs = [
        Job.objects.create(title="x", by=people["rhea"], ended_at=timezone.now(), **done) for _ in range(3)
    ]
    here, elsewhere, old = jobs
    file_of(here.pk).parent.mkdir()
    for job in (here, old):
        file_of(job.pk).write_bytes(b"{}")
    Job.objects.filter(pk=old.pk).update(asked_at=timezone.now() - timedelta(days=1, minutes=1))
    assert [offered(job) for job in (here, elsewhere, old)] == [True, False, False]
    Person.objects.filter(pk=people["rhea"].pk).update(role="lead")
    assert not offered(here)
