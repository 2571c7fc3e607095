"""Export: one table at once, or everything in the background, as a workbook, CSV, JSON or Darwin Core."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from typing import Any, Final

from django import forms
from django.http import FileResponse, HttpRequest, HttpResponseBase, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from tarsus.actions.exports import KIND, begin_export
from tarsus.actions.jobs import jobs_at_work
from tarsus.queries.days import park_today
from tarsus.queries.exports import one_moment, table_names, tables_held
from tarsus.queries.jobs import jobs_of
from tarsus.queries.occurrences import occurrences
from tarsus.tables.book_out import XLSX, write_workbook
from tarsus.tables.writing import Table, csv_text, json_text
from tarsus.web.access import RECORDS, may, person_id
from tarsus.web.page_form import PageForm

WHOLE: Final = ""
FORMS: Final = (("xlsx", "Workbook (XLSX)"), ("json", "JSON, which can be read back whole"), ("csv", "CSV"))


class ExportForm(PageForm):
    """What goes out, and in which form."""

    what = forms.ChoiceField(label="What", required=False)
    form = forms.ChoiceField(label="As", choices=FORMS)

    def __init__(self, asked: Any = None) -> None:
        super().__init__(asked)
        self.fields["what"].choices = [  # type: ignore[attr-defined]  # a choice field
            (WHOLE, "Everything"),
            ("occurrences", "Observed sightings, as occurrences of Darwin Core"),
            *((name, name.replace("_", " ").capitalize()) for name in table_names()),
        ]

    def clean(self) -> dict[str, Any]:
        """One table a CSV file."""
        said = super().clean() or {}
        if said.get("form") == "csv" and said.get("what") == WHOLE:
            self.add_error("form", "A CSV file holds one table; choose which, or take a workbook or JSON.")
        return said


@may(RECORDS)
def export(request: HttpRequest) -> HttpResponseBase:
    """The form; one table that it asks for, or the page of the job that writes everything."""
    form = ExportForm(request.POST or None)
    if request.method != "POST" or not form.is_valid():
        now, by = timezone.now(), person_id(request)
        shown = {"form": form, "written": jobs_of(by, KIND, now, jobs_at_work())}
        return render(request, "web/export.html", shown, status=422 if form.errors else 200)
    what, kind = form.cleaned_data["what"], form.cleaned_data["form"]
    if what == WHOLE:
        return redirect("job", begin_export(form=kind, by=person_id(request)))
    name = f"{what.replace('_', '-')}-{timezone.localdate():%Y-%m-%d}.{kind}"
    if kind == "xlsx":
        # A workbook's list of sheets stands at its end: it is written whole before it goes out.
        whole = tempfile.TemporaryFile()  # noqa: SIM115  # the answer closes it
        with one_moment():
            write_workbook([_table(what)], whole)
        whole.seek(0)
        return FileResponse(whole, as_attachment=True, filename=name, content_type=XLSX)
    told = {"json": "application/json", "csv": "text/csv; charset=utf-8"}[kind]
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return StreamingHttpResponse(_text(what, kind), content_type=told, headers=headers)


def _table(what: str) -> Table:
    if what == "occurrences":
        return occurrences()
    return next(table for table in tables_held(park_today()) if table.name == what)


def _text(what: str, kind: str) -> Iterator[str]:
    with one_moment():
        yield from json_text([_table(what)]) if kind == "json" else csv_text(_table(what))
