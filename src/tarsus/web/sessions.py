"""Where somebody is signed in: kept as pages are asked for, shown to them, ended from anywhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render

from tarsus.actions.settings.sessions import end_session, note_session
from tarsus.core.words.browsers import browser_in_words
from tarsus.queries.sessions import digest_of_session, sessions_of
from tarsus.queries.settings_page import NoSuchRow, person_values
from tarsus.web.access import may_tell, person_id
from tarsus.web.telling import done

WRITES_S: Final = 300
READS_S: Final = 3600
"""How closely the last use is kept. A page that only looks writes seldom: else it waits for other writers."""


class SessionsNoted:
    """Middleware that keeps who is signed in where, and notices when a browser signs out."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        before = request.session.session_key
        answer = self.answer(request)
        now = request.session.session_key
        if before and before != now:
            end_session(before)
        if now and request.user.is_authenticated and _is_due(request, now):
            agent = request.headers.get("User-Agent", "")
            note_session(key=now, person_id=person_id(request), browser=browser_in_words(agent))
        return answer


def _is_due(request: HttpRequest, key: str) -> bool:
    seconds = READS_S if request.method in ("GET", "HEAD") else WRITES_S
    return bool(cache.add(f"noted-{seconds}-{digest_of_session(key)}", 1, seconds))


@may_tell("own_sessions_ended")
def sessions_page(request: HttpRequest) -> HttpResponse:
    """Where the person signed in is signed in, each ended by a tap."""
    if request.method == "POST":
        success = "Ended. What is asked for from there next is asked to sign in, and that phone forgets."
        done(request, "own_sessions_ended", {"sessions": request.POST.getlist("session")}, success)
        return redirect("sessions")
    found = sessions_of(person_id(request), request.session.session_key)
    return render(request, "web/sessions.html", {"sessions": found, "own": True})


@may_tell("sessions_ended")
def sessions_of_person(request: HttpRequest, of: int) -> HttpResponse:
    """Where somebody is signed in, for whoever may end that."""
    if request.method == "POST":
        told = {"person": of, "sessions": request.POST.getlist("session")}
        done(request, "sessions_ended", told, "Ended. What is asked for from there next is asked to sign in.")
        return redirect("person-sessions", of)
    try:
        name = person_values(of)["display_name"]
    except NoSuchRow as refusal:
        raise Http404(str(refusal)) from None
    found = sessions_of(of, request.session.session_key)
    return render(request, "web/sessions.html", {"sessions": found, "name": name})
