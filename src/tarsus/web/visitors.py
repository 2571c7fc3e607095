"""For visitors: the who's-who board of an exhibit, and the page its code leads to, where the park opens one.

The page is for anybody, so it is made of `queries/visitors.py` alone, without a session, and told to be kept:
a hundred phones before a board ask the register once in five minutes.
"""

from __future__ import annotations

from typing import Final

import segno
from django.conf import settings
from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_safe

from tarsus.paper.visitor_board import SIZES, BoardBird, BoardSpecies, WayThere, visitor_board
from tarsus.queries.days import park_today
from tarsus.queries.visitors import (
    VisitorBird,
    VisitorExhibit,
    exhibit_of_key,
    visitor_key,
    visitors_read,
    way_for_visitors,
)
from tarsus.web.access import VIEWER, anyone, may
from tarsus.web.guarding import address_of
from tarsus.web.papers import paper, printed_words
from tarsus.web.phone import ONLY_HERE
from tarsus.web.templatetags.birds import marks_in_words

KEPT_S: Final = 300
"""For so long a page is kept, here and by browsers."""
ASKED_AT_MOST: Final = 600
"""So often one address may read within a minute; more is answered with 429.

A park's own Wi-Fi, all its visitors on it, is one address; a page that is kept costs two short questions.
"""
GUESSED_AT_MOST: Final = 30
"""So often one address may ask within a minute for pages that are not there."""


@may(VIEWER)
def board(request: HttpRequest, exhibit_id: int, size: str) -> HttpResponse:
    """The board of an exhibit on display, on A4 or A3; with a code where visitors may open its page."""
    told = visitors_read(exhibit_id, park_today())
    if told is None or size not in SIZES:
        raise Http404("no such board; choose an exhibit on display, and A4 or A3")
    pdf = visitor_board(
        park=told.park,
        exhibit=told.exhibit,
        printed=printed_words(),
        species=_on_the_board(told),
        colours=told.colours,
        metal_letter=told.metal_letter,
        size=size,
        way=_way(request, exhibit_id),
    )
    return paper(pdf, f"who-is-who-{exhibit_id}-{size}.pdf")


@anyone
@require_safe
def page(request: HttpRequest, key: str) -> HttpResponse:
    """What visitors read of an exhibit: by its number or a link, as the park chose; 404 where it is off."""
    address = address_of(request)
    if _asks_too_often(address, "reading", ASKED_AT_MOST):
        return _too_many()
    exhibit_id = exhibit_of_key(key, settings.SECRET_KEY)
    if exhibit_id is None:
        if _asks_too_often(address, "guessing", GUESSED_AT_MOST):
            return _too_many()
        return HttpResponse("There is no such page.", status=404, content_type="text/plain; charset=utf-8")
    shown = cache.get_or_set(f"visitors-{exhibit_id}", lambda: _shown(exhibit_id), KEPT_S)
    headers = {"Cache-Control": f"public, max-age={KEPT_S}", "X-Robots-Tag": "noindex"}
    return HttpResponse(shown, headers=headers)


def _too_many() -> HttpResponse:
    return HttpResponse(
        "Too many at a time; try again in a minute.",
        status=429,
        content_type="text/plain; charset=utf-8",
        headers={"Retry-After": "60"},
    )


def _shown(exhibit_id: int) -> str:
    told = visitors_read(exhibit_id, park_today())
    assert told is not None, "the key was of an exhibit on display"
    birds = [(species, [(bird, *_in_words(bird)) for bird in species.birds]) for species in told.species]
    return render_to_string("web/visitors.html", {"told": told, "birds": birds})


def _in_words(bird: VisitorBird) -> tuple[str, str]:
    return _about(bird.sex, bird.age), marks_in_words(bird.marks.as_mapping(), bird.form)


def _on_the_board(told: VisitorExhibit) -> list[BoardSpecies]:
    return [
        BoardSpecies(
            species.name,
            species.scientific_name,
            [
                BoardBird(bird.name, _about(bird.sex, bird.age), bird.marks, bird.story)
                for bird in species.birds
            ],
        )
        for species in told.species
    ]


def _about(sex: str, age: str) -> str:
    return ", ".join(filter(None, (sex, age)))


def _way(request: HttpRequest, exhibit_id: int) -> WayThere | None:
    """The page's address with its code; none where it is off, or where no phone reaches this server."""
    key = visitor_key(exhibit_id, settings.SECRET_KEY, way_for_visitors())
    here = settings.ADDRESS.rstrip("/")
    if not here and request.get_host().rsplit(":", 1)[0] not in ONLY_HERE:
        here = f"{'https' if settings.BEHIND_TLS else request.scheme}://{request.get_host()}"
    if not key or not here:
        return None
    address = f"{here}{reverse('visitors', args=[key])}"
    rows = segno.make(address, error="m", micro=False).matrix
    return WayThere(address, ["".join("1" if dot else "0" for dot in row) for row in rows])


def _asks_too_often(address: str, doing: str, at_most: int) -> bool:
    """Count what an address asks from its first question on; another minute begins after it."""
    count = f"visitors-{doing}-{address}"
    if cache.add(count, 1, 60):
        return False
    try:
        return cache.incr(count) > at_most
    except ValueError:  # its minute ended between the two
        return False
