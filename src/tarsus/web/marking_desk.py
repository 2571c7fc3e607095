"""The marking desk: which flock, what is proposed, and keeping it."""

from __future__ import annotations

import json
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_POST

from tarsus.actions.facts import REFUSED
from tarsus.core.documents.text import parse_json
from tarsus.core.errors import MalformedInput
from tarsus.core.words.clarity_said import doubt_said
from tarsus.core.words.numbers import capital
from tarsus.queries.flock_page import NoSuchFlock
from tarsus.queries.marking import Desk, marking_desk
from tarsus.queries.marking_list import flocks_to_mark
from tarsus.queries.marking_wish import Wish, fewest_changes, marks_written, wish_for
from tarsus.queries.settings_page import colours_listed
from tarsus.web.access import may_tell
from tarsus.web.page_form import Refused, refused_once
from tarsus.web.telling import done, tell


@may_tell("marks_kept")
@require_GET
def desks(request: HttpRequest) -> HttpResponse:
    """The flocks that wear bands, those with birds to mark first."""
    return render(request, "web/marking_desks.html", {"flocks": flocks_to_mark(timezone.now())})


@may_tell("marks_kept")
@require_GET
def desk(request: HttpRequest, exhibit_id: int, lookalike: str) -> HttpResponse:
    """One flock: marks proposed for its birds."""
    asked = request.GET.getlist("bird")
    chosen = {int(one) for one in asked if one.isdecimal()} if asked else None
    try:
        told = marking_desk(exhibit_id, lookalike, timezone.now(), chosen)
    except NoSuchFlock as refusal:
        raise Http404(str(refusal)) from None
    wish, trouble = _wish(request, exhibit_id, lookalike)
    shown = {
        "desk": told,
        "proposals": [(one, json.dumps(one.drawn.marks)) for one in told.proposals],
        "wish": wish,
        "wish_refused": trouble,
        "wished": [(site, request.GET.get(f"at {site}", "")) for site in told.sites],
        "wish_bird": request.GET.get("wish", ""),
        "changes": None,
        "doubt": _doubt(told),
    }
    if "changes" in request.GET:
        shown["changes"] = fewest_changes(exhibit_id, lookalike, timezone.now())
    return render(request, "web/marking_desk.html", shown)


def _doubt(told: Desk) -> str:
    """What the cost of the proposal is made of."""
    named = told.named
    return doubt_said(named.wrongly, named.in_doubt, told.sureness, told.lookalike) if named else ""


def _wish(request: HttpRequest, exhibit_id: int, lookalike: str) -> tuple[Wish | None, list[Refused]]:
    """The keeper's own choice that the address carries, judged; else why not, and at which site."""
    bird = request.GET.get("wish", "")
    if not bird.isdecimal():
        return None, []
    written = {
        key.removeprefix("at "): str(text) for key, text in request.GET.items() if key.startswith("at ")
    }
    try:
        marks = marks_written(written, [colour.name for colour in colours_listed()])
        return wish_for(exhibit_id, lookalike, int(bird), marks, timezone.now()), []
    except MalformedInput as refusal:
        at = f"own-{slugify(refusal.place)}" if refusal.place in written else ""
        return None, refused_once(refusal.message, at, capital(refusal.place))


@may_tell("marks_kept")
@require_POST
def keep(request: HttpRequest, exhibit_id: int, lookalike: str) -> HttpResponse:
    """Keep what the form says: `bird` and `marks`, once or for several birds."""
    birds, marks = request.POST.getlist("bird"), request.POST.getlist("marks")
    kept = 0
    for bird, worn in zip(birds, marks, strict=False):
        try:
            said = {"bird": int(bird), "marks": _marks(worn), "because": request.POST.get("because", "")}
        except (ValueError, MalformedInput) as refusal:
            messages.error(request, f"Not kept: {refusal}")
            continue
        answer = tell(request, "marks_kept", said)
        if answer.outcome == REFUSED:
            messages.error(request, f"Not kept: {answer.reason}")
        else:
            kept += 1
    if kept:
        birds_kept = "1 bird" if kept == 1 else f"{kept} birds"
        messages.success(request, f"Kept for {birds_kept}: on the list for when they are in hand.")
    return redirect("marking-desk-of", exhibit_id, lookalike)


@may_tell("marks_dropped")
@require_POST
def drop(request: HttpRequest, exhibit_id: int, lookalike: str, planned_id: int) -> HttpResponse:
    """Take back what was kept for one bird."""
    done(request, "marks_dropped", {"planned": planned_id}, "Dropped; the record keeps that it was planned.")
    return redirect("marking-desk-of", exhibit_id, lookalike)


def _marks(text: str) -> dict[str, list[str]]:
    """The marks that a form carries."""
    told: Any = parse_json(text, "marks")
    if not isinstance(told, dict) or not all(isinstance(bands, list) for bands in told.values()):
        raise ValueError("the form does not say which marks; open the desk again")
    return {str(site): [str(band) for band in bands] for site, bands in told.items()}
