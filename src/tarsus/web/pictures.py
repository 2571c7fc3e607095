"""A picture that is kept with a sighting."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from tarsus.queries.photographs import jpeg_of
from tarsus.web.access import VIEWER, may


@may(VIEWER)
@require_GET
def picture(_request: HttpRequest, photograph_id: UUID) -> HttpResponse:
    """The picture itself, for whoever may see birds; no browser keeps it, since it goes one day."""
    jpeg = jpeg_of(photograph_id)
    if jpeg is None:
        raise Http404("no such picture is kept; it was removed, or its days are over")
    headers = {"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff"}
    return HttpResponse(jpeg, content_type="image/jpeg", headers=headers)
