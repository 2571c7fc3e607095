"""The one-time address of a new park: its page makes the first person, once (decision 0022)."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.contrib.auth import get_user_model, login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters, sensitive_variables

from tarsus.actions.settings.first_address import opens
from tarsus.actions.settings.first_person import ParkBegun, begin_park, nobody_is_here
from tarsus.core.errors import MalformedInput
from tarsus.web.access import anyone
from tarsus.web.page_form import PageForm
from tarsus.web.park_time import zone_of_this_machine, zones_by_name

BY_PASSWORD = "django.contrib.auth.backends.ModelBackend"


class FirstPersonForm(PageForm):
    """Who begins, and what the park is called."""

    display_name = forms.CharField(
        label="Your name",
        max_length=80,
        help_text="It stands on whatever you record, for good.",
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    password = forms.CharField(
        label="A password",
        max_length=128,
        help_text="Ten characters or more; a short sentence is good.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    park = forms.CharField(label="Name of the park", max_length=120)
    login = forms.CharField(
        label="You sign in as",
        max_length=60,
        required=False,
        help_text="Left empty: the first word of your name, in small letters.",
        widget=forms.TextInput(attrs={"autocapitalize": "none", "autocomplete": "username"}),
    )
    time_zone = forms.ChoiceField(
        label="The park’s clock",
        help_text="As this device’s clock is set. Days and times of all records follow it.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["time_zone"].choices = zones_by_name()  # type: ignore[attr-defined]  # a choice field


@anyone
@never_cache
@sensitive_post_parameters("password")
def first_person(request: HttpRequest, secret: str) -> HttpResponse:
    """Make the first person and name the park; an address that was used, is over or never was says so."""
    if not nobody_is_here() or not opens(settings.FIRST_PERSON, secret, timezone.now()):
        return _over(request)
    form = FirstPersonForm(request.POST or None, initial={"time_zone": zone_of_this_machine()})
    if request.method == "POST" and form.is_valid():
        try:
            person = _begun(form)
        except ParkBegun:
            return _over(request)
        if person is not None:
            login(request, person, backend=BY_PASSWORD)
            return redirect("new-park")
    status = 422 if form.errors else 200
    return render(request, "web/first_person.html", {"form": form}, status=status)


@sensitive_variables()
def _begun(form: FirstPersonForm) -> Any:
    try:
        number = begin_park(**form.cleaned_data)
    except ParkBegun:
        raise
    except MalformedInput as refusal:
        place = refusal.place if refusal.place in form.fields else None
        text = str(refusal).removeprefix(f"{refusal.place}: ")
        form.add_error(place, text[:1].upper() + text[1:] + ("" if text.endswith(".") else "."))
        return None
    return get_user_model().objects.get(pk=number)


def _over(request: HttpRequest) -> HttpResponse:
    return render(request, "web/first_person_over.html", {"begun": not nobody_is_here()}, status=404)
