"""Nests: what is in them; what was found is told by its deeds."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from tarsus.core.care.nests_said import became_said, nest_said
from tarsus.queries.nests import NoSuchExhibit, exhibits_with_nests, lines_of_nests, nest_page
from tarsus.web.access import VIEWER, may


@may(VIEWER)
def nests(request: HttpRequest) -> HttpResponse:
    """The exhibits, each with the number of nests that last."""
    return render(request, "web/nests_exhibits.html", {"exhibits": exhibits_with_nests(timezone.now())})


@may(VIEWER)
def nests_of(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """The nests of one exhibit."""
    try:
        page = nest_page(exhibit_id, timezone.now())
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None
    lines = lines_of_nests(nest.nest_id for nest in page.nests)
    told = {
        "page": page,
        "nests": [
            (nest, nest_said(nest.standing, nest.to_on), lines.get(nest.nest_id, ())) for nest in page.nests
        ],
        "became": became_said(page.hatched, page.became, page.on_roll),
    }
    return render(request, "web/nests.html", told)
