"""Today, the exhibits, and the note on how warm it will be."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from tarsus.actions.forecast import note_forecast
from tarsus.core.presence.advice import LOOK_AGAIN, PRESENT, SEARCH
from tarsus.queries.exhibit_page import exhibits_now
from tarsus.queries.today import today_at
from tarsus.web.access import KEEPER, LEAD, VET, VIEWER, may, passes, person_id


class ForecastForm(forms.Form):
    """How warm today will be, and what follows from it."""

    high_c = forms.FloatField(label="Highest today, °C", min_value=-40, max_value=55)
    note = forms.CharField(label="What follows from it", max_length=200, required=False)


@may(VIEWER)
def today(request: HttpRequest) -> HttpResponse:
    """Whom to look for, what to call, what is open."""
    return _today(request, ForecastForm())


@may(LEAD, VET)
@require_POST
def forecast(request: HttpRequest) -> HttpResponse:
    """Write down how warm today will be."""
    form = ForecastForm(request.POST)
    if not form.is_valid():
        return _today(request, form, status=422)
    note_forecast(
        for_day=timezone.localdate(),
        high_c=form.cleaned_data["high_c"],
        note=form.cleaned_data["note"],
        at=timezone.now(),
        by=person_id(request),
    )
    messages.success(request, "The forecast is written down.")
    return redirect("today")


def _today(request: HttpRequest, form: ForecastForm, status: int = 200) -> HttpResponse:
    now = today_at(timezone.now())
    short = {(count.exhibit_id, count.lookalike) for count in now.short}
    told = {
        "today": now,
        "searched": [bird for bird in now.unseen if bird.advice == SEARCH],
        "looked_again": [
            (bird, (bird.portrait.exhibit_id, bird.portrait.lookalike) in short)
            for bird in now.unseen
            if bird.advice == LOOK_AGAIN or (bird.advice == PRESENT and bird.by_count)
        ],
        "likely_there": [bird for bird in now.unseen if bird.advice == PRESENT and not bird.by_count],
        "due": now.due,
        "form": form,
        "may_call": passes(request.user, KEEPER),
        "may_note": passes(request.user, LEAD, VET),
    }
    return render(request, "web/today.html", told, status=status)


@may(VIEWER)
def exhibits(request: HttpRequest) -> HttpResponse:
    """Every exhibit with its roll call of today."""
    told = {
        "exhibits": exhibits_now(timezone.now()),
        "title": "Exhibits",
        "may_call": passes(request.user, KEEPER),
    }
    return render(request, "web/exhibits.html", told)


@may(KEEPER)
def roll_calls(request: HttpRequest) -> HttpResponse:
    """The exhibits whose roll is to be called, and those whose roll was."""
    now = sorted(exhibits_now(timezone.now()), key=lambda one: one.state in ("called", "not done"))
    return render(request, "web/exhibits.html", {"exhibits": now, "title": "Roll call", "may_call": True})
