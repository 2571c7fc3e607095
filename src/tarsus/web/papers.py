"""Papers of an exhibit and of a catch-up: the band chart for the wall, the kit list and the cards."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from tarsus.paper.band_chart import SIZES, band_chart
from tarsus.paper.catch_up_cards import catch_up_cards
from tarsus.queries.catch_up_day import NoSuchCatchUp
from tarsus.queries.catch_up_paper import catch_up_on_paper
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.sheet import sheet_of
from tarsus.web.access import KEEPER, RECORDS, VIEWER, may


@may(VIEWER)
def chart(_request: HttpRequest, exhibit_id: int, size: str) -> HttpResponse:
    """The band chart of an exhibit, on A4 or A3."""
    now = timezone.now()
    asked = sheet_of(exhibit_id, day_of(now, park_zone()))
    if asked is None or size not in SIZES:
        raise Http404("no such exhibit or paper; open the exhibit and choose A4 or A3")
    pdf = band_chart(
        park=asked.park,
        exhibit=asked.exhibit,
        printed=printed_words(),
        flocks=asked.flocks,
        colours=asked.colours,
        metal_letter=asked.metal_letter,
        size=size,
    )
    return paper(pdf, f"bands-{exhibit_id}-{size}.pdf")


@may(KEEPER, RECORDS)
def cards(_request: HttpRequest, catch_up_id: int) -> HttpResponse:
    """The kit list and the cards of a catch-up."""
    try:
        asked = catch_up_on_paper(catch_up_id, timezone.now())
    except NoSuchCatchUp as refusal:
        raise Http404(str(refusal)) from None
    told = asked.told
    allowed = f"{told.limits.minutes:g} minutes from the start of catching"
    limits = f"The vet’s limits: {allowed}, {told.limits.too_hot_c:g} °C"
    cold = f", not below {told.limits.too_cold_c:g} °C" if told.limits.too_cold_c is not None else ""
    forecast = told.forecast
    expected = f"{forecast.high_c:g} °C forecast." if forecast else "No forecast is written for that day."
    pdf = catch_up_cards(
        park=asked.park,
        exhibit=told.plan.exhibit,
        day=f"{told.plan.planned_for:%A %-d %B %Y}",
        times=f"from {_hour(told.plan.starts_hour)}, over by {_hour(told.over_hour)}",
        printed=printed_words(),
        limits=(f"{limits}{cold}.", expected),
        forbidden=told.forbidden,
        caution=told.caution,
        kit=told.kit,
        cards=asked.cards,
        colours=asked.colours,
        metal_letter=asked.metal_letter,
    )
    return paper(pdf, f"catch-up-{catch_up_id}.pdf")


def printed_words() -> str:
    """When a paper is printed, in words and by the park's clock."""
    return f"{timezone.localtime(timezone.now(), park_zone()):%-d %B %Y, %H:%M}"


def paper(pdf: bytes, name: str) -> HttpResponse:
    """A PDF as an answer, shown in the browser under its name."""
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)


def _hour(hour: float) -> str:
    minutes = round(60 * hour)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
