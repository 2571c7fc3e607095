"""What programs ask of catch-ups, of *In hand* and of one month, as their pages have it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Annotated, Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Query, Router

from tarsus.api.access import EITHER, asker_of, asker_of_exhibit
from tarsus.api.catch_schemas import CatchUpDayOut, MonthWholeOut, ProposedOut
from tarsus.api.paging import RowAsked, RowId
from tarsus.api.routes import REFUSED
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import KEEPER, RECORDS, VIEWER
from tarsus.core.errors import WrongValue
from tarsus.queries import catch_up
from tarsus.queries.catch_up_day import NoSuchCatchUp, catch_up_day
from tarsus.queries.days import park_today
from tarsus.queries.exports import one_moment
from tarsus.queries.hand_pack import hand_pack_of_park
from tarsus.queries.kept_catch_ups import DAWN, kept_plan
from tarsus.queries.months import month_asked

FURTHEST = timedelta(days=366)
"""So far from today a catch-up is proposed for."""
_DAY = 24
Hour = Annotated[float, Query(ge=0, lt=_DAY, allow_inf_nan=False)]
Minutes = Annotated[float, Query(ge=0, le=120, allow_inf_nan=False)]
Birds = Annotated[list[int] | None, Query(max_length=50)]
router = Router(auth=EITHER, tags=["Catch-ups and months"])


@router.get(
    "/exhibits/{exhibit_id}/catch-up",
    response={200: ProposedOut, **REFUSED},
    summary="A catch-up as it is proposed for a day, tomorrow unless another is asked for",
)
def proposal(
    request: HttpRequest,
    exhibit_id: RowId,
    day: date | None = None,
    starts_hour: Hour = DAWN,
    chase_minutes: Minutes = 5.0,
    add: Birds = None,
    out: Birds = None,
) -> dict[str, Any]:
    asker_of_exhibit(request, exhibit_id, *DEEDS["catch_up_kept"].who_may)
    today = park_today()
    on = day or today + timedelta(days=1)
    if abs(on - today) > FURTHEST:
        raise WrongValue("day", "is more than a year from today; ask of a day nearer by")
    asked = catch_up.Asked(
        exhibit_id, on, starts_hour, chase_minutes, frozenset(add or ()), frozenset(out or ())
    )
    told = catch_up.proposed(asked, timezone.now())
    own = {name: getattr(told, name) for name in ProposedOut.model_fields if hasattr(told, name)}
    return own | {
        "exhibit": exhibit_id,
        "day": on,
        "starts_hour": starts_hour,
        "chase_minutes": chase_minutes,
    }


@router.get(
    "/catch-ups/{catch_up_id}",
    response={200: CatchUpDayOut, **REFUSED},
    summary="One catch-up: whom it takes, the kit, what became of each bird",
)
def kept(request: HttpRequest, catch_up_id: RowId) -> Any:
    asker = asker_of(request)
    plan = kept_plan(catch_up_id)
    if plan is None or not asker.sees(plan.exhibit_id):
        raise NoSuchCatchUp(catch_up_id)
    asker.of_exhibit(plan.exhibit_id)
    return catch_up_day(catch_up_id, timezone.now())


@router.get(
    "/in-hand/pack",
    response={200: dict[str, Any], **REFUSED},
    summary="What a phone takes along to birds in hand: all birds, the stock, the catch-ups",
)
def hand_pack(request: HttpRequest, by: RowAsked = None) -> Any:
    asker = asker_of(request)
    asker.of_park(KEEPER, RECORDS)
    with one_moment():  # as for a phone: a bird that moves meanwhile is in all of it, or in nothing of it
        return hand_pack_of_park(asker.in_the_name_of(by), timezone.now())


@router.get(
    "/months/{month}",
    response={200: MonthWholeOut, **REFUSED},
    summary="One month's inventory, as it was signed or as it is known now",
)
def month(request: HttpRequest, month: str, version: RowAsked = None) -> dict[str, Any]:
    asker_of(request).of_park(VIEWER)
    page = month_asked(month, park_today(), version)
    return {
        "first_day": page.first_day,
        "last_day": page.last_day,
        "over": page.over,
        "balances": page.balances,
        "held": MonthWholeOut.table(page.held),
        "owned": MonthWholeOut.table(page.owned),
        "exhibits": [MonthWholeOut.table(one) for one in page.exhibits],
        "eggs": page.eggs,
        "signed": page.signed,
        "versions": page.versions,
        "changed": page.changed,
    }
