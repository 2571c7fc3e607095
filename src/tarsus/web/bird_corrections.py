"""Putting a bird's record right: bands, moves, sex, name. Nothing is overwritten; a later record stands."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

from django.contrib import messages
from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from tarsus.actions.bands.fitting import NewBand, fit_band, take_back_band, take_off_band
from tarsus.actions.birds.identity import record_sex_finding
from tarsus.actions.birds.moves import move_birds
from tarsus.actions.birds.register import change_bird
from tarsus.actions.refusals import SightingRetold
from tarsus.actions.roll_call.sightings import record_sighting
from tarsus.actions.telling import Told
from tarsus.queries.bird_page import BirdPage
from tarsus.queries.marks import WornBand, bird_of_engraving
from tarsus.queries.settings_page import colours_listed, exhibits_listed, places_listed
from tarsus.web.access import KEEPER, LEAD, RECORDS, may, person_id
from tarsus.web.bird import page_or_404
from tarsus.web.bird_forms import (
    BandForm,
    BandOffForm,
    IdentityForm,
    MistakeForm,
    MoveForm,
    SeenForm,
    SexForm,
)
from tarsus.web.refusals import done

BAND_CAUTION = (
    "Size by the authority's list and the leg measured where the band sits. It slides and turns, its ends "
    "are square, the tail of a tie is cut. Two metal bands never sit on one leg. "
    "Replacing a certified mark may void its certificate."
)


_NUMBER_TAKEN = (
    "This number is or was on a bird here, and a metal number is never used again. "
    "If another authority issued it, say which."
)


def _moment(day: date) -> datetime:
    """A day as a moment: now for today, noon by the park's clock otherwise."""
    if day == timezone.localdate():
        return timezone.now()
    return timezone.make_aware(datetime.combine(day, time(12)))


def _form(
    request: HttpRequest, page: BirdPage, form: BaseForm, title: str, caution: str = ""
) -> HttpResponse:
    told = {"page": page, "form": form, "title": title, "caution": caution}
    status = 422 if request.method == "POST" else 200
    return render(request, "web/bird_form.html", told, status=status)


@may(LEAD, RECORDS)
def band_on(request: HttpRequest, bird_id: int) -> HttpResponse:
    """A band that the bird wears and the record has not."""
    page = page_or_404(bird_id)
    colours = [colour.name for colour in colours_listed()]
    form = BandForm(request.POST or None, colours=colours)
    if request.method == "POST" and form.is_valid():
        by, said = person_id(request), dict(form.cleaned_data)
        warnings: list[str] = []
        deed, on = said.pop("deed"), said.pop("on")

        def fitted() -> None:
            found = fit_band(bird_id=bird_id, band=NewBand(**said), on=on, by=by, deed=deed)
            warnings.extend(found.warnings)

        if said["engraving"] and not said["series"] and bird_of_engraving(said["engraving"]):
            form.add_error("engraving", _NUMBER_TAKEN)
        elif done(form, fitted):
            messages.success(request, "The band is written down.")
            for warning in warnings:
                messages.warning(request, warning)
            return redirect("bird", bird_id)
    return _form(request, page, form, "A band that it wears", BAND_CAUTION)


def _band(page: BirdPage, band_id: int) -> WornBand:
    for band in page.bands:
        if band.band_id == band_id:
            return band
    raise Http404("this bird never wore that band; open it from the bird's page")


@may(LEAD, RECORDS)
def band_off(request: HttpRequest, bird_id: int, band_id: int) -> HttpResponse:
    """A band that is no longer on the bird."""
    page = page_or_404(bird_id)
    band = _band(page, band_id)
    form = BandOffForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        by, said = person_id(request), form.cleaned_data
        if done(form, lambda: take_off_band(band_id=band_id, by=by, **said)):
            messages.success(request, f"{band.word.capitalize()} on the {band.site} is off.")
            return redirect("bird", bird_id)
    return _form(request, page, form, f"{band.word.capitalize()} on the {band.site} is off")


