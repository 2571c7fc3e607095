"""Nests: what is in them, what was found, and a new one."""

from __future__ import annotations

import uuid
from typing import Any, Final

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from tarsus.actions.nests import begin_nest, end_nest, record_nest_event
from tarsus.actions.telling import Told
from tarsus.core.errors import MalformedInput, TarsusError
from tarsus.queries.nests import (
    NestChoices,
    NoSuchExhibit,
    exhibit_of_nest,
    exhibits_with_nests,
    nest_choices,
    nest_page,
)
from tarsus.web.access import KEEPER, VIEWER, may, passes, person_id

FOUND: Final = (
    ("eggs", "eggs, so many now"),
    ("hatched", "hatched, so many more"),
    ("unbanded chicks", "chicks without a band, so many now"),
    ("fledged", "fledged, so many more"),
    ("failed", "failed"),
    ("checked", "looked at, nothing changed"),
)


class FoundForm(forms.Form):
    """What was found at a nest just now."""

    deed = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    kind = forms.ChoiceField(label="Found", choices=FOUND)
    amount = forms.IntegerField(label="How many", min_value=0, max_value=40, required=False)
    note = forms.CharField(label="Note", max_length=300, required=False)


class NewNestForm(forms.Form):
    """A nest that was begun."""

    deed = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    name = forms.CharField(label="What you call it", max_length=60, help_text="Such as: reed edge 2")
    species = forms.TypedChoiceField(label="Of", coerce=int)
    pair = forms.TypedChoiceField(label="Pair", coerce=int, empty_value=None, required=False)
    place = forms.TypedChoiceField(label="Where", coerce=int, empty_value=None, required=False)
    from_on = forms.DateField(
        label="Since",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        initial=timezone.localdate,
    )
    forbids_chase = forms.BooleanField(
        label="No chase in this exhibit while it lasts", initial=True, required=False
    )

    def __init__(self, *given: Any, choices: NestChoices, **more: Any) -> None:
        super().__init__(*given, **more)
        offered = {
            "species": choices.species,
            "pair": (("", "not known"), *choices.pairs),
            "place": (("", "not said"), *choices.places),
        }
        for name, options in offered.items():
            field = self.fields[name]
            assert isinstance(field, forms.TypedChoiceField)
            field.choices = list(options)


@may(VIEWER)
def nests(request: HttpRequest) -> HttpResponse:
    """The exhibits, each with the number of nests that last."""
    return render(request, "web/nests_exhibits.html", {"exhibits": exhibits_with_nests(timezone.now())})


@may(VIEWER)
def nests_of(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """The nests of one exhibit."""
    return _page(request, exhibit_id)


def _page(
    request: HttpRequest, exhibit_id: int, refused: tuple[int, FoundForm] | None = None, status: int = 200
) -> HttpResponse:
    try:
        page = nest_page(exhibit_id, timezone.now())
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None
    keeps = passes(request.user, KEEPER)
    forms_of = {nest.nest_id: FoundForm(prefix=None) for nest in page.nests if keeps and nest.to_on is None}
    if refused is not None:
        forms_of[refused[0]] = refused[1]
    told = {
        "page": page,
        "nests": [(nest, forms_of.get(nest.nest_id)) for nest in page.nests],
        "keeps": keeps,
    }
    return render(request, "web/nests.html", told, status=status)


@may(KEEPER)
@require_POST
def event(request: HttpRequest, nest_id: int) -> HttpResponse:
    """Write down what was found at a nest."""
    exhibit_id = _exhibit(nest_id)
    form = FoundForm(request.POST)
    if form.is_valid():
        try:
            record_nest_event(
                told=Told(by=person_id(request), at=timezone.now(), id=form.cleaned_data["deed"]),
                nest_id=nest_id,
                kind=form.cleaned_data["kind"],
                amount=form.cleaned_data["amount"],
                note=form.cleaned_data["note"],
            )
        except MalformedInput as refusal:
            form.add_error(refusal.place if refusal.place in form.fields else None, refusal.message)
    if form.errors:
        return _page(request, exhibit_id, (nest_id, form), status=422)
    messages.success(request, "Written down.")
    return redirect("nests-of", exhibit_id)


@may(KEEPER)
@require_POST
def end(request: HttpRequest, nest_id: int) -> HttpResponse:
    """Say that a nest is over."""
    exhibit_id = _exhibit(nest_id)
    try:
        end_nest(nest_id=nest_id, on=timezone.localdate(), by=person_id(request))
        messages.success(request, "The nest is over.")
    except TarsusError as refusal:
        messages.error(request, str(refusal))
    return redirect("nests-of", exhibit_id)


@may(KEEPER)
def begin(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """Write down a new nest."""
    try:
        page = nest_page(exhibit_id, timezone.now())
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None
    form = NewNestForm(request.POST or None, choices=nest_choices(exhibit_id, timezone.now()))
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        try:
            begin_nest(
                exhibit_id=exhibit_id,
                species_id=data["species"],
                name=data["name"],
                from_on=data["from_on"],
                by=person_id(request),
                place_id=data["place"],
                pair_id=data["pair"],
                forbids_chase=data["forbids_chase"],
                deed=data["deed"],
            )
        except MalformedInput as refusal:
            form.add_error(refusal.place if refusal.place in form.fields else None, refusal.message)
        else:
            messages.success(request, "The nest is written down.")
            return redirect("nests-of", exhibit_id)
    told = {"page": page, "form": form}
    return render(request, "web/nest_new.html", told, status=422 if form.errors else 200)


def _exhibit(nest_id: int) -> int:
    exhibit_id = exhibit_of_nest(nest_id)
    if exhibit_id is None:
        raise Http404("no such nest")
    return exhibit_id
