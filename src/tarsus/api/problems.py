"""What is refused, told as problem details: one media type, one shape, one sentence."""

from __future__ import annotations

from collections.abc import Mapping
from http import HTTPStatus
from typing import Any, Final

from django.http import JsonResponse

PROBLEM_JSON: Final = "application/problem+json"
KINDS: Final[Mapping[int, tuple[str, str]]] = {
    400: ("unreadable", "The address or the body could not be read as what it says it is."),
    401: ("nobody", "Nobody was shown who asks: no session, and no token that is known."),
    403: ("not-yours", "Known who asks, and it is not theirs to ask or tell."),
    404: ("no-answer", "The question is sound and the register has no answer to it."),
    405: ("no-such-way", "There is no such way to ask at this address."),
    422: ("not-as-described", "Something asked or told is not as this page describes it; `detail` names it."),
}
"""What each status means here: its name, at which the page of the interface explains it, and a sentence."""
PAGE: Final = "/api/v1/docs"


def problem_body(status: int, detail: str, places: tuple[Mapping[str, str], ...] = ()) -> dict[str, Any]:
    """What went wrong, by the names that RFC 9457 gives them.

    Args:
        status: the answer's own status.
        detail: one sentence that names the field and the remedy.
        places: each field amiss with what is amiss with it, where there are several.

    Source:
        RFC 9457, sections 3 and 4: `type` is an address that explains the kind of problem.
    """
    name, _ = KINDS.get(status, ("", ""))
    told: dict[str, Any] = {
        "type": f"{PAGE}#{name}" if name else "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
    }
    return told | ({"errors": list(places)} if places else {})


def problem(status: int, detail: str, places: tuple[Mapping[str, str], ...] = ()) -> JsonResponse:
    """The same as an answer."""
    answer = JsonResponse(problem_body(status, detail, places), status=status, content_type=PROBLEM_JSON)
    if status == HTTPStatus.UNAUTHORIZED:
        answer["WWW-Authenticate"] = "Bearer"
    return answer