@may(LEAD, RECORDS)
def band_mistake(request: HttpRequest, bird_id: int, band_id: int) -> HttpResponse:
    """A band that the bird never wore."""
    page = page_or_404(bird_id)
    band = _band(page, band_id)
    form = MistakeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        by, why = person_id(request), form.cleaned_data["because"]
        if done(form, lambda: take_back_band(band_id=band_id, because=why, by=by)):
            messages.success(request, "It counts no longer; the line stays readable.")
            return redirect("bird", bird_id)
    return _form(request, page, form, f"{band.word.capitalize()} on the {band.site} was a mistake")


@may(LEAD, RECORDS)
def move(request: HttpRequest, bird_id: int) -> HttpResponse:
    """The bird lives in another exhibit now."""
    page = page_or_404(bird_id)
    others = [
        (exhibit.key, exhibit.name)
        for exhibit in exhibits_listed()
        if not exhibit.off and exhibit.key != page.portrait.exhibit_id
    ]
    form = MoveForm(request.POST or None, exhibits=others)
    if request.method == "POST" and form.is_valid():
        by, said = person_id(request), form.cleaned_data
        told = Told(by=by, at=_moment(said["on"]), id=said["deed"])

        def moved() -> bool:
            return move_birds(
                told=told, to_exhibit_id=said["to_exhibit"], came=[bird_id], because=said["because"]
            )

        if done(form, moved, {"came": "to_exhibit"}):
            messages.success(request, "The move is written down.")
            return redirect("bird", bird_id)
    caution = (
        "Look whether its marks clash with a bird there before it moves: the page of that flock says so."
    )
    return _form(request, page, form, "It lives elsewhere now", caution)


@may(LEAD, RECORDS)
def sex(request: HttpRequest, bird_id: int) -> HttpResponse:
    """The bird's sex became known, or was wrong."""
    page = page_or_404(bird_id)
    form = SexForm(request.POST or None, initial={"sex": page.sex})
    if request.method == "POST" and form.is_valid():
        by, said = person_id(request), form.cleaned_data
        told = Told(by=by, at=_moment(said["on"]), id=said["deed"])

        def found() -> bool:
            return record_sex_finding(told=told, bird_id=bird_id, sex=said["sex"], known_by=said["known_by"])

        if done(form, found):
            messages.success(request, "Written down. Its marks wait for the next handling.")
            return redirect("bird", bird_id)
    caution = "Blood is taken by the vet or licensed staff only. Its marks are not changed by this."
    return _form(request, page, form, "Its sex", caution)


@may(LEAD, RECORDS)
def identity(request: HttpRequest, bird_id: int) -> HttpResponse:
    """The bird's name, number, hatch date, origin and papers."""
    page = page_or_404(bird_id)
    now: dict[str, Any] = {
        "house_name": page.house_name,
        "number": page.number,
        "hatched_on": page.hatched_on,
        "hatched_precision": page.hatched_precision,
        "origin": page.origin,
        "legal_mark": page.legal_mark,
        "certificate": page.certificate,
    }
    form = IdentityForm(request.POST or None, initial=now)
    if request.method == "POST" and form.is_valid():
        by, said = person_id(request), form.cleaned_data
        if done(form, lambda: change_bird(bird_id=bird_id, by=by, changes=said)):
            messages.success(request, "Written down.")
            return redirect("bird", bird_id)
    return _form(request, page, form, "Name, number, hatching")


@may(KEEPER)
@require_POST
def seen(request: HttpRequest, bird_id: int) -> HttpResponse:
    """The bird was seen just now, by sight, outside a roll call."""
    page = page_or_404(bird_id)
    home = page.portrait.exhibit_id
    places = [(place.key, place.name) for place in places_listed(home) if not place.off]
    form = SeenForm(request.POST, places=places)
    if form.is_valid() and page.lives_here:
        said = form.cleaned_data
        told = Told(by=person_id(request), at=timezone.now(), id=said["deed"])

        def sighting() -> bool:
            try:
                return record_sighting(
                    told=told, exhibit_id=home, how="by sight", bird_id=bird_id, place_id=said["place"]
                )
            except SightingRetold:
                return False  # the same tap sent again, a moment later: it is written

        if done(form, sighting):
            messages.success(
                request,
                f"{page.portrait.name}: seen, nothing of concern noticed. By sight, by {request.user}.",
            )
            return redirect("bird", bird_id)
    return _form(request, page, form, "Seen")
