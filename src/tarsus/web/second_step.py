"""The second step of signing in: set up with a QR code, asked for after the password (decision 0047)."""

from __future__ import annotations

from typing import Any, Final

import segno
from axes.handlers.proxy import AxesProxyHandler
from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import get_user_model, login
from django.contrib.auth.signals import user_login_failed
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters, sensitive_variables
from django.views.decorators.http import require_POST

from tarsus.actions.settings.second_step import (
    address_of,
    confirm_second_step,
    new_secret,
    opened,
    sealed,
    second_step_wanted,
)
from tarsus.core.words.numbers import counted
from tarsus.web.access import VIEWER, anyone, may, may_tell
from tarsus.web.first_person import BY_PASSWORD
from tarsus.web.page_form import PageForm
from tarsus.web.park_time import park_of
from tarsus.web.telling import done, told

HALF: Final = "half signed in"
"""Under this a session keeps who gave the right password and owes the code."""
HALF_LASTS_S: Final = 300
_SECRET: Final = "second step"
"""Under this a session keeps the secret that is being set up, as unreadable as the register would."""


class CodeForm(PageForm):
    """The code after the password."""

    code = forms.CharField(
        label="Code",
        max_length=20,
        widget=forms.TextInput(
            attrs={"autocomplete": "one-time-code", "autocapitalize": "none", "spellcheck": "false"}
        ),
        help_text="Six digits that your app shows now, or one of your recovery codes.",
        error_messages={"required": "Write the code that your app shows."},
    )


class SetUpForm(PageForm):
    """The first code out of a new app."""

    code = forms.CharField(
        label="Code that the app shows",
        max_length=12,
        widget=forms.TextInput(attrs={"autocomplete": "one-time-code", "inputmode": "numeric"}),
    )
    current = forms.CharField(
        label="Your password", widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )


class OffForm(PageForm):
    """The password once more, before the second step goes."""

    current = forms.CharField(
        label="Your password",
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password", "id": "id_off"}),
    )


def owe_the_code(request: HttpRequest, person: Any, then: str) -> HttpResponse:
    """Keep who gave the right password, and ask for the code; nobody is signed in yet."""
    request.session[HALF] = {
        "person": person.pk,
        "proof": person.get_session_auth_hash(),
        "at": timezone.now().timestamp(),
        "then": then,
    }
    return redirect("second-step-code")


@anyone
@never_cache
@sensitive_post_parameters("code")
def code(request: HttpRequest) -> HttpResponse:
    """The second page of signing in. Wrong codes are counted as wrong passwords are."""
    half = request.session.get(HALF) or {}
    person = _half_signed_in(half)
    if person is None:
        request.session.pop(HALF, None)
        return redirect("sign-in")
    named = {"username": person.login}
    form = CodeForm(request.POST or None)
    if request.method == "POST" and not AxesProxyHandler.is_allowed(request, named):
        request.axes_locked_out = True  # type: ignore[attr-defined]  # as the throttle's own middleware reads it
        return _asked(request, CodeForm(), 429)
    if request.method == "POST" and form.is_valid():
        if confirm_second_step(person_id=person.pk, code=form.cleaned_data["code"]):
            return _signed_in(request, person, str(half["then"]))
        user_login_failed.send(sender=__name__, credentials=named, request=request)
        form.add_error("code", "This is not your code, or it was used before. Wait for the app's next one.")
    return _asked(request, form, 200)


def _asked(request: HttpRequest, form: CodeForm, status: int) -> HttpResponse:
    return render(request, "web/second_step_code.html", {"form": form}, status=status)


def _half_signed_in(half: dict[str, Any]) -> Any:
    """Who owes the code: whoever gave their password a moment ago, and it is their password still."""
    if not half or timezone.now().timestamp() - half["at"] > HALF_LASTS_S:
        return None
    row = get_user_model().objects.filter(pk=half["person"], is_active=True).first()
    return row if row is not None and row.get_session_auth_hash() == half["proof"] else None


def _signed_in(request: HttpRequest, person: Any, then: str) -> HttpResponse:
    before = len(person.recovery_codes)
    login(request, person, backend=BY_PASSWORD)
    request.session.pop(HALF, None)
    person.refresh_from_db()
    left = len(person.recovery_codes)
    if left < before:
        messages.success(request, f"A recovery code was used up; {left} {counted('code', left)} left.")
    known = url_has_allowed_host_and_scheme(then, {request.get_host()}, require_https=request.is_secure())
    return redirect(then if known else settings.LOGIN_REDIRECT_URL)


@may(VIEWER, even_without_second_step=True)
@never_cache
@sensitive_variables("secret")
@sensitive_post_parameters("code", "current")
def second_step(request: HttpRequest) -> HttpResponse:
    """Set the second step up, or see since when it is on. The recovery codes are shown this once."""
    person: Any = request.user
    anew = person.second_since is None or "anew" in request.GET
    form = SetUpForm(request.POST or None)
    if request.method == "POST" and anew and form.is_valid():
        secret = opened(request.session.get(_SECRET, ""))
        answer = told(request, form, "second_step_set", {**form.cleaned_data, "secret": secret})
        if answer:
            request.session.pop(_SECRET, None)
            return _page(request, codes=answer.shown_once.split())
    return _page(request, form=form, **(_set_up(request) if anew else {}))


def _set_up(request: HttpRequest) -> dict[str, Any]:
    """A secret for a new app, the same until it is set up: a wrong code is no reason to scan anew."""
    secret = opened(request.session.get(_SECRET, "")) or new_secret()
    request.session[_SECRET] = sealed(secret)
    address = address_of(secret, request.user, park_of(request).name)  # type: ignore[arg-type]  # a person
    picture = segno.make(address, error="m", micro=False).svg_data_uri(scale=5, border=4, light="#ffffff")
    return {"picture": picture, "typed": " ".join(secret[n : n + 4] for n in range(0, len(secret), 4))}


def _page(request: HttpRequest, **shown: Any) -> HttpResponse:
    wanted = second_step_wanted(request.user)  # type: ignore[arg-type]  # a person
    told_there = {"wanted": wanted, "off": OffForm(), **shown}
    status = 422 if request.method == "POST" and "codes" not in shown else 200
    return render(request, "web/second_step.html", told_there, status=status)


@may_tell("second_step_off")
@require_POST
@sensitive_post_parameters("current")
def off(request: HttpRequest) -> HttpResponse:
    """Switch one's own second step off."""
    success = "You sign in with your password alone from now on."
    done(request, "second_step_off", {"current": request.POST.get("current", "")}, success)
    return redirect("second-step")


@may_tell("second_step_reset")
@require_POST
def reset(request: HttpRequest, of: int) -> HttpResponse:
    """Take somebody's second step off."""
    done(request, "second_step_reset", {"person": of}, "It is off: that person sets up another.")
    return redirect("person", of)
