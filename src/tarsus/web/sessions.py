"""Where somebody is signed in: kept as pages are asked for, shown to them, ended from anywhere."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from datetime import timedelta
from typing import Final

from django.contrib.auth.models import AnonymousUser
from django.core.cache import cache
from django.db import OperationalError
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone

from tarsus.actions.settings.sessions import end_session, note_session
from tarsus.core.words.browsers import browser_in_words, is_a_phone
from tarsus.queries.sessions import digest_of_session, last_use_of, sessions_of
from tarsus.queries.settings_page import NoSuchRow, person_values
from tarsus.web.access import may_tell, person_id
from tarsus.web.park_time import park_of
from tarsus.web.telling import done

WRITES_S: Final = 300
READS_S: Final = 3600
"""How closely the last use is kept. A page that only looks writes seldom: else it waits for other writers."""
LOOK_S: Final = 60
"""How often a session at a desk is looked at, where the park lets those end that nobody uses."""
OF_ITS_TIME: Final = 6
"""Such a session's last use is kept to a sixth of the time after which it ends."""


class SessionsNoted:
    """Middleware that keeps who is signed in where, and notices when a browser signs out."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        before = request.session.session_key
        counts = _on_phone(request) or _somebody_did(request)
        if before and request.user.is_authenticated and not _on_phone(request):
            _look_at_desk(request, before, used=counts)
        answer = self.answer(request)
        now = request.session.session_key
        if before and before != now:
            end_session(before)
        if now and request.user.is_authenticated and counts and _is_due(request, now):
            _note(request, now)
        return answer


def _look_at_desk(request: HttpRequest, key: str, *, used: bool) -> None:
    """End a session at a desk that nobody used for as long as the park says, or keep that it is used."""
    if not cache.add(f"looked-{used}-{digest_of_session(key)}", 1, LOOK_S):
        return
    ends_after, last = timedelta(minutes=park_of(request).desk_idle_minutes), last_use_of(key)
    if not ends_after or last is None:
        return
    unused = timezone.now() - last
    if unused > ends_after:
        end_session(key)
        request.session.flush()
        request.user = AnonymousUser()
        request.ended_unused = True  # type: ignore[attr-defined]  # the page where one signs in says why
    elif used and unused > ends_after / OF_ITS_TIME:
        _note(request, key)


def _note(request: HttpRequest, key: str) -> None:
    with suppress(OperationalError):  # a busy register keeps nobody from looking; a later page notes it
        note_session(key=key, person_id=person_id(request), browser=_browser_of(request))


def _somebody_did(request: HttpRequest) -> bool:
    """Whether somebody opened a page or sent something: what a page that lies open asks for is no use of it.

    Browsers say so themselves (W3C, Fetch Metadata Request Headers); of one that does not, all counts.
    """
    return request.method == "POST" or request.headers.get("Sec-Fetch-Mode", "navigate") == "navigate"


def _on_phone(request: HttpRequest) -> bool:
    """Whether somebody holds it in the hand; of a tablet that calls itself a desk its own page says so."""
    return is_a_phone(request.headers.get("User-Agent", "")) or request.COOKIES.get("held") == "1"


def _browser_of(request: HttpRequest) -> str:
    return browser_in_words(request.headers.get("User-Agent", ""))


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
