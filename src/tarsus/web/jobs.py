"""The page of long work: how far it is, told anew every few seconds without a script, then where it leads."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from uuid import UUID

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from tarsus.actions.exports import KIND as EXPORT
from tarsus.actions.jobs import FILES_KEPT_DAYS, file_of, jobs_at_work
from tarsus.queries.jobs import AT_WORK, DONE, JobTold, job_told
from tarsus.web.access import LEAD, RECORDS, may, passes, person_id

_ASKS_EVERY_S = 2


@may(LEAD, RECORDS)
def job(request: HttpRequest, job_id: UUID) -> HttpResponse:
    """How far a job is. The browser asks again by itself; a page that was closed is found again here."""
    told = _own(request, job_id)
    if told.state == DONE and told.leads_to:
        return redirect(told.leads_to)
    shown = {
        "job": told,
        "at_work": told.state == AT_WORK,
        "file_here": _file_here(request, told) is not None,
    }
    answer = render(request, "web/job.html", shown)
    if told.state == AT_WORK:
        answer["Refresh"] = str(_ASKS_EVERY_S)
    return answer


@may(LEAD, RECORDS)
def job_file(request: HttpRequest, job_id: UUID) -> FileResponse:
    """The file that a job left."""
    told = _own(request, job_id)
    path = _file_here(request, told)
    if path is None:
        raise Http404("this file is not there any more; ask for it again")
    return FileResponse(path.open("rb"), as_attachment=True, filename=told.file_name)


def _file_here(request: HttpRequest, told: JobTold) -> Path | None:
    """The file of a job, for a day and for whoever may still ask for one; another server keeps its own."""
    fresh = timezone.now() - told.asked_at < timedelta(days=FILES_KEPT_DAYS)
    allowed = told.kind != EXPORT or passes(request.user, RECORDS)
    path = file_of(told.job_id)
    there = told.state == DONE and told.file_name and fresh and allowed and path.is_file()
    return path if there else None


def _own(request: HttpRequest, job_id: UUID) -> JobTold:
    """A job of whoever is signed in; other people's are not theirs to see."""
    told = job_told(job_id, timezone.now(), jobs_at_work())
    if told is None or told.by != person_id(request):
        raise Http404("you asked for no such work")
    return told
