"""Export: everything the register holds, or one table of it, as a workbook, CSV, JSON or Darwin Core."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from typing import Any, Final

from django import forms
from django.http import FileResponse, HttpRequest, HttpResponseBase, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone

from tarsus.queries.exports import one_moment, park_today, table_names, tables_held
from tarsus.queries.occurrences import occurrences
from tarsus.tables.book_out import XLSX, write_workbook
from tarsus.tables.writing import Table, csv_text, json_text
from tarsus.web.access import RECORDS, may
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
    """The form, and what it asks for, all as of one moment while others go on recording."""
    form = ExportForm(request.GET if "form" in request.GET else None)
    if not form.is_valid():
        return render(request, "web/export.html", {"form": form}, status=422 if form.errors else 200)
    what, kind = form.cleaned_data["what"], form.cleaned_data["form"]
    name = f"{what.replace('_', '-') or 'tarsus'}-{timezone.localdate():%Y-%m-%d}.{kind}"
    if kind == "xlsx":
        # A workbook's list of sheets stands at its end: it is written whole before it goes out.
        whole = tempfile.TemporaryFile()  # noqa: SIM115  # the answer closes it
        with one_moment():
            write_workbook(_tables(what), whole)
        whole.seek(0)
        return FileResponse(whole, as_attachment=True, filename=name, content_type=XLSX)
    told = {"json": "application/json", "csv": "text/csv; charset=utf-8"}[kind]
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return StreamingHttpResponse(_text(what, kind), content_type=told, headers=headers)


def _tables(what: str) -> Iterator[Table]:
    if what == "occurrences":
        yield occurrences()
        return
    yield from (table for table in tables_held(park_today()) if what in (WHOLE, table.name))


def _text(what: str, kind: str) -> Iterator[str]:
    with one_moment():
        if kind == "json":
            yield from json_text(_tables(what))
        else:
            for table in _tables(what):
                yield from csv_text(table)
