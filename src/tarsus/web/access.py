"""Who may open a page: one decorator a view, and no view without it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, Final

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.shortcuts import render, resolve_url

View = Callable[..., HttpResponseBase]

VIEWER: Final = "viewer"
KEEPER: Final = "keeper"
LEAD: Final = "lead"
VET: Final = "vet"
RECORDS: Final = "records"
ADMINISTRATOR: Final = "administrator"

STANDS_FOR: Final = {
    VIEWER: frozenset({VIEWER}),
    KEEPER: frozenset({VIEWER, KEEPER}),
    LEAD: frozenset({VIEWER, KEEPER, LEAD}),
    VET: frozenset({VIEWER, KEEPER, VET}),
    RECORDS: frozenset({VIEWER, RECORDS}),
    # Whoever looks after the people can give any role anyway; what is the vet's stays the vet's.
    ADMINISTRATOR: frozenset({VIEWER, KEEPER, LEAD, RECORDS, ADMINISTRATOR}),
}
"""What each role may pass for. A role that is not here passes for nothing."""


def passes(person: Any, *roles: str) -> bool:
    """Whether this person may do what any one of these roles may."""
    if not person.is_authenticated or not person.is_active:
        return False
    return not STANDS_FOR.get(person.role, frozenset()).isdisjoint(roles)


def may(*roles: str, json: bool = False) -> Callable[[View], View]:
    """Let a view be opened by whoever passes for one of `roles`.

    With `json` a refusal is told in the manner of a program.
    """
    if not roles or not set(roles) <= set(STANDS_FOR):
        raise ValueError(f"roles are {', '.join(STANDS_FOR)}; not {', '.join(roles) or 'none'}")

    def decorated(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if passes(request.user, *roles):
                return view(request, *args, **kwargs)
            return _refused(request, roles, json=json)

        guarded.admits = frozenset(roles)  # type: ignore[attr-defined]  # read by the walk over all addresses
        return guarded

    return decorated


def anyone(view: View) -> View:
    """Let a view be opened by anyone, on purpose: signing in, the manifest, the service worker."""
    view.admits = frozenset({"anyone"})  # type: ignore[attr-defined]  # read by the walk over all addresses
    return view


def _refused(request: HttpRequest, roles: tuple[str, ...], *, json: bool) -> HttpResponseBase:
    known = request.user.is_authenticated
    if json:
        reason = f"this is for: {', '.join(roles)}" if known else "sign in first"
        return JsonResponse({"reason": reason}, status=403 if known else 401)
    if not known:
        return redirect_to_login(request.get_full_path(), resolve_url("sign-in"))
    return render(request, "web/refused.html", {"roles": roles}, status=403)


def person_id(request: HttpRequest) -> int:
    """The id of whoever is signed in: the name that stands on what they record."""
    assert request.user.pk is not None, "a view that writes has a check above it"
    return int(request.user.pk)
