"""The page of two look-alikes side by side."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString

from tarsus.core.documents.text import parse_json
from tarsus.core.errors import MalformedInput, WrongValue
from tarsus.core.marks.marks import METAL, Marks
from tarsus.queries.flock_page import NoSuchFlock
from tarsus.queries.pair_page import NoSuchPair, PairPage, pair_page
from tarsus.queries.park import park_face
from tarsus.web.access import VIEWER, may
from tarsus.web.templatetags.birds import plain


@may(VIEWER)
def pair(request: HttpRequest, exhibit_id: int, lookalike: str, one: int, other: int) -> HttpResponse:
    """Two birds of a flock; `one` and `other` in the address are marks that are proposed for them."""
    try:
        thought_of = {
            bird: _marks(request.GET[key])
            for key, bird in (("one", one), ("other", other))
            if key in request.GET
        }
        page = pair_page(exhibit_id, lookalike, one, other, timezone.now(), thought_of)
    except (NoSuchFlock, NoSuchPair, MalformedInput) as refusal:
        raise Http404(str(refusal)) from None
    return render(request, "web/pair.html", {"page": page, "drawn": pair_drawing(page)})


def pair_drawing(page: PairPage) -> SafeString:
    """Both birds as the page's script draws them; in words where none runs."""
    one, other = ({"name": bird.name, "marks": bird.marks} for bird in (page.one, page.other))
    return format_html(
        '<pair-drawing one="{}" other="{}" chances="{}">{}: {}</pair-drawing>',
        plain(one),
        plain(other),
        plain(page.by_eyes),
        page.other.name,
        page.why,
    )


def _marks(text: str) -> Marks:
    """The marks that an address carries, of bands that the park has."""
    told: Any = parse_json(text, "marks")
    known = {METAL, *park_face().palette}
    if not isinstance(told, dict) or not all(
        isinstance(bands, list) and known.issuperset(map(str, bands)) for bands in told.values()
    ):
        raise WrongValue("marks", "are none of this park's; go to the flock and choose a pair")
    return Marks.of({str(site): tuple(str(band) for band in bands) for site, bands in told.items()})
