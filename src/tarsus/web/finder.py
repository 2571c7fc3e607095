"""Finding a bird from any page."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from tarsus.queries.finder import find_birds
from tarsus.web.access import VIEWER, may


@may(VIEWER)
def find(request: HttpRequest) -> HttpResponse:
    """Birds by any part of what they are known by; where only one goes with it, that bird."""
    found = find_birds(request.GET.get("q", ""), timezone.now())
    if len(found.birds) == 1:
        return redirect("bird", found.birds[0].bird_id)
    return render(request, "web/find.html", {"found": found})
