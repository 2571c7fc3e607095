"""What programs ask of the whole park, as *Today*, *Stock*, *Reports* and their neighbours have it."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.utils import timezone
from ninja import Router

from tarsus.api.access import EITHER, asker_of
from tarsus.api.bird_schemas import DutyOut
from tarsus.api.paging import Asked, Page, RowAsked, page_of
from tarsus.api.park_schemas import (
    CaseOut,
    CatchUpOut,
    MeOut,
    MonthOut,
    NewsOut,
    SampleOut,
    StockOut,
    TodayOut,
    ToldOut,
    UnseenOut,
    WaitingOut,
)
from tarsus.api.report_schemas import ReportKindOut, ReportOut
from tarsus.api.routes import REFUSED
from tarsus.core.deeds.parsing import parse_moment
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import KEEPER, LEAD, RECORDS, VIEWER
from tarsus.core.errors import NoAnswer, WrongValue
from tarsus.queries.days import park_today
from tarsus.queries.duties import duties_of_park
from tarsus.queries.kept_catch_ups import open_plans, over_plans
from tarsus.queries.laboratory import samples_page
from tarsus.queries.months import months_listed
from tarsus.queries.park_reports import asked as reports_asked
from tarsus.queries.park_reports.asked import exhibits_by_name
from tarsus.queries.park_reports.register import REPORTS, report_of, span_asked
from tarsus.queries.since import LONGEST, news_since
from tarsus.queries.stock_page import stock_page
from tarsus.queries.today import today_at
from tarsus.queries.told_deeds import in_words, told_deed
from tarsus.queries.waiting import waiting_facts

router = Router(auth=EITHER, tags=["Park"])


@router.get("/me", response={200: MeOut, **REFUSED}, summary="Who asks, and what they may")
def me(request: HttpRequest) -> dict[str, Any]:
    asker = asker_of(request)
    device = asker.device
    people = [pk for pk, _ in device.people] if device else []
    return {
        "device": device.name if device else "",
        "person": asker.person_id,
        "exhibits": [pk for pk, _ in exhibits_by_name() if asker.sees(pk)],
        "people": people if asker.person_id is None else [asker.person_id],
        "may_tell": [name for name, deed in DEEDS.items() if asker.passes(*deed.who_may)],
    }


@router.get("/today", response={200: TodayOut, **REFUSED}, summary="The park today")
def today(request: HttpRequest) -> Any:
    asker_of(request).of_park(VIEWER)
    return today_at(timezone.now())


@router.get("/unseen", response={200: Page[UnseenOut], **REFUSED}, summary="Birds looked for and not seen")
def unseen(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker = asker_of(request)
    found = [bird for bird in today_at(timezone.now()).unseen if asker.sees(bird.portrait.exhibit_id)]
    return page_of(request, found, part)


@router.get("/cases", response={200: Page[CaseOut], **REFUSED}, summary="The vet's open cases")
def cases(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker = asker_of(request)
    found = [
        case
        for case in today_at(timezone.now()).cases
        if asker.device is None or (case.birds and all(asker.sees(bird.exhibit_id) for bird in case.birds))
    ]
    return page_of(request, found, part)


@router.get("/duties", response={200: Page[DutyOut], **REFUSED}, summary="What is due in the park")
def duties(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker = asker_of(request)
    return page_of(
        request, [duty for duty in duties_of_park(timezone.now()) if asker.sees(duty.exhibit)], part
    )


@router.get("/stock", response={200: StockOut, **REFUSED}, summary="Bands on the shelf, and runs of numbers")
def stock(request: HttpRequest) -> Any:
    asker_of(request).of_park(LEAD, RECORDS)
    return stock_page(timezone.now())


@router.get("/samples", response={200: Page[SampleOut], **REFUSED}, summary="Samples for the laboratory")
def samples(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker_of(request).of_park(KEEPER, RECORDS)
    page = samples_page(timezone.now())
    return page_of(request, [shown.sample for shown in (*page.here, *page.away, *page.done)], part)


@router.get(
    "/catch-ups",
    response={200: Page[CatchUpOut], **REFUSED},
    summary="Catch-ups that are open, or with `over` those that were lately",
)
def catch_ups(request: HttpRequest, part: Asked, over: bool = False) -> dict[str, Any]:
    asker = asker_of(request)
    found = over_plans(park_today()) if over else open_plans()
    plans = [now.plan for now in found if asker.sees(now.plan.exhibit_id)]
    return page_of(request, plans, part)


@router.get("/waiting", response={200: Page[WaitingOut], **REFUSED}, summary="Facts somebody has to look at")
def waiting(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker_of(request).of_park(KEEPER, RECORDS)
    return page_of(request, waiting_facts(), part)


@router.get(
    "/news", response={200: Page[NewsOut], **REFUSED}, summary="What is new of the birds since a moment"
)
def news(request: HttpRequest, part: Asked, after: datetime | None = None) -> dict[str, Any]:
    asker_of(request).of_park(VIEWER)
    now = timezone.now()
    begins = now - LONGEST if after is None else parse_moment(after.isoformat(), "after")
    return page_of(request, news_since(begins, now), part)


@router.get(
    "/facts/{fact_id}",
    tags=["Deeds"],
    response={200: ToldOut, **REFUSED},
    summary="One fact as it was told, for whoever may tell its like",
)
def fact(request: HttpRequest, fact_id: UUID) -> dict[str, Any]:
    asker = asker_of(request)
    asker.of_park(VIEWER)
    told = told_deed(fact_id)
    if told is None:
        raise NoAnswer("nothing was told under that id; a bird's history names the facts behind it")
    asker.as_one_of(*told.deed.who_may)
    return {
        "id": told.id,
        "kind": told.deed.name,
        "at": told.happened_at,
        "contents": told.contents,
        "words": in_words(told.deed, told.contents),
    }


@router.get("/months", response={200: Page[MonthOut], **REFUSED}, summary="Months, and who signed each")
def months(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker_of(request).of_park(VIEWER)
    return page_of(request, months_listed(park_today()), part)


@router.get("/reports", response={200: list[ReportKindOut], **REFUSED}, summary="Reports to ask for")
def reports(request: HttpRequest) -> list[Any]:
    asker = asker_of(request)
    return [kind for kind in REPORTS.values() if asker.passes(*kind.roles)]


@router.get("/reports/{name}", response={200: ReportOut, **REFUSED}, summary="One report of a span of days")
def report(
    request: HttpRequest,
    name: str,
    first: date | None = None,
    last: date | None = None,
    exhibit: RowAsked = None,
    known: date | None = None,
) -> Any:
    kind = REPORTS.get(name)
    if kind is None:
        raise NoAnswer(f"there is no report {name[:60]!r}; ask /api/v1/reports which there are")
    asker = asker_of(request)
    if exhibit is None or kind.of_park:
        asker.of_park(*kind.roles)
    if exhibit is not None:
        asker.of_exhibit(exhibit, *kind.roles)
        if exhibit not in dict(exhibits_by_name()):
            raise WrongValue(
                "exhibit", f"there is no exhibit {exhibit}; ask /api/v1/exhibits which there are"
            )
    begins, ends = span_asked(first, last, known, park_today())
    asked = reports_asked.Asked(begins, ends, timezone.now(), exhibit)
    return report_of(kind, asked, known if known != park_today() else None)
