"""Pages that ask nothing of the register: the list of pages, and how a bird is drawn."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from tarsus.web.access import VIEWER, may
from tarsus.web.drawing_examples import FIGURES, GLYPHS
from tarsus.web.park_time import park_of


@may(VIEWER)
def more(request: HttpRequest) -> HttpResponse:
    """The pages that do not fit along the edge of a phone, this device's scheme, and signing out."""
    return render(request, "web/more.html")


@may(VIEWER)
def on_this_phone(request: HttpRequest) -> HttpResponse:
    """The shell that a phone shows for a page it cannot have now: what of it is on the phone."""
    return render(request, "web/on_this_phone.html")


@may(VIEWER)
def drawing(request: HttpRequest) -> HttpResponse:
    """How a bird is drawn: every form and every state, in the park's own colours and letters."""
    told = {"figures": FIGURES, "glyphs": GLYPHS, "letters": park_of(request).letters}
    return render(request, "web/drawing.html", told)
