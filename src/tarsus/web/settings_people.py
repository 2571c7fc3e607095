"""Settings: people, their passwords, and how somebody reads bands."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth import get_user_model, update_session_auth_hash
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from tarsus.queries.learned_cameras import learned_of_cameras
from tarsus.queries.learned_page import learned_of
from tarsus.queries.people import has_second_step
from tarsus.queries.settings_page import NoSuchRow, people_listed, person_values
from tarsus.web.access import VIEWER, may, may_tell, person_id
from tarsus.web.settings_forms import EyesForm, OwnPasswordForm, PasswordForm, PersonForm, PinForm
from tarsus.web.settings_park import shown
from tarsus.web.telling import told


@may_tell("person_saved")
def people(request: HttpRequest) -> HttpResponse:
    """Everybody who may or might sign in."""
    return render(request, "web/settings_people.html", {"people": people_listed()})


@may_tell("person_saved")
def person(request: HttpRequest, of: int | None = None) -> HttpResponse:
    """One person, new or as it is."""
    now = _known(of) if of else {"role": "keeper"}
    form = PersonForm(request.POST or None, initial=now)
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        saved = told(request, form, "person_saved", {"person": of, **values})
        if saved:
            if of is None:
                messages.success(request, f"{values['display_name']} is saved and needs a password.")
                return redirect("person-password", int(saved.wrote["person"]))
            messages.success(request, f"{values['display_name']} is saved.")
            return redirect("people")
    resettable = of if of and has_second_step(of) else None
    title = now.get("display_name", "A new person")
    return shown(request, form, title, "people", password_of=of, second_step_of=resettable)


@may_tell("password_set")
def person_password(request: HttpRequest, of: int) -> HttpResponse:
    """A new password for somebody."""
    now = _known(of)
    return _password(
        request, of, f"A password for {now['display_name']}", "people", "password_set", {"person": of}
    )


@may_tell("own_password_set")
def own_password(request: HttpRequest) -> HttpResponse:
    """A new password for oneself."""
    return _password(request, person_id(request), "Your own password", "settings", "own_password_set", {})


@may_tell("own_pin_set")
def own_pin(request: HttpRequest) -> HttpResponse:
    """A PIN by which the person signed in takes a shared phone in hand."""
    form = PinForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and told(request, form, "own_pin_set", form.cleaned_data):
        messages.success(request, "Your PIN is set.")
        return redirect("settings")
    return shown(request, form, "Your PIN for shared phones", "settings")


def _password(
    request: HttpRequest, of: int, title: str, back: str, kind: str, said: dict[str, int]
) -> HttpResponse:
    form = (PasswordForm if kind == "password_set" else OwnPasswordForm)(request.POST or None)
    sent = request.method == "POST" and form.is_valid()
    if sent and told(request, form, kind, said | form.cleaned_data):
        if of == person_id(request):
            # The session is tied to the password; it is tied to the new one, so that nobody is put out.
            update_session_auth_hash(request, get_user_model().objects.get(pk=of))
        messages.success(request, "The new password is set.")
        return redirect(back)
    return shown(request, form, title, back)


@may(VIEWER)
def learned(request: HttpRequest) -> HttpResponse:
    """What checks say of how the person signed in reads, and of their phones; nobody else is shown it."""
    of = person_id(request)
    return render(request, "web/learned.html", {"told": learned_of(of), "cameras": learned_of_cameras(of)})


@may_tell("eyes_set")
def eyes(request: HttpRequest) -> HttpResponse:
    """How the person signed in reads bands and sees colours."""
    of = person_id(request)
    form = EyesForm(request.POST or None, initial=_known(of))
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        if told(request, form, "eyes_set", values):
            messages.success(request, "Saved.")
            return redirect("settings")
    return shown(request, form, "How you read bands", "settings", script="page/eyes-offer.js")


def _known(of: int) -> dict[str, Any]:
    try:
        return person_values(of)
    except NoSuchRow as refusal:
        raise Http404(str(refusal)) from None
