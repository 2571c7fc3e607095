"""The example of a list that works, on the page of the import and as a file."""

from __future__ import annotations

from django.http import HttpRequest, StreamingHttpResponse

from tarsus.queries.imports import exhibits_known, park_palette, species_known
from tarsus.tables.example import example_list
from tarsus.tables.writing import Table, csv_text
from tarsus.web.access import LEAD, RECORDS, may


def example_here() -> Table:
    """The example in this register's own words, in three queries and one for excluded colours."""
    banded = sorted((one for one in species_known() if one.sites), key=lambda one: one.form == "wings")
    return example_list(next(iter(banded), None), next(iter(exhibits_known()), None), park_palette())


@may(LEAD, RECORDS)
def example(_request: HttpRequest) -> StreamingHttpResponse:
    """The example as a CSV file, to be filled in."""
    answer = StreamingHttpResponse(csv_text(example_here()), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="birds.csv"'
    return answer
