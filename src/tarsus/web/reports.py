"""Reports: which there are for whoever asks, and each as a page, on paper and as a workbook."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from tarsus.core.errors import WrongValue
from tarsus.core.reports.report import Cell, Column, Part, Report
from tarsus.core.words.cells import cell_words
from tarsus.paper.report import report_paper
from tarsus.queries.inventory import month_days
from tarsus.queries.park_reports.asked import Asked, exhibits_by_name
from tarsus.queries.park_reports.register import REPORTS, ReportKind, report_of, span_asked
from tarsus.tables.book_out import XLSX
from tarsus.tables.report_book import write_report
from tarsus.web.access import VIEWER, may, passes
from tarsus.web.page_form import PageForm
from tarsus.web.park_time import park_of


class Span(PageForm):
    """What a report is asked about. Whatever is left out is the month before this one, of the whole park."""

    first = forms.DateField(label="From", required=False, widget=forms.DateInput(attrs={"type": "date"}))
    last = forms.DateField(
        label="To, both days included", required=False, widget=forms.DateInput(attrs={"type": "date"})
    )
    exhibit = forms.TypedChoiceField(label="Exhibit", required=False, coerce=int, empty_value=None)
    known = forms.DateField(
        label="As known on the evening of",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text="A past day: what was written by then, and beside it what is different now. Empty is now.",
    )

    def __init__(self, asked: Any, today: date) -> None:
        super().__init__(asked)
        self.today = today
        self.fields["exhibit"].choices = [("", "Whole park"), *exhibits_by_name()]  # type: ignore[attr-defined]  # a choice field

    def clean(self) -> dict[str, Any]:
        """The span whole, and in order."""
        said = super().clean() or {}
        try:
            first, last = span_asked(said.get("first"), said.get("last"), said.get("known"), self.today)
        except WrongValue as refusal:
            self.add_error(refusal.place, f"{refusal.message[:1].upper()}{refusal.message[1:]}.")
            return said
        return {**said, "first": first, "last": last}


@may(VIEWER)
def reports(request: HttpRequest) -> HttpResponse:
    """The reports that this person may ask for."""
    kinds = [kind for kind in REPORTS.values() if passes(request.user, *kind.roles)]
    return render(request, "web/reports.html", {"kinds": kinds})


@may(VIEWER)
def report(request: HttpRequest, name: str, form: str = "") -> HttpResponse:
    """One report: as a page, or in the form that is asked for (`pdf`, `xlsx`)."""
    kind = REPORTS.get(name)
    if kind is None or form not in ("", "pdf", "xlsx"):
        raise Http404("no such report; choose one under Reports")
    if not passes(request.user, *kind.roles):
        return render(request, "web/refused.html", {"roles": kind.roles}, status=403)
    span = Span(request.GET, timezone.localdate())
    if not span.is_valid():
        return render(request, "web/report.html", {"kind": kind, "form": span}, status=422)
    said = span.cleaned_data
    asked = Asked(said["first"], said["last"], timezone.now(), said["exhibit"])
    known = said["known"] if said["known"] != timezone.localdate() else None
    told = report_of(kind, asked, known)
    printed = f"{timezone.localtime():%-d %B %Y, %H:%M}"
    if form == "pdf":
        pdf = report_paper(told, park=park_of(request).on_paper, printed=printed, signatures=kind.month)
        return _file(pdf, "application/pdf", f"{_named(told, asked)}.pdf", "inline")
    if form == "xlsx":
        book = io.BytesIO()
        write_report(told, park=park_of(request).on_paper, printed=printed, out=book)
        return _file(book.getvalue(), XLSX, f"{_named(told, asked)}.xlsx", "attachment")
    return render(request, "web/report.html", _page(kind, told, asked, said))


def _page(kind: ReportKind, told: Report, asked: Asked, said: dict[str, Any]) -> dict[str, Any]:
    query = {"first": asked.first, "last": asked.last, "exhibit": asked.exhibit_id, "known": said["known"]}
    query = {name: value for name, value in query.items() if value is not None}
    shown = [
        {
            "part": part,
            "rows": [(row, _said(row.cells, part)) for row in part.rows],
            "total": _said(part.total, part),
        }
        for part in told.parts
    ]
    before = asked.first - timedelta(days=1)
    after = asked.last + timedelta(days=1)
    return {
        "kind": kind,
        "report": told,
        "shown": shown,
        "form": Span(query, timezone.localdate()),
        "query": urlencode(query),
        "month": asked.first,
        "before": urlencode({**query, "first": before.replace(day=1), "last": before}),
        "after": urlencode({**query, "first": after, "last": month_days(after)[1]})
        if after <= timezone.localdate()
        else "",
    }


def _said(cells: Sequence[Cell], part: Part) -> list[tuple[str, Column]]:
    pairs = zip(cells, part.columns, strict=False)
    return [(cell_words(cell, column.kind), column) for cell, column in pairs]


def _named(told: Report, asked: Asked) -> str:
    known = f"-as-known-{told.known_on}" if told.known_on else ""
    return f"{told.name}-{asked.first}-{asked.last}{known}"


def _file(contents: bytes, kind: str, name: str, how: str) -> HttpResponse:
    headers = {"Content-Disposition": f'{how}; filename="{name}"'}
    return HttpResponse(contents, content_type=kind, headers=headers)
