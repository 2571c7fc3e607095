"""The interface for programs, with its errors told the same way everywhere: problem details, one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from importlib.metadata import version
from typing import Any

from django.http import HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, ValidationError
from ninja.openapi.schema import OpenAPISchema
from ninja.parser import Parser

from tarsus.actions.refusals import MayNotSpeak
from tarsus.api import (
    bird_routes,
    catch_routes,
    flock_routes,
    marking_routes,
    own_routes,
    park_routes,
    settings_routes,
)
from tarsus.api.access import for_the_signed_in
from tarsus.api.description import described
from tarsus.api.problems import problem
from tarsus.api.routes import router
from tarsus.core.documents.text import parse_json
from tarsus.core.errors import MalformedInput, NoAnswer


class _Strict(Parser):
    """Reads a body as every document is read here."""

    def parse_body(self, request: HttpRequest) -> Any:
        return parse_json(request.body, "body")


class _Described(NinjaAPI):
    """An interface whose description says of itself what the library leaves out."""

    def get_openapi_schema(self, **asked: Any) -> OpenAPISchema:
        schema = super().get_openapi_schema(**asked)
        return described(schema)  # type: ignore[return-value]  # both are mappings


api = _Described(
    parser=_Strict(),
    title="Tarsus",
    version=version("tarsus"),
    description="The same questions and deeds as the pages: for devices with a token of their own, and for "
    "whoever is signed in.",
    docs_url=None,  # its page has a script within, which the content policy refuses; see `page.py`
    openapi_url="/openapi.json",
    docs_decorator=for_the_signed_in,
    urls_namespace="api",
)
api.add_router("", router)
for _routes in (
    bird_routes,
    flock_routes,
    park_routes,
    catch_routes,
    marking_routes,
    own_routes,
    settings_routes,
):
    api.add_router("", _routes.router)


@api.exception_handler(AuthenticationError)
def _no_token(_request: HttpRequest, _: Any) -> HttpResponse:
    return problem(401, "show the device's token: Authorization: Bearer …; or sign in")


@api.exception_handler(HttpError)
def _as_it_says(_request: HttpRequest, error: Any) -> HttpResponse:
    if isinstance(error.__cause__, MalformedInput):  # what `_Strict` refused
        return problem(422, str(error.__cause__))
    return problem(error.status_code, str(error))


@api.exception_handler(ValidationError)
def _not_as_typed(_request: HttpRequest, error: Any) -> HttpResponse:
    amiss = tuple(_places(error.errors))
    return problem(422, "; ".join(f"{one['place']}: {one['why']}" for one in amiss), amiss)


@api.exception_handler(MayNotSpeak)
def _may_not(_request: HttpRequest, error: Any) -> HttpResponse:
    return problem(403, str(error))


@api.exception_handler(MalformedInput)
def _malformed(_request: HttpRequest, error: Any) -> HttpResponse:
    return problem(422, str(error))


@api.exception_handler(NoAnswer)
def _no_answer(_request: HttpRequest, error: Any) -> HttpResponse:
    return problem(404, str(error))


def _places(errors: Iterable[dict[str, Any]]) -> Iterator[dict[str, str]]:
    """Each thing amiss with its place as a path: ``readings[0].left leg``."""
    for error in errors:
        place = ""
        for part in error["loc"]:
            if part in ("body", "query", "path", "asked", "told", "part"):
                continue
            place += f"[{part}]" if isinstance(part, int) else f".{part}" if place else str(part)
        yield {"place": place, "why": f"{error['msg'][:1].lower()}{error['msg'][1:]}"}
