"""The interface for programs, with its errors told the same way everywhere: one sentence, one status."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.metadata import version
from typing import Any

from django.http import HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, ValidationError
from ninja.parser import Parser

from tarsus.actions.refusals import MayNotSpeak
from tarsus.api.access import for_the_signed_in
from tarsus.api.routes import router
from tarsus.core.documents.text import parse_json
from tarsus.core.errors import MalformedInput, NoAnswer


class _Strict(Parser):
    """Reads a body as every document is read here."""

    def parse_body(self, request: HttpRequest) -> Any:
        return parse_json(request.body, "body")


api = NinjaAPI(
    parser=_Strict(),
    title="Tarsus",
    version=version("tarsus"),
    description="The same questions and deeds as the pages, for devices with a token of their own.",
    docs_url=None,  # its page has a script within, which the content policy refuses
    openapi_url="/openapi.json",
    docs_decorator=for_the_signed_in,
    urls_namespace="api",
)
api.add_router("", router)


def _refused(request: HttpRequest, status: int, reason: str) -> HttpResponse:
    return api.create_response(request, {"reason": reason}, status=status)


@api.exception_handler(AuthenticationError)
def _no_token(request: HttpRequest, _: Any) -> HttpResponse:
    answer = _refused(request, 401, "show the device's token: Authorization: Bearer …")
    answer["WWW-Authenticate"] = "Bearer"
    return answer


@api.exception_handler(HttpError)
def _as_it_says(request: HttpRequest, error: Any) -> HttpResponse:
    if isinstance(error.__cause__, MalformedInput):  # what `_Strict` refused
        return _malformed(request, error.__cause__)
    return _refused(request, error.status_code, str(error))


@api.exception_handler(ValidationError)
def _not_as_typed(request: HttpRequest, error: Any) -> HttpResponse:
    return _refused(request, 422, "; ".join(_places(error.errors)))


@api.exception_handler(MayNotSpeak)
def _may_not(request: HttpRequest, error: Any) -> HttpResponse:
    return _refused(request, 403, str(error))


@api.exception_handler(MalformedInput)
def _malformed(request: HttpRequest, error: Any) -> HttpResponse:
    return _refused(request, 422, str(error))


@api.exception_handler(NoAnswer)
def _no_answer(request: HttpRequest, error: Any) -> HttpResponse:
    return _refused(request, 404, str(error))


def _places(errors: Iterable[dict[str, Any]]) -> list[str]:
    """Each thing amiss with its place as a path: ``readings[0].left leg``."""
    told = []
    for error in errors:
        place = ""
        for part in error["loc"]:
            if part in ("body", "query", "path", "asked", "told"):
                continue
            place += f"[{part}]" if isinstance(part, int) else f".{part}" if place else str(part)
        told.append(f"{place}: {error['msg'][:1].lower()}{error['msg'][1:]}")
    return told
