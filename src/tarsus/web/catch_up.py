"""Catch-up: what a session would take, why, what forbids it, and who signs a reason."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from tarsus.actions.facts import REFUSED
from tarsus.core.care.catch_limits import CatchLimits
from tarsus.core.care.catch_up import NOTHING_DUE, Price
from tarsus.core.care.catching_said import catch_said, forecast_said, limits_said
from tarsus.core.deeds.words import RULED
from tarsus.core.words.days import day_of_year
from tarsus.core.words.numbers import counted
from tarsus.queries.catch_up import Asked, NoSuchExhibit, Proposal, exhibits_to_catch_in, proposed
from tarsus.queries.catch_up_day import NoSuchCatchUp, catch_up_day
from tarsus.queries.kept_catch_ups import open_plans, over_plans
from tarsus.queries.once import asked_at
from tarsus.queries.open_matters import Forecast
from tarsus.web.access import VIEWER, may, may_do, may_tell, role_of
from tarsus.web.page_form import PageForm
from tarsus.web.telling import done, refusal_of, tell

DAWN = time(5, 15)


def _tomorrow() -> date:
    return timezone.localdate() + timedelta(days=1)


class SessionForm(PageForm):
    """When a catch-up would be, and how long catching is expected to take."""

    day = forms.DateField(
        label="Day", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), initial=_tomorrow
    )
    starts = forms.TimeField(
        label="Start of catching",
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        initial=DAWN,
    )
    chase_minutes = forms.FloatField(
        label="Catching, minutes",
        min_value=0,
        max_value=120,
        initial=5,
        help_text="The clock starts here.",
    )


class ReasonForm(PageForm):
    """A reason that lifts a limit for the day; it holds when vet and lead keeper have both signed it."""

    ruled = forms.ChoiceField(label="Which limit", choices=[(word, word) for word in RULED])
    bird = forms.TypedChoiceField(label="For", coerce=int, empty_value=None, required=False)
    reason = forms.CharField(label="Because", max_length=400, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *given: Any, birds: list[tuple[int, str]], **more: Any) -> None:
        super().__init__(*given, **more)
        bird = self.fields["bird"]
        assert isinstance(bird, forms.TypedChoiceField)
        bird.choices = [("", "the whole exhibit"), *birds]


@may_tell("catch_up_kept")
def catch_ups(request: HttpRequest) -> HttpResponse:
    """The catch-ups that were kept, and the exhibits of which one can be proposed."""
    told = {
        "kept": open_plans(),
        "over": over_plans(timezone.localdate()),
        "today": timezone.localdate(),
        "exhibits": exhibits_to_catch_in(timezone.localdate()),
    }
    return render(request, "web/catch_ups.html", told)


@may_tell("catch_up_kept")
def catch_up(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """Propose a catch-up of one exhibit for a day."""
    form = SessionForm(request.GET if "day" in request.GET else None)
    return _proposal(request, exhibit_id, form)


@may_tell("catch_up_kept")
@require_POST
def keep(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """Keep the plan as it is proposed now."""
    form = SessionForm(request.POST)
    if not form.is_valid():
        return _proposal(request, exhibit_id, form, status=422)
    told = _asked(exhibit_id, form, request.POST)
    if not told.plan.chosen:
        messages.error(request, "Nobody would be caught: there is no plan to keep.")
        return redirect(_address(told))
    plan = {
        "exhibit": exhibit_id,
        "planned_for": told.asked.day,
        "birds": [{"bird": one.bird, "why": list(one.reasons)} for one in told.plan.chosen],
        "limits": {
            "minutes": told.plan.minutes_allowed,
            "rest_days": told.limits.rest_days,
            "too_hot_c": told.limits.too_hot_c,
            "until_hour": told.limits.until_hour,
            "starts_hour": told.asked.starts_hour,
            "chase_minutes": told.asked.chase_minutes,
        },
    }
    answer = tell(request, "catch_up_kept", plan)
    if answer.outcome == REFUSED:
        messages.error(request, refusal_of(answer))
        return redirect(_address(told))
    taken = len(told.plan.chosen)
    messages.success(request, f"Kept for {day_of_year(told.asked.day)}: {taken} {counted('bird', taken)}.")
    return redirect("catch-up-day", answer.wrote["catch_up"])


@may_tell("catch_up_dropped")
@require_POST
def drop(request: HttpRequest, catch_up_id: int) -> HttpResponse:
    """Drop a catch-up that was kept."""
    done(request, "catch_up_dropped", {"catch_up": catch_up_id}, "The catch-up is dropped.")
    return redirect("catch-up")


@may_tell("reason_signed")
@require_POST
def sign(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """Sign a reason that lifts a limit for the day."""
    form = SessionForm(request.POST)
    if not form.is_valid():
        return _proposal(request, exhibit_id, form, status=422)
    told = _asked(exhibit_id, form, request.POST)
    reason = ReasonForm(request.POST, birds=_birds(told))
    if not reason.is_valid():
        return _page(request, told, form, reason, status=422)
    signed = {"exhibit": exhibit_id, "for_day": told.asked.day, **reason.cleaned_data}
    answer = tell(request, "reason_signed", signed)
    if answer.outcome == REFUSED:
        reason.add_error("reason", refusal_of(answer))
        return _page(request, told, form, reason, status=422)
    messages.success(request, " ".join(answer.said))
    return redirect(_address(told))


@may(VIEWER)
def day(request: HttpRequest, catch_up_id: int) -> HttpResponse:
    """One catch-up: whom it takes, the kit, what became of each bird, and what waits again."""
    try:
        told = catch_up_day(catch_up_id, asked_at())
    except NoSuchCatchUp as refusal:
        raise Http404(str(refusal)) from None
    plan, today = told.plan, timezone.localdate()
    context = {
        "told": told,
        "plan": plan,
        "begun": plan.planned_for <= today,
        "past": plan.planned_for < today,
        "starts": _clock(plan.starts_hour),
        "over": _clock(told.over_hour),
        **_allowed(told.forecast, told.limits, _clock(told.over_hour)),
        "may_plan": may_do(request.user, "catch_up_kept"),
        "anew": f"{reverse('catch-up-of', args=[plan.exhibit_id])}?"
        + urlencode(_session(plan.planned_for, plan.starts_hour, plan.chase_minutes)),
    }
    return render(request, "web/catch_up_day.html", context)


def _asked(exhibit_id: int, form: SessionForm, wishes: QueryDict) -> Proposal:
    bound = form.is_bound and form.is_valid()
    on = form.cleaned_data["day"] if bound else _tomorrow()
    starts: time = form.cleaned_data["starts"] if bound else DAWN
    chase = form.cleaned_data["chase_minutes"] if bound else 5.0
    asked = Asked(
        exhibit_id,
        on,
        starts.hour + starts.minute / 60,
        chase,
        frozenset(int(bird) for bird in wishes.getlist("add") if bird.isdecimal()),
        frozenset(int(bird) for bird in wishes.getlist("out") if bird.isdecimal()),
    )
    try:
        return proposed(asked, asked_at())
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None


def _birds(told: Proposal) -> list[tuple[int, str]]:
    return sorted(
        ((bird, portrait.name) for bird, portrait in told.portraits.items()), key=lambda one: one[1]
    )


def _proposal(request: HttpRequest, exhibit_id: int, form: SessionForm, status: int = 200) -> HttpResponse:
    told = _asked(exhibit_id, form, request.POST if request.method == "POST" else request.GET)
    return _page(request, told, form, ReasonForm(birds=_birds(told)), status=status)


def _page(
    request: HttpRequest, told: Proposal, form: SessionForm, reason: ReasonForm, status: int = 200
) -> HttpResponse:
    plan, starts = told.plan, _clock(told.asked.starts_hour)
    left_out = sorted(plan.left_out, key=lambda one: one.name)
    context = {
        "told": told,
        "plan": plan,
        "form": form,
        "reason": reason,
        "chosen": [(one, told.portraits[one.bird], _wish(told, one.bird)) for one in plan.chosen],
        "barred": [(one, _wish(told, one.bird)) for one in left_out if one.because != NOTHING_DUE],
        "idle": [(one, _wish(told, one.bird)) for one in left_out if one.because == NOTHING_DUE],
        "unchanged": _address(told, frozenset(), frozenset()),
        "may_sign": role_of(request),
        "takes": catch_said(len(plan.chosen), told.asked.day, starts, plan.minutes, plan.minutes_allowed),
        "starts": starts,
        "session": [
            (name, form[name].data if form.is_bound else value) for name, value in _session_of(told).items()
        ],
        **_allowed(told.forecast, told.limits, _clock(told.asked.starts_hour + plan.minutes_allowed / 60)),
        "days": [(one, _address(told, on=one.day)) for one in told.days],
    }
    return render(request, "web/catch_up.html", context, status=status)


def _allowed(forecast: Forecast | None, limits: CatchLimits, over: str) -> dict[str, str]:
    """How warm it gets, and what the vet allows."""
    high, low = (forecast.high_c, forecast.low_c) if forecast else (None, None)
    return {
        "weather": forecast_said(high, low, limits.too_hot_c, over),
        "limits": limits_said(limits, _clock(limits.until_hour)),
    }


def _clock(hour: float) -> str:
    minutes = round(60 * hour)
    return f"{minutes // 60 % 24:02}:{minutes % 60:02}"


@dataclass(frozen=True, slots=True)
class Wish:
    """Adding a bird or taking it out: where that is asked, what it is called, what it costs."""

    address: str
    words: str
    price: Price | None


def _wish(told: Proposal, bird: int) -> Wish | None:
    """What the lead may wish of a bird: another place in the plan, or none where it is barred."""
    added, out = told.asked.added, told.asked.taken_out
    if bird in added or bird in out:
        return Wish(_address(told, added - {bird}, out - {bird}), "As proposed", None)
    price = told.prices.get(bird)
    if price is None:
        return None
    if any(one.bird == bird for one in told.plan.chosen):
        return Wish(_address(told, added, out | {bird}), "Take out", price if price.chosen else None)
    return Wish(_address(told, added | {bird}, out), "Add", None if price.chosen else price)


def _session(day: date, starts_hour: float, chase_minutes: float) -> dict[str, str]:
    """When a catch-up is and how long catching takes, as the form's fields carry it."""
    return {
        "day": f"{day:%Y-%m-%d}",
        "starts": _clock(starts_hour),
        "chase_minutes": f"{chase_minutes:g}",
    }


def _session_of(told: Proposal, on: date | None = None) -> dict[str, str]:
    return _session(on or told.asked.day, told.asked.starts_hour, told.asked.chase_minutes)


def _address(
    told: Proposal,
    added: frozenset[int] | None = None,
    out: frozenset[int] | None = None,
    on: date | None = None,
) -> str:
    asked = told.asked
    said = {
        **_session_of(told, on),
        "add": sorted(asked.added if added is None else added),
        "out": sorted(asked.taken_out if out is None else out),
    }
    return f"{reverse('catch-up-of', args=[asked.exhibit_id])}?{urlencode(said, doseq=True)}"
