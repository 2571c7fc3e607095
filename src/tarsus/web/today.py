"""Today, and the exhibits."""

from __future__ import annotations

from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from tarsus.actions.safekeeping.soundness import last_backup
from tarsus.core.care.settling import OWN_DUTIES
from tarsus.core.deeds.rights import RECORDS, VET
from tarsus.core.presence.advice import LOOK_AGAIN, PRESENT, SEARCH
from tarsus.queries.bird_strip import strips_of
from tarsus.queries.due_days import by_day_and_kind
from tarsus.queries.due_today import DutyLine
from tarsus.queries.exhibit_page import exhibits_now
from tarsus.queries.exhibit_plan import plans_there
from tarsus.queries.hand_over import hand_over
from tarsus.queries.months import month_to_sign
from tarsus.queries.once import asked_at
from tarsus.queries.roll_said import rolls_said
from tarsus.queries.today import Today, today_at
from tarsus.queries.unseen import Unseen
from tarsus.queries.visit_days import with_visits
from tarsus.web.access import ADMINISTRATOR, VIEWER, may, may_do, may_tell, passes, person_id, role_of
from tarsus.web.plots.strip import strip
from tarsus.web.stock import STOCK_FOR

FORTNIGHT: Final = 14

PARTS: Final[dict[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    VET: (("vet", "since", "catch-ups", "due", "reports"), ("exhibits", "look", "found", "forecast")),
    RECORDS: (
        ("records", "since", "found", "due"),
        ("exhibits", "look", "reports", "vet", "catch-ups", "forecast"),
    ),
}
"""What stands left and right at a desk, and in this order on a phone, for those whose day is another."""

USUAL: Final = (("look", "since", "reports", "month", "vet", "found"), ("catch-ups", "due", "forecast"))
"""For everybody else, below the exhibits."""


@may(VIEWER)
def today(request: HttpRequest) -> HttpResponse:
    """What to call, whom to look for, what is due; first of all what is this person's own."""
    now = today_at(asked_at())
    role = role_of(request)
    looked_for = [bird for bird in now.unseen if bird.advice in (SEARCH, LOOK_AGAIN) or bird.by_count]
    own, others = _own(now, role)
    told = {
        "today": now,
        "rolls": rolls_said(now.exhibits, now.short, now.as_of),
        "since": hand_over(person_id(request), now.as_of),
        "own_first": role in PARTS,
        "parts": PARTS.get(role, USUAL),
        "planned": plans_there() if looked_for else frozenset(),
        "looked_for": _with_strips(looked_for, now),
        "not_pointed": [
            one for one in now.short if (one.exhibit_id, one.lookalike) not in _pointed(looked_for)
        ],
        "likely_there": [bird for bird in now.unseen if bird.advice == PRESENT and not bird.by_count],
        "due": by_day_and_kind(own, now.day),
        "due_others": by_day_and_kind(others, now.day),
        "tidy": now.due.tidy,
        "can_wait": now.due.can_wait,
        "may_order": passes(request.user, *STOCK_FOR),
        "may_bring": may_do(request.user, "bird_added"),
        "month": month_to_sign(now.day) if may_do(request.user, "inventory_signed") else None,
        "may_call": may_do(request.user, "round_started"),
        "backups": last_backup() if passes(request.user, ADMINISTRATOR) else None,
        "runs_it": passes(request.user, ADMINISTRATOR),
        "may_note": may_do(request.user, "forecast"),
        "may_leave": may_do(request.user, "shift_note"),
    }
    return render(request, "web/today.html", told)


def _own(now: Today, role: str) -> tuple[list[DutyLine], list[DutyLine]]:
    """What is due for this person first, and what is due for others."""
    kinds = OWN_DUTIES.get(role)
    mine = [line for line in now.due.pressing if kinds is None or line.duty.kind in kinds]
    return mine, [line for line in now.due.pressing if line not in mine]


def _with_strips(birds: list[Unseen], now: Today) -> list[tuple[Unseen, object, str]]:
    """Each bird with its last fortnight drawn, and what the short count of its group says."""
    strips = strips_of(tuple(bird.portrait.bird_id for bird in birds), now.as_of, FORTNIGHT)
    days = with_visits(strips, now.as_of)
    said = {(count.exhibit_id, count.lookalike): count.says for count in now.short}
    return [
        (
            bird,
            strip(days[bird.portrait.bird_id]),
            said.get((bird.portrait.exhibit_id, bird.portrait.lookalike), ""),
        )
        for bird in birds
    ]


def _pointed(birds: list[Unseen]) -> set[tuple[int, str]]:
    """Look-alike groups of which a short count points at a bird."""
    return {(bird.portrait.exhibit_id, bird.portrait.lookalike) for bird in birds if bird.by_count}


@may(VIEWER)
def exhibits(request: HttpRequest) -> HttpResponse:
    """Every exhibit with its roll call of today."""
    told = {
        "exhibits": exhibits_now(asked_at()),
        "title": "Exhibits",
        "may_call": may_do(request.user, "round_started"),
    }
    return render(request, "web/exhibits.html", told)


@may_tell("round_started")
def roll_calls(request: HttpRequest) -> HttpResponse:
    """The exhibits whose roll is to be called, and those whose roll was."""
    now = sorted(exhibits_now(asked_at()), key=lambda one: one.state in ("called", "not done"))
    return render(request, "web/exhibits.html", {"exhibits": now, "title": "Roll call", "may_call": True})
