"""Settings: the list of them, the park, and its colours."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from tarsus.actions.settings.colours import save_colour, take_published_colours
from tarsus.actions.settings.park import set_park
from tarsus.core.marks.palette import Palette
from tarsus.queries.colour_sight import colour_sights
from tarsus.queries.learned_page import colours_to_retire
from tarsus.queries.settings_page import (
    ColourListed,
    NoSuchRow,
    colour_values,
    colours_listed,
    is_set_up,
    next_colour_place,
    park_values,
)
from tarsus.web.access import ADMINISTRATOR, LEAD, VET, VIEWER, may, passes, person_id
from tarsus.web.flock import sight_row
from tarsus.web.refusals import done
from tarsus.web.settings_forms import ColourForm, ParkForm


@may(VIEWER)
def settings(request: HttpRequest) -> HttpResponse:
    """What can be set, and what a new park still needs."""
    told = {
        "set_up": is_set_up(),
        "may_set": passes(request.user, LEAD),
        "may_limit": passes(request.user, VET),
        "may_people": passes(request.user, ADMINISTRATOR),
    }
    return render(request, "web/settings.html", told)


@may(LEAD)
def park(request: HttpRequest) -> HttpResponse:
    """The park: name, clock, sides, reader, limits of a catch."""
    form = ParkForm(request.POST or None, initial=park_values())
    if request.method == "POST" and form.is_valid():
        by, values = person_id(request), form.cleaned_data
        if done(form, lambda: set_park(by=by, values=values)):
            messages.success(request, "Written down.")
            return redirect("settings")
    return shown(request, form, "The park", "settings")


@may(LEAD)
def colours(request: HttpRequest) -> HttpResponse:
    """The palette, and which of its colours draw together."""
    listed = colours_listed()
    told = {"colours": listed, "sights": _sights(listed), "retire": colours_to_retire()}
    return render(request, "web/settings_colours.html", told)


def _sights(listed: tuple[ColourListed, ...]) -> list[object]:
    if len(listed) < 2:
        return []
    letters = {colour.name: colour.letter for colour in listed}
    palette = Palette.of({colour.name: colour.hex for colour in listed})
    return [sight_row(sight, letters) for sight in colour_sights(palette)]


@may(LEAD)
@require_POST
def published_colours(request: HttpRequest) -> HttpResponse:
    """Enter the built-in colours with the published letters."""
    number = take_published_colours(by=person_id(request))
    messages.success(request, f"{number} colours entered.")
    return redirect("settings-colours")


@may(LEAD)
def colour(request: HttpRequest, colour_id: int | None = None) -> HttpResponse:
    """One colour, new or as it is."""
    try:
        now = colour_values(colour_id) if colour_id else {"name": "", "order": next_colour_place()}
    except NoSuchRow as refusal:
        raise Http404(str(refusal)) from None
    form = ColourForm(request.POST or None, initial=now | ({"hexed": now["hex"]} if "hex" in now else {}))
    if request.method == "POST" and form.is_valid():
        by, values = person_id(request), form.cleaned_data
        if done(form, lambda: save_colour(by=by, colour_id=colour_id, **values)):
            messages.success(request, f"{values['name'].capitalize()} is written down.")
            return redirect("settings-colours")
    return shown(
        request, form, str(now["name"]).capitalize() if colour_id else "A new colour", "settings-colours"
    )


def shown(
    request: HttpRequest, form: object, title: str, back: str, caution: str = "", **more: object
) -> HttpResponse:
    """A form by itself on a page; 422 where it came back with a refusal."""
    told = {"form": form, "title": title, "back": back, "caution": caution, **more}
    status = 422 if request.method == "POST" else 200
    return render(request, "web/settings_form.html", told, status=status)
