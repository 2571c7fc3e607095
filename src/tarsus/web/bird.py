"""The page of one bird."""

from __future__ import annotations

from datetime import datetime
from typing import Final
from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from tarsus.core.care.weight_rests import asked_again, rests_on, weights_shown
from tarsus.core.deeds.fields import Kind
from tarsus.core.deeds.register import DEEDS
from tarsus.queries.bird_events import Event
from tarsus.queries.bird_lookalikes import lookalikes_of_bird
from tarsus.queries.bird_page import BirdPage, NoSuchBird, bird_page
from tarsus.queries.due_today import due_for_bird
from tarsus.queries.named_rows import choices_of
from tarsus.queries.once import asked_at
from tarsus.queries.photographs import photographs_of
from tarsus.queries.visitors import stories_of
from tarsus.queries.weights import WeightHistory, weight_history
from tarsus.web.access import KEEPER, RECORDS, VIEWER, may, may_do, passes, role_of
from tarsus.web.deed_links import address_of, deed_links
from tarsus.web.plots.strip import key_of_strip, spans_of, strip
from tarsus.web.plots.weight import Reference, weight_plot

LIVING: Final = (
    "weighed",
    "concern",
    "case_opened",
    "health_check",
    "body_condition",
    "treatment",
    "note",
    "moved",
    "whereabouts",
    "not_looked_for",
    "band_on",
    "sex_sample",
    "sex_finding",
    "bird_changed",
    "transponder_given",
    "natural_mark",
    "visitor_story",
    "pair_formed",
    "quarantine_released",
    "departure",
    "owner_changed",
    "presumed_dead",
    "death",
)
"""What the page of a bird that lives here offers to write down, the usual first."""
GONE: Final = ("arrival", "whereabouts", "note", "bird_changed", "sex_finding", "owner_changed")
"""The same for one that lives nowhere now."""


def page_or_404(bird_id: int, now: datetime) -> BirdPage:
    """The page of a bird, or the answer that there is no such bird."""
    try:
        return bird_page(bird_id, now)
    except NoSuchBird as refusal:
        raise Http404(str(refusal)) from None


@may(VIEWER)
def bird(request: HttpRequest, bird_id: int) -> HttpResponse:
    """One bird: its marks, look-alikes, history, weights and sightings."""
    now = asked_at()
    page = page_or_404(bird_id, now)
    moult = (page.limits.moult_from_month, page.limits.moult_to_month)
    weighed = weight_history(bird_id, now) if page.weights else None
    named: dict[str, int | str] = {"bird": bird_id, "birds": bird_id, "came": bird_id, "one": bird_id}
    if page.lives_here:
        named |= {"exhibit": page.portrait.exhibit_id}
    named |= {"story": stories_of([bird_id]).get(bird_id, "")}
    told = {
        "page": page,
        "strip": strip(page.strip),
        "key_of_strip": key_of_strip(),
        "spans": spans_of(page.strip),
        "weight_plot": weight_plot(
            page.weights, moult, _reference(weighed), weighed.moults if weighed else ()
        )
        if page.weights
        else "",
        "weighed": weighed,
        "rests": _rests(weighed),
        "due": due_for_bird(bird_id, now),
        "lookalikes": lookalikes_of_bird(bird_id, now),
        "deeds": deed_links(role_of(request), LIVING if page.lives_here else GONE, named, request.path),
        "may_print": passes(request.user, KEEPER, RECORDS),
        "worn_before": sum(band.to_on is not None for band in page.bands),
        "may_band": may_do(request.user, "band_off"),
        "pictures": photographs_of(bird_id),
        "seen": _seen(page) if page.lives_here and may_do(request.user, "sighting") else None,
        "events": [(event, _put_right(request, event)) for event in page.events],
    }
    return render(request, "web/bird.html", told)


def _reference(weighed: WeightHistory | None) -> Reference | None:
    """The bird's own usual weight for the plot, where it has one."""
    if weighed is None or weighed.usual_g is None or weighed.prompt_g is None or weighed.alarm_g is None:
        return None
    return Reference(weighed.usual_g, weighed.prompt_g, weighed.alarm_g)


def _rests(weighed: WeightHistory | None) -> list[str]:
    """What the weights of the plot are, and what is said of the last one rests on."""
    if weighed is None:
        return []
    told = [rests_on(weighed.told)] if weighed.told else []
    asked = [asked_again(weighed.prompt_percent, weighed.alarm_percent)] if weighed.told else []
    return [*told, *asked, weights_shown(len(weighed.weights))]


def _seen(page: BirdPage) -> dict[str, object]:
    """The one tap by which a bird is seen outside a roll call: an id of its own, and the exhibit's places."""
    return {"id": uuid4(), "places": choices_of(Kind.PLACE, exhibit=page.portrait.exhibit_id)}


def _put_right(request: HttpRequest, event: Event) -> str:
    """Where a line of the history is put right; empty where it cannot be, or not by this person."""
    if event.fact is None or event.deed not in DEEDS or event.where_from.taken_back_by:
        return ""
    deed = DEEDS[event.deed]
    if deed.final or not may_do(request.user, deed.name):
        return ""
    formless = any(field.required and not field.on_form for field in deed.fields) or deed.page
    named = {"corrects": event.fact}
    return address_of(DEEDS["withdrawn"] if formless else deed, named, request.path)
