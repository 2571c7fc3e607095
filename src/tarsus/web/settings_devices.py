"""Settings: devices with a token of their own."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from tarsus.queries.devices import devices, who_records
from tarsus.queries.duty_calendar import calendar_keys
from tarsus.queries.pack import exhibits_with_packs
from tarsus.web.access import may_tell
from tarsus.web.page_form import PageForm
from tarsus.web.telling import done, told


class DeviceForm(PageForm):
    """Which device, for which exhibits, in whose names."""

    name = forms.CharField(
        label="Device", max_length=80, help_text="As people here call it: tablet at the hide"
    )
    exhibits = forms.TypedMultipleChoiceField(
        label="Exhibits it may ask of and send for", coerce=int, widget=forms.CheckboxSelectMultiple
    )
    people = forms.TypedMultipleChoiceField(
        label="People in whose names it may speak",
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        help_text="Every line it sends names one of them.",
    )

    days = forms.IntegerField(
        label="Known for days",
        initial=365,
        required=False,
        min_value=1,
        max_value=730,
        help_text="Then it needs a new token.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["exhibits"].choices = exhibits_with_packs()  # type: ignore[attr-defined]  # a choice field
        self.fields["people"].choices = who_records()  # type: ignore[attr-defined]  # a choice field


@may_tell("device_token_given")
def device_list(request: HttpRequest) -> HttpResponse:
    """Every device that was ever given a token, and a form for the next one. Its token is shown this once."""
    form, token = DeviceForm(request.POST or None), ""
    if request.method == "POST" and form.is_valid():
        answer = told(request, form, "device_token_given", form.cleaned_data)
        if answer:
            form, token = DeviceForm(), answer.shown_once
    status = 422 if form.errors else 200
    keys = calendar_keys(settings.SECRET_KEY)
    listed = [(device, _calendar(request, keys.get(device.device_id, ""))) for device in devices()]
    shown = {"form": form, "devices": listed, "token": token}
    return render(request, "web/settings_devices.html", shown, status=status)


def _calendar(request: HttpRequest, key: str) -> str:
    """Where a calendar program subscribes to a device's duties; nowhere once its token was taken back."""
    return request.build_absolute_uri(reverse("duty-calendar", args=[key])) if key else ""


@may_tell("device_token_taken_back")
@require_POST
def take_back(request: HttpRequest, device_id: int) -> HttpResponse:
    """Take a device's token back."""
    success = "Its token is known nowhere from now on. What it sent stays."
    done(request, "device_token_taken_back", {"device": device_id}, success)
    return redirect("settings-devices")
