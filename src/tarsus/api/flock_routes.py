"""What programs ask of flocks and of one exhibit, as the pages of them have it."""

from __future__ import annotations

from typing import Annotated, Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Path, Router

from tarsus.api.access import EITHER, asker_of, asker_of_exhibit
from tarsus.api.flock_schemas import (
    CalendarOut,
    ExhibitWholeOut,
    FlockWholeOut,
    PairIn,
    PairOut,
    PlanOut,
    ReadinessOut,
    WhoIn,
    WhoOut,
)
from tarsus.api.paging import Asked, Page, RowAsked, RowId, page_of
from tarsus.api.park_schemas import FlockOut
from tarsus.api.routes import REFUSED
from tarsus.core.deeds.rights import KEEPER, LEAD, RECORDS
from tarsus.core.documents.fields import parse_marks
from tarsus.core.marks.palette import Palette
from tarsus.queries.asked import identified_across
from tarsus.queries.exhibit_page import all_flocks, exhibit_page
from tarsus.queries.exhibit_plan import plan_page
from tarsus.queries.flock_page import flock_page
from tarsus.queries.pair_page import pair_page
from tarsus.queries.park import park_face
from tarsus.queries.park_reports.asked import exhibits_by_name
from tarsus.queries.practice import readiness_for
from tarsus.queries.presence_calendar import presence_calendar

Lookalike = Annotated[str, Path(max_length=60)]
router = Router(auth=EITHER, tags=["Flocks"])


@router.get("/flocks", response={200: Page[FlockOut], **REFUSED}, summary="Every flock of the park")
def flocks(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker = asker_of(request)
    found = [flock for flock in all_flocks(timezone.now()) if asker.sees(flock.exhibit_id)]
    return page_of(request, found, part)


@router.get(
    "/exhibits/{exhibit_id}",
    response={200: ExhibitWholeOut, **REFUSED},
    summary="One exhibit: its places, its flocks, its roll call of today",
)
def exhibit(request: HttpRequest, exhibit_id: RowId) -> Any:
    asker_of_exhibit(request, exhibit_id)
    return exhibit_page(exhibit_id, timezone.now())


@router.get(
    "/exhibits/{exhibit_id}/flocks/{lookalike}",
    response={200: FlockWholeOut, **REFUSED},
    summary="One flock: who is mistaken for whom, and how many more birds fit",
)
def flock(request: HttpRequest, exhibit_id: RowId, lookalike: Lookalike) -> Any:
    asker_of_exhibit(request, exhibit_id)
    return flock_page(exhibit_id, lookalike, timezone.now())


@router.get(
    "/exhibits/{exhibit_id}/flocks/{lookalike}/days",
    response={200: CalendarOut, **REFUSED},
    summary="The presence calendar of a flock",
)
def calendar(request: HttpRequest, exhibit_id: RowId, lookalike: Lookalike) -> Any:
    asker_of_exhibit(request, exhibit_id)
    return presence_calendar(exhibit_id, lookalike, timezone.now())


@router.post(
    "/exhibits/{exhibit_id}/flocks/{lookalike}/pair",
    response={200: PairOut, **REFUSED},
    summary="Two look-alikes side by side, as they are or as they might be marked",
)
def pair(request: HttpRequest, exhibit_id: RowId, lookalike: Lookalike, asked: PairIn) -> Any:
    asker_of_exhibit(request, exhibit_id)
    palette = Palette.of(park_face().palette)
    thought_of = {
        bird: parse_marks(marks, place, palette)
        for bird, marks, place in (
            (asked.one, asked.one_marks, "one_marks"),
            (asked.other, asked.other_marks, "other_marks"),
        )
        if marks is not None
    }
    return pair_page(exhibit_id, lookalike, asked.one, asked.other, timezone.now(), thought_of)


@router.get(
    "/exhibits/{exhibit_id}/plan",
    response={200: PlanOut, **REFUSED},
    summary="Its plan, and the walk to its missing birds or to one of them",
)
def plan(request: HttpRequest, exhibit_id: RowId, bird: RowAsked = None) -> dict[str, Any]:
    asker_of_exhibit(request, exhibit_id)
    page = plan_page(exhibit_id, timezone.now(), bird)
    return {
        "exhibit": exhibit_id,
        "drawn": page.plan.drawn() if page.plan else None,
        "missing": [one.portrait for one in page.search.missing],
        "steps": page.search.steps,
        "says": page.search.says,
    }


@router.get(
    "/exhibits/{exhibit_id}/readiness",
    response={200: list[ReadinessOut], **REFUSED},
    summary="Who is ready to call it, as far as they share it",
)
def readiness(request: HttpRequest, exhibit_id: RowId) -> list[Any]:
    asker_of_exhibit(request, exhibit_id, LEAD)
    return list(readiness_for(exhibit_id))


@router.post(
    "/identify",
    tags=["Park"],
    response={200: list[WhoOut], **REFUSED},
    summary="Who the birds of these readings may be, across all exhibits that are yours to ask of",
)
def identify(request: HttpRequest, asked: WhoIn) -> list[Any]:
    asker = asker_of(request)
    asker.as_one_of(KEEPER, RECORDS)
    by = asker.in_the_name_of(asked.by)
    exhibits = [pk for pk, _ in exhibits_by_name() if asker.sees(pk)]
    # A list: the library takes a tuple of two for a status with its answer.
    return list(identified_across(exhibits, by, asked.readings, timezone.now(), visitor=asked.visitor))
