"""What a person asks of themselves and of what colleagues left for them."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Router

from tarsus.api.access import EITHER, asker_of
from tarsus.api.own_schemas import LearnedOut, NoteOut, OwnSettingsOut, SessionOut
from tarsus.api.paging import Asked, Page, RowAsked, RowId, page_of
from tarsus.api.routes import REFUSED
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import VIEWER
from tarsus.queries.learned_page import learned_of
from tarsus.queries.people import has_second_step
from tarsus.queries.phone_news import phones_told
from tarsus.queries.sessions import sessions_of
from tarsus.queries.settings_page import mail_values, person_values
from tarsus.queries.shift_notes import notes_left

router = Router(auth=EITHER, tags=["Your own"])


@router.get(
    "/notes",
    response={200: Page[NoteOut], **REFUSED},
    summary="Notes that shifts left in the last fortnight",
)
def notes(request: HttpRequest, part: Asked, by: RowAsked = None) -> dict[str, Any]:
    asker = asker_of(request)
    asker.of_park(VIEWER)
    return page_of(request, notes_left(asker.in_the_name_of(by), timezone.now()), part)


@router.get(
    "/me/learned",
    response={200: LearnedOut, **REFUSED},
    summary="What checks taught of how you read bands; for you alone",
)
def learned(request: HttpRequest) -> Any:
    return learned_of(asker_of(request).own())


@router.get("/me/settings", response={200: OwnSettingsOut, **REFUSED}, summary="Your own settings")
def own_settings(request: HttpRequest) -> dict[str, Any]:
    person = asker_of(request).own()
    told = person_values(person)
    return told | {
        "name": told["display_name"],
        "second_step": has_second_step(person),
        "mail": mail_values(person),
        "phones": phones_told(person),
    }


@router.get("/me/sessions", response={200: list[SessionOut], **REFUSED}, summary="Where you are signed in")
def own_sessions(request: HttpRequest) -> list[Any]:
    return list(sessions_of(asker_of(request).own(), request.session.session_key))


@router.get(
    "/settings/people/{person_id}/sessions",
    response={200: list[SessionOut], **REFUSED},
    summary="Where somebody is signed in",
)
def sessions(request: HttpRequest, person_id: RowId) -> list[Any]:
    asker_of(request).of_park(*DEEDS["sessions_ended"].who_may)
    person_values(person_id)
    return list(sessions_of(person_id, request.session.session_key))
