"""Who may open a page: one decorator a view, and no view without it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render, resolve_url

from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import (
    ADMINISTRATOR,
    KEEPER,
    LEAD,
    OF_THE_OFFICE,
    RECORDS,
    STANDS_FOR,
    VET,
    VIEWER,
    passes_for,
)
from tarsus.queries.sessions import was_ended
from tarsus.web.park_time import park_of

__all__ = [
    "ADMINISTRATOR",
    "KEEPER",
    "LEAD",
    "RECORDS",
    "STANDS_FOR",
    "VET",
    "VIEWER",
    "View",
    "anyone",
    "may",
    "may_do",
    "may_tell",
    "owes_second_step",
    "passes",
    "person_id",
    "role_of",
]

View = Callable[..., HttpResponseBase]


def passes(person: Any, *roles: str) -> bool:
    """Whether this person may do what any one of these roles may."""
    return person.is_authenticated and person.is_active and passes_for(person.role, *roles)


def may_do(person: Any, *deeds: str) -> bool:
    """Whether this person may do any one of these deeds."""
    if not person.is_authenticated or not person.is_active:
        return False
    return any(DEEDS[name].allowed_to(person.role) for name in deeds)


def owes_second_step(request: HttpRequest) -> bool:
    """Whether the park wants a second step of signing in of whoever is signed in, who has set none up yet."""
    person: Any = request.user
    return (
        role_of(request) in OF_THE_OFFICE
        and person.second_since is None
        and park_of(request).office_second_step
    )


def may(*roles: str, json: bool = False, even_without_second_step: bool = False) -> Callable[[View], View]:
    """Let a view be opened by whoever passes for one of `roles`.

    With `json` a refusal is told in the manner of a program. Whoever owes a second step of signing in is led
    to where it is set up; `even_without_second_step` marks that page.
    """
    if not roles or not set(roles) <= set(STANDS_FOR):
        raise ValueError(f"roles are {', '.join(STANDS_FOR)}; not {', '.join(roles) or 'none'}")

    def decorated(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if not passes(request.user, *roles):
                return _refused(request, roles, json=json)
            if not even_without_second_step and owes_second_step(request):
                if json:
                    return JsonResponse({"reason": "set up your second step of signing in first"}, status=403)
                return redirect("second-step")
            return view(request, *args, **kwargs)

        guarded.admits = frozenset(roles)  # type: ignore[attr-defined]  # read by the walk over all addresses
        return guarded

    return decorated


def role_of(request: HttpRequest) -> str:
    """The role of whoever is signed in; nobody's where nobody is."""
    return str(getattr(request.user, "role", ""))


def may_tell(*deeds: str, json: bool = False) -> Callable[[View], View]:
    """Let a view be opened by whoever may do any one of these deeds: their declarations say who."""
    roles = dict.fromkeys(role for name in deeds for role in DEEDS[name].who_may)
    return may(*roles, json=json)


def anyone(view: View) -> View:
    """Let a view be opened by anyone, on purpose: signing in, the manifest, the service worker."""
    view.admits = frozenset({"anyone"})  # type: ignore[attr-defined]  # read by the walk over all addresses
    return view


def _refused(request: HttpRequest, roles: tuple[str, ...], *, json: bool) -> HttpResponseBase:
    known = request.user.is_authenticated
    if json:
        if known:
            return JsonResponse({"reason": f"this is for: {', '.join(roles)}"}, status=403)
        ended = was_ended(request.COOKIES.get(settings.SESSION_COOKIE_NAME, ""))
        return JsonResponse({"reason": "sign in first"} | ({"ended": True} if ended else {}), status=401)
    if not known:
        why = "?unused=1" if getattr(request, "ended_unused", False) else ""
        return redirect_to_login(request.get_full_path(), resolve_url("sign-in") + why)
    return render(request, "web/refused.html", {"roles": roles}, status=403)


def person_id(request: HttpRequest) -> int:
    """The id of whoever is signed in: the name that stands on what they record."""
    assert request.user.pk is not None, "a view that writes has a check above it"
    return int(request.user.pk)
