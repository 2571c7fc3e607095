"""Samples for sex tests: what is still here, what is away, and a laboratory's file of results."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from tarsus.actions.facts import REFUSED
from tarsus.core.errors import MalformedInput
from tarsus.queries.laboratory import LineLooked, results_looked_at, samples_page
from tarsus.tables.laboratory import ResultLine, read_results
from tarsus.web.access import may_do, may_tell
from tarsus.web.page_form import refused_once
from tarsus.web.telling import refusal_of, tell

_KEY: Final = "laboratory_draft"
MOST_LINES: Final = 2_000


@may_tell("sample_sent")
@require_GET
def samples(request: HttpRequest) -> HttpResponse:
    """Every sample that waits, and the results that name none of ours."""
    return _page(request)


def _page(request: HttpRequest, refusal: str = "") -> HttpResponse:
    told = {
        "page": samples_page(timezone.now()),
        "may_read": may_do(request.user, "sex_finding"),
        "draft": request.session.get(_KEY),
        "refused": refused_once(refusal, "file", "File"),
    }
    return render(request, "web/samples.html", told, status=422 if refusal else 200)


@may_tell("sample_sent")
@require_POST
def send(request: HttpRequest) -> HttpResponse:
    """Send the samples that are ticked to one laboratory."""
    laboratory = request.POST.get("laboratory", "").strip()
    sent = 0
    for test in request.POST.getlist("test"):
        answer = tell(request, "sample_sent", {"test": test, "laboratory": laboratory})
        if answer.outcome == REFUSED:
            messages.error(request, refusal_of(answer))
        else:
            sent += 1
    if sent:
        messages.success(request, f"{_samples(sent)} sent to {laboratory}.")
    elif not request.POST.getlist("test"):
        messages.error(request, "No sample was ticked; tick those that are sent.")
    return redirect("samples")


@may_tell("sex_finding")
@require_POST
def read(request: HttpRequest) -> HttpResponse:
    """Take a laboratory's file and look at it; nothing of it is told yet."""
    file = request.FILES.get("file")
    try:
        if file is None or not file.name:
            raise MalformedInput("", "no file was chosen; choose the laboratory's list of results")
        lines = read_results(file.read(), file.name)
        if len(lines) > MOST_LINES:
            raise MalformedInput(file.name, f"has {len(lines)} results; send at most {MOST_LINES} at once")
    except MalformedInput as reason:
        return _page(request, str(reason))
    request.session[_KEY] = {"name": file.name, "lines": [asdict(line) for line in lines]}
    return redirect("samples-results")


@may_tell("sex_finding")
def results(request: HttpRequest) -> HttpResponse:
    """Look at every line of the file, and tell what it says."""
    draft: dict[str, Any] | None = request.session.get(_KEY)
    if draft is None:
        return redirect("samples")
    looked = results_looked_at([ResultLine(**line) for line in draft["lines"]], timezone.now())
    if request.method == "POST":
        request.session.pop(_KEY)
        if "leave" in request.POST:
            messages.success(request, "The file was put aside; nothing of it was written.")
        else:
            _tell(request, looked, draft["name"], request.POST.get("laboratory", "").strip())
        return redirect("samples")
    told = {
        "name": draft["name"],
        "lines": looked,
        "tells": sum(bool(line.deed) for line in looked),
        "found": sum(line.deed == "sex_finding" for line in looked),
        "asks": sum(line.deed == "result_unplaced" for line in looked),
    }
    return render(request, "web/samples_results.html", told)


def _tell(request: HttpRequest, looked: tuple[LineLooked, ...], name: str, laboratory: str) -> None:
    """Tell every line that says something; what is refused is said, and the rest goes in all the same."""
    told = {"sex_finding": 0, "sample_unanswered": 0, "result_unplaced": 0}
    for line in looked:
        if not line.deed:
            continue
        answer = tell(request, line.deed, _values(line, name, laboratory))
        if answer.outcome == REFUSED:
            messages.error(request, f"Line {line.line}, {line.label}: {refusal_of(answer)}")
        else:
            told[line.deed] += 1
    words = {
        "sex_finding": "sexed",
        "sample_unanswered": "without an answer",
        "result_unplaced": "not ours: whose they are is a question on this page",
    }
    said = [f"{number} {words[deed]}" for deed, number in told.items() if number]
    if said:
        messages.success(request, f"{name}: {', '.join(said)}.")


def _values(line: LineLooked, name: str, laboratory: str) -> dict[str, Any]:
    if line.deed == "sex_finding":
        return {"bird": line.bird_id, "sex": line.sex, "known_by": "DNA", "test": line.test_id}
    if line.deed == "sample_unanswered":
        return {"test": line.test_id, "why": f"{name}, line {line.line}"[:120]}
    note = f"{name}, line {line.line}"[:200]
    return {"label": line.label, "sex": line.sex, "laboratory": laboratory[:120], "note": note}


def _samples(number: int) -> str:
    return "1 sample" if number == 1 else f"{number} samples"
