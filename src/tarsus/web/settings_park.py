"""Settings: the list of them, the park, and its colours."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from tarsus.core.marks.letter_check import letters_that_collide
from tarsus.core.marks.palette import Palette
from tarsus.core.words.colours_said import cameras_said, checks_said, photographs_said
from tarsus.queries.colour_sight import colour_sights
from tarsus.queries.days import park_today
from tarsus.queries.learned_cameras import learned_of_bands, learned_of_checks
from tarsus.queries.learned_page import colours_to_retire
from tarsus.queries.practice import shares_practice
from tarsus.queries.settings_page import (
    ColourListed,
    NoSuchRow,
    colour_values,
    colours_listed,
    is_set_up,
    next_colour_place,
    park_values,
)
from tarsus.web.access import ADMINISTRATOR, VIEWER, may, may_do, may_tell, passes, person_id
from tarsus.web.flock import sight_row
from tarsus.web.settings_forms import ColourForm, ParkForm
from tarsus.web.telling import done, told


@may(VIEWER)
def settings(request: HttpRequest) -> HttpResponse:
    """What can be set, and what a new park still needs."""
    shown_there = {
        "set_up": is_set_up(),
        "may_set": may_do(request.user, "park_set"),
        "may_limit": may_do(request.user, "limits_set"),
        "may_people": may_do(request.user, "person_saved"),
        "may_share": may_do(request.user, "own_pin_set"),
        "may_practise": may_do(request.user, "practice_sharing"),
        "shares_practice": shares_practice(person_id(request)),
        "runs_it": passes(request.user, ADMINISTRATOR),
    }
    return render(request, "web/settings.html", shown_there)


@may_tell("park_set")
def park(request: HttpRequest) -> HttpResponse:
    """The park: name, clock, sides, reader, limits of a catch."""
    form = ParkForm(request.POST or None, initial=park_values())
    sent = request.method == "POST" and form.is_valid()
    if sent and told(request, form, "park_set", form.cleaned_data):
        messages.success(request, "Saved.")
        return redirect("settings")
    return shown(request, form, "The park", "settings")


@may_tell("colour_saved")
def colours(request: HttpRequest) -> HttpResponse:
    """The palette, and which of its colours draw together."""
    listed = colours_listed()
    letters = {colour.name: colour.letter for colour in listed}
    told = {
        "colours": listed,
        "collide": letters_that_collide(letters, str(park_values()["metal_letter"])) if listed else (),
        "sights": _sights(listed),
        "retire": colours_to_retire(),
        **_learned_said(),
    }
    return render(request, "web/settings_colours.html", told)


def _learned_said() -> dict[str, object]:
    """What photographs and checks in the hand say of the colours, with the sentences below each list."""
    aged, checked = learned_of_bands(), learned_of_checks(park_today())
    return {
        "aged": aged,
        "aged_said": photographs_said(aged.rests_on, earned=aged.earned) if aged else "",
        "cameras_said": cameras_said(aged.cameras_earned, aged.cameras) if aged else "",
        "checked": checked,
        "checked_said": checks_said(
            checked.checked, checked.rest, checked.thought, differ=bool(checked.colours)
        )
        if checked
        else "",
    }


def _sights(listed: tuple[ColourListed, ...]) -> list[object]:
    if len(listed) < 2:
        return []
    letters = {colour.name: colour.letter for colour in listed}
    palette = Palette.of({colour.name: colour.hex for colour in listed})
    return [sight_row(sight, letters) for sight in colour_sights(palette)]


@may_tell("published_colours")
@require_POST
def published_colours(request: HttpRequest) -> HttpResponse:
    """Enter the built-in colours with the published letters."""
    done(request, "published_colours", {}, "The built-in colours are entered.")
    return redirect("settings-colours")


@may_tell("colour_saved")
def colour(request: HttpRequest, colour_id: int | None = None) -> HttpResponse:
    """One colour, new or as it is."""
    try:
        now = colour_values(colour_id) if colour_id else {"name": "", "order": next_colour_place()}
    except NoSuchRow as refusal:
        raise Http404(str(refusal)) from None
    form = ColourForm(request.POST or None, initial=now | ({"hexed": now["hex"]} if "hex" in now else {}))
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        if told(request, form, "colour_saved", {"colour": colour_id, **values}):
            messages.success(request, f"{values['name'].capitalize()} is saved.")
            return redirect("settings-colours")
    return shown(
        request, form, str(now["name"]).capitalize() if colour_id else "A new colour", "settings-colours"
    )


def shown(
    request: HttpRequest, form: object, title: str, back: str, caution: str = "", **more: object
) -> HttpResponse:
    """A form by itself on a page; 422 where it came back with a refusal."""
    shown_there = {"form": form, "title": title, "back": back, "caution": caution, **more}
    status = 422 if request.method == "POST" else 200
    return render(request, "web/settings_form.html", shown_there, status=status)
