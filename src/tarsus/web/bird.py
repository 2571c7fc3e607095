"""The page of one bird."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from tarsus.queries.bird_lookalikes import lookalikes_of_bird
from tarsus.queries.bird_page import BirdPage, NoSuchBird, bird_page
from tarsus.queries.due_today import due_for_bird
from tarsus.queries.settings_page import places_listed
from tarsus.queries.weights import WeightHistory, weight_history
from tarsus.web.access import KEEPER, LEAD, RECORDS, VIEWER, may, passes
from tarsus.web.bird_forms import SeenForm
from tarsus.web.plots.strip import key_of_strip, spans_of, strip
from tarsus.web.plots.weight import Reference, weight_plot


def page_or_404(bird_id: int) -> BirdPage:
    """The page of a bird, or the answer that there is no such bird."""
    try:
        return bird_page(bird_id, timezone.now())
    except NoSuchBird as refusal:
        raise Http404(str(refusal)) from None


@may(VIEWER)
def bird(request: HttpRequest, bird_id: int) -> HttpResponse:
    """One bird: its marks, look-alikes, history, weights and sightings."""
    page = page_or_404(bird_id)
    moult = (page.limits.moult_from_month, page.limits.moult_to_month)
    weighed = weight_history(bird_id, timezone.now()) if page.weights else None
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
        "due": due_for_bird(bird_id, timezone.now()),
        "lookalikes": lookalikes_of_bird(bird_id, timezone.now()),
        "may_correct": passes(request.user, LEAD, RECORDS),
        "seen_form": _seen_form(page) if page.lives_here and passes(request.user, KEEPER) else None,
    }
    return render(request, "web/bird.html", told)


def _reference(weighed: WeightHistory | None) -> Reference | None:
    """The bird's own usual weight for the plot, where it has one."""
    if weighed is None or weighed.usual_g is None or weighed.prompt_g is None or weighed.alarm_g is None:
        return None
    return Reference(weighed.usual_g, weighed.prompt_g, weighed.alarm_g)


def _seen_form(page: BirdPage) -> SeenForm:
    """The form by which a bird is seen outside a roll call, with the places of its exhibit."""
    places = places_listed(page.portrait.exhibit_id)
    return SeenForm(places=[(place.key, place.name) for place in places if not place.off])
