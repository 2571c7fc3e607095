"""The roll call's addresses: the page's shell, the pack, and the facts that phones send."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_GET, require_POST

from tarsus.actions.facts import hear_facts
from tarsus.actions.phone_keys import keys_of_phone
from tarsus.core.documents.text import parse_json
from tarsus.core.errors import MalformedInput
from tarsus.queries.exports import one_moment
from tarsus.queries.once import asked_at
from tarsus.queries.pack import NoSuchExhibit, exhibits_with_packs, pack_sent
from tarsus.queries.people import idle_minutes, people_who_record
from tarsus.web.access import KEEPER, RECORDS, may

MOST_FACTS = 500
"""Facts in one sending; a phone sends fewer and says the rest in the next one."""


@may(KEEPER, RECORDS)
@require_GET
@ensure_csrf_cookie
def roll_call(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """The shell of the page; it says nothing of any exhibit, so that a phone may keep one for all."""
    del exhibit_id  # the page reads it from its own address
    return render(request, "web/roll_call.html")


@may(KEEPER, RECORDS)
@require_GET
def practice(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """The shell of *Learn the flock*; answers given there stay on the phone."""
    del exhibit_id  # the page reads it from its own address
    return render(request, "web/practice.html")


@may(KEEPER, RECORDS)
@require_GET
@ensure_csrf_cookie
def who(request: HttpRequest) -> HttpResponse:
    """The shell of *Who is it?*, across the exhibits whose packs the phone holds."""
    return render(request, "web/who.html")


@may(KEEPER, RECORDS, json=True)
@require_GET
@ensure_csrf_cookie
def pack(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """The pack of one exhibit."""
    try:
        with one_moment():  # a bird that moves meanwhile is in all of the pack, or in nothing of it
            device = request.headers.get("Tarsus-Device", "")[:64]
            made_at = timezone.now()
            found = pack_sent(exhibit_id, _person(request), asked_at(), device)
    except NoSuchExhibit as missing:
        return JsonResponse({"reason": str(missing)}, status=404)
    tag = f'"{found.version} {_person(request)}"'
    headers = {"Cache-Control": "no-store", "ETag": tag}
    if request.headers.get("If-None-Match") == tag:
        return HttpResponse(status=304, headers=headers)
    return HttpResponse(found.made_at(made_at), content_type="application/json", headers=headers)


@may(KEEPER, RECORDS, json=True)
@require_GET
def exhibits(_request: HttpRequest) -> HttpResponse:
    """The exhibits whose packs a phone may hold."""
    told = [{"id": exhibit_id, "name": name} for exhibit_id, name in exhibits_with_packs()]
    return JsonResponse({"exhibits": told}, headers={"Cache-Control": "no-store"})


@may(KEEPER, RECORDS, json=True)
@require_POST
def facts(request: HttpRequest) -> HttpResponse:
    """Hear what a phone tells, one answer a fact; what is no sending at all is refused whole, with 422."""
    try:
        told = parse_json(request.body, "sending")
    except MalformedInput as refusal:
        return _refused(str(refusal))
    if not isinstance(told, dict) or not isinstance(told.get("facts"), list):
        return _refused("facts: is missing; give the list of facts")
    if len(told["facts"]) > MOST_FACTS:
        return _refused(f"facts: {len(told['facts'])} at once; send at most {MOST_FACTS}")
    try:
        answers = hear_facts(
            facts=told["facts"],
            clock=told.get("clock"),
            device=str(told.get("device", ""))[:64],
            speaker=_person(request),
        )
    except MalformedInput as refusal:
        return _refused(str(refusal))
    return JsonResponse(
        {"now": timezone.now().isoformat(), "answers": [answer.as_mapping() for answer in answers]}
    )


@may(KEEPER, RECORDS, json=True)
@require_POST
def phone(request: HttpRequest) -> HttpResponse:
    """What a phone is told of itself: the keys by which it seals what is not sent, and when it locks."""
    try:
        told = parse_json(request.body, "phone")
        device = str(told.get("device", "")) if isinstance(told, dict) else ""
        keys = keys_of_phone(speaker=_person(request), device=device)
    except MalformedInput as refusal:
        return _refused(str(refusal))
    names = {one["id"]: one["name"] for one in people_who_record(_person(request), shared=True)}
    answer = {"person": _person(request), "keys": keys, "names": names}
    answer["idle_minutes"] = idle_minutes(_person(request))
    return JsonResponse(answer, headers={"Cache-Control": "no-store"})


def _person(request: HttpRequest) -> int:
    person: Any = request.user
    return int(person.pk)


def _refused(reason: str) -> JsonResponse:
    return JsonResponse({"reason": reason}, status=422)
