"""Whether the installation is sound: a page for whoever runs it, and an address that machines ask."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from tarsus.actions.safekeeping.soundness import WELL, answers, soundness
from tarsus.web.access import ADMINISTRATOR, anyone, may


@may(ADMINISTRATOR)
@require_GET
def sound(request: HttpRequest) -> HttpResponse:
    """Register, backups, disk, clock and what waits, each in a sentence; as `tarsus check` says it."""
    return render(request, "web/soundness.html", {"checked": soundness(timezone.now()), "well": WELL})


@anyone
@require_GET
def health(_request: HttpRequest) -> HttpResponse:
    """Whether the register answers; nothing else is told, so that anybody may ask."""
    fine = answers()
    told = {"state": "well" if fine else "wrong"}
    return JsonResponse(told, status=200 if fine else 503, headers={"Cache-Control": "no-store"})
