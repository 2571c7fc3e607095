"""Today, and the exhibits."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from tarsus.actions.safekeeping.soundness import last_backup
from tarsus.core.presence.advice import LOOK_AGAIN, PRESENT, SEARCH
from tarsus.queries.exhibit_page import exhibits_now
from tarsus.queries.months import month_to_sign
from tarsus.queries.today import today_at
from tarsus.web.access import ADMINISTRATOR, VIEWER, may, may_do, may_tell, passes


@may(VIEWER)
def today(request: HttpRequest) -> HttpResponse:
    """Whom to look for, what to call, what is open."""
    now = today_at(timezone.now())
    signs = may_do(request.user, "inventory_signed")
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
        "may_bring": may_do(request.user, "bird_added"),
        "due": now.due,
        "month": month_to_sign(now.day) if signs else None,
        "may_call": may_do(request.user, "round_started"),
        "backups": last_backup() if passes(request.user, ADMINISTRATOR) else None,
        "runs_it": passes(request.user, ADMINISTRATOR),
        "may_note": may_do(request.user, "forecast"),
    }
    return render(request, "web/today.html", told)


@may(VIEWER)
def exhibits(request: HttpRequest) -> HttpResponse:
    """Every exhibit with its roll call of today."""
    told = {
        "exhibits": exhibits_now(timezone.now()),
        "title": "Exhibits",
        "may_call": may_do(request.user, "round_started"),
    }
    return render(request, "web/exhibits.html", told)


@may_tell("round_started")
def roll_calls(request: HttpRequest) -> HttpResponse:
    """The exhibits whose roll is to be called, and those whose roll was."""
    now = sorted(exhibits_now(timezone.now()), key=lambda one: one.state in ("called", "not done"))
    return render(request, "web/exhibits.html", {"exhibits": now, "title": "Roll call", "may_call": True})
