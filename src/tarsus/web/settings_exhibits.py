"""Settings: exhibits and their places."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from tarsus.queries.settings_page import (
    NoSuchRow,
    exhibit_values,
    exhibits_listed,
    place_values,
    places_listed,
)
from tarsus.web.access import may_tell
from tarsus.web.settings_forms import ExhibitForm, PlaceForm
from tarsus.web.telling import told


@may_tell("exhibit_saved")
def exhibit_list(request: HttpRequest) -> HttpResponse:
    """Every exhibit."""
    return render(request, "web/settings_exhibits.html", {"exhibits": exhibits_listed()})


@may_tell("exhibit_saved")
def exhibit(request: HttpRequest, exhibit_id: int | None = None) -> HttpResponse:
    """One exhibit with its places, new or as it is."""
    now = _known(exhibit_id)
    form = ExhibitForm(request.POST or None, initial=now)
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        if told(request, form, "exhibit_saved", {"exhibit": exhibit_id, **values}):
            messages.success(request, f"{values['name']} is saved.")
            return redirect("settings-exhibits")
    shown = {
        "form": form,
        "title": now.get("name", "A new exhibit"),
        "exhibit_id": exhibit_id,
        "places": places_listed(exhibit_id) if exhibit_id else (),
    }
    return render(
        request, "web/settings_exhibit.html", shown, status=422 if request.method == "POST" else 200
    )


@may_tell("place_saved")
def place(request: HttpRequest, exhibit_id: int, place_id: int | None = None) -> HttpResponse:
    """One place of an exhibit, new or as it is."""
    home = _known(exhibit_id)
    try:
        now = place_values(exhibit_id, place_id) if place_id else {}
    except NoSuchRow as refusal:
        raise Http404(str(refusal)) from None
    form = PlaceForm(request.POST or None, initial=now)
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        said = {"exhibit": exhibit_id, "place": place_id, **values, "what": values["kind"]}
        del said["kind"]
        if told(request, form, "place_saved", said, {"what": "kind"}):
            messages.success(request, f"{values['name']} is saved.")
            return redirect("settings-exhibit", exhibit_id)
    shown = {
        "form": form,
        "title": now.get("name", f"A new place of {home['name']}"),
        "exhibit_id": exhibit_id,
    }
    return render(request, "web/settings_place.html", shown, status=422 if request.method == "POST" else 200)


def _known(exhibit_id: int | None) -> dict[str, Any]:
    try:
        return exhibit_values(exhibit_id) if exhibit_id else {}
    except NoSuchRow as refusal:
        raise Http404(str(refusal)) from None
