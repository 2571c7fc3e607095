"""What programs ask of birds, as the pages of the birds have it."""

from __future__ import annotations

from typing import Annotated, Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Query, Router

from tarsus.api.access import EITHER, Asker, asker_of
from tarsus.api.bird_schemas import (
    BirdOut,
    BirdWholeOut,
    DayOut,
    DutyOut,
    EventOut,
    FoundOut,
    LookalikeOut,
    WeightOut,
    bird_out,
)
from tarsus.api.paging import Asked, Page, RowId, page_of
from tarsus.api.routes import REFUSED
from tarsus.queries.bird_lookalikes import lookalikes_of_bird
from tarsus.queries.bird_page import BirdPage, bird_page
from tarsus.queries.days import park_today
from tarsus.queries.duties import duties_of_bird
from tarsus.queries.finder import find_birds
from tarsus.queries.flock import birds_everywhere, birds_named

Sought = Annotated[str, Query(max_length=60)]
router = Router(auth=EITHER, tags=["Birds"])


def _bird(request: HttpRequest, bird_id: int) -> BirdPage:
    """The page of a bird that is theirs to ask of: a device's birds live in one of its exhibits."""
    _of_bird(asker_of(request), bird_id)
    return bird_page(bird_id, timezone.now())


def _of_bird(asker: Asker, bird_id: int) -> None:
    if asker.device is not None:
        living = birds_named([bird_id], park_today())
        asker.of_exhibit(living[0].exhibit_id if living else 0)


@router.get("/birds", response={200: Page[BirdOut], **REFUSED}, summary="Every bird that lives here today")
def birds(request: HttpRequest, part: Asked, lookalike: str | None = None) -> dict[str, Any]:
    asker = asker_of(request)
    found = [
        bird_out(bird)
        for bird in birds_everywhere(park_today())
        if asker.sees(bird.exhibit_id) and lookalike in (None, bird.lookalike)
    ]
    return page_of(request, found, part)


@router.get(
    "/find",
    response={200: list[FoundOut], **REFUSED},
    summary="Find birds by name, number, engraving or transponder",
)
def find(request: HttpRequest, q: Sought = "") -> list[Any]:
    asker = asker_of(request)
    found = find_birds(q, timezone.now()).birds
    here = (bird for bird in found if asker.sees(bird.portrait.exhibit_id if bird.portrait else None))
    return list(here)


@router.get("/birds/{bird_id}", response={200: BirdWholeOut, **REFUSED}, summary="One bird")
def bird(request: HttpRequest, bird_id: RowId) -> dict[str, Any]:
    page = _bird(request, bird_id)
    told = {name: getattr(page, name) for name in BirdWholeOut.model_fields if hasattr(page, name)}
    return told | {
        "id": bird_id,
        "name": page.portrait.name,
        "species": page.portrait.species,
        "lookalike": page.portrait.lookalike,
        "advice": page.unseen.advice if page.unseen else "",
        "cases": [case.case_id for case in page.cases],
    }


@router.get(
    "/birds/{bird_id}/history", response={200: Page[EventOut], **REFUSED}, summary="What happened to it"
)
def history(request: HttpRequest, bird_id: RowId, part: Asked) -> dict[str, Any]:
    return page_of(request, _bird(request, bird_id).events, part)


@router.get("/birds/{bird_id}/weights", response={200: Page[WeightOut], **REFUSED}, summary="Its weighings")
def weights(request: HttpRequest, bird_id: RowId, part: Asked) -> dict[str, Any]:
    return page_of(request, _bird(request, bird_id).weights, part)


@router.get(
    "/birds/{bird_id}/days",
    response={200: Page[DayOut], **REFUSED},
    summary="On which days it was met, and how",
)
def days(request: HttpRequest, bird_id: RowId, part: Asked) -> dict[str, Any]:
    return page_of(request, _bird(request, bird_id).strip, part)


@router.get(
    "/birds/{bird_id}/lookalikes",
    response={200: Page[LookalikeOut], **REFUSED},
    summary="Whom it may be taken for",
)
def lookalikes(request: HttpRequest, bird_id: RowId, part: Asked) -> dict[str, Any]:
    _bird(request, bird_id)
    return page_of(request, lookalikes_of_bird(bird_id, timezone.now()), part)


@router.get("/birds/{bird_id}/duties", response={200: Page[DutyOut], **REFUSED}, summary="What is due for it")
def duties(request: HttpRequest, bird_id: RowId, part: Asked) -> dict[str, Any]:
    _bird(request, bird_id)
    return page_of(request, duties_of_bird(bird_id, timezone.now()), part)
