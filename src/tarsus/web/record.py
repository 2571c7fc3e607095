"""The record that travels with a bird, to be printed."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.text import slugify

from tarsus.paper.bird_record import bird_record
from tarsus.queries.bird_page import NoSuchBird
from tarsus.queries.bird_record import record_of
from tarsus.queries.days import park_zone
from tarsus.web.access import KEEPER, RECORDS, may


@may(KEEPER, RECORDS)
def record(_request: HttpRequest, bird_id: int) -> HttpResponse:
    """The record of one bird as a PDF."""
    now = timezone.now()
    try:
        park, bird, species, parts = record_of(bird_id, now)
    except NoSuchBird as refusal:
        raise Http404(str(refusal)) from None
    printed = f"{timezone.localtime(now, park_zone()):%-d %B %Y, %H:%M}"
    pdf = bird_record(park=park, bird=bird, species=species, printed=printed, parts=parts)
    name = f"record-{slugify(bird) or bird_id}.pdf"
    return HttpResponse(
        pdf, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'}
    )
