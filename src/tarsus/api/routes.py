"""What programs ask of an exhibit, and what they tell: the same questions and deeds as the pages, typed."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Router

from tarsus.actions.facts import hear_device, hear_facts
from tarsus.api.access import EITHER, Bearer, asker_of, asker_of_exhibit
from tarsus.api.bird_schemas import BirdOut, DutyOut, PresenceOut, bird_out
from tarsus.api.paging import Asked, Page, RowAsked, RowId, page_of
from tarsus.api.park_schemas import FlockOut, NestOut
from tarsus.api.schemas import (
    ExhibitOut,
    FactsIn,
    FactsOut,
    IdentifyIn,
    IdentifyOut,
    Problem,
    RollOut,
)
from tarsus.core.deeds.rights import KEEPER, RECORDS
from tarsus.core.documents.identify import identify_as_document
from tarsus.queries.asked import birds_today, identified_in, roll_of_exhibit
from tarsus.queries.duties import duties_of_exhibit
from tarsus.queries.exhibit_page import flocks_among
from tarsus.queries.exports import one_moment
from tarsus.queries.nests import nest_page
from tarsus.queries.pack import pack_of
from tarsus.queries.park_reports.asked import exhibits_by_name
from tarsus.queries.presence import presence_of_exhibit

REFUSED = dict.fromkeys((400, 401, 403, 404, 422), Problem)
router = Router(auth=EITHER, tags=["Exhibits"])


@router.get("/exhibits", response={200: Page[ExhibitOut], **REFUSED}, summary="Exhibits to ask of")
def exhibits(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker = asker_of(request)
    return page_of(
        request, [{"id": pk, "name": name} for pk, name in exhibits_by_name() if asker.sees(pk)], part
    )


@router.get(
    "/exhibits/{exhibit_id}/birds", response={200: Page[BirdOut], **REFUSED}, summary="Who lives there today"
)
def birds(request: HttpRequest, exhibit_id: RowId, part: Asked) -> dict[str, Any]:
    asker_of_exhibit(request, exhibit_id)
    return page_of(request, [bird_out(bird) for bird in birds_today(exhibit_id, timezone.now())], part)


@router.get(
    "/exhibits/{exhibit_id}/flocks",
    response={200: Page[FlockOut], **REFUSED},
    summary="Its look-alike groups",
)
def flocks(request: HttpRequest, exhibit_id: RowId, part: Asked) -> dict[str, Any]:
    asker_of_exhibit(request, exhibit_id)
    return page_of(
        request, flocks_among(birds_today(exhibit_id, timezone.now()), dict(exhibits_by_name())), part
    )


@router.get(
    "/exhibits/{exhibit_id}/presence",
    response={200: Page[PresenceOut], **REFUSED},
    summary="Where each bird stands: present, look again, search",
)
def presence(request: HttpRequest, exhibit_id: RowId, part: Asked) -> dict[str, Any]:
    asker_of_exhibit(request, exhibit_id)
    return page_of(request, list(presence_of_exhibit(exhibit_id, timezone.now()).values()), part)


@router.get(
    "/exhibits/{exhibit_id}/duties", response={200: Page[DutyOut], **REFUSED}, summary="What is due there"
)
def duties(request: HttpRequest, exhibit_id: RowId, part: Asked) -> dict[str, Any]:
    asker_of_exhibit(request, exhibit_id)
    due = duties_of_exhibit(exhibit_id, timezone.now())
    return page_of(request, [duty for of_bird in due.values() for duty in of_bird], part)


@router.get("/exhibits/{exhibit_id}/nests", response={200: Page[NestOut], **REFUSED}, summary="Its nests")
def nests(request: HttpRequest, exhibit_id: RowId, part: Asked) -> dict[str, Any]:
    asker_of_exhibit(request, exhibit_id)
    return page_of(request, nest_page(exhibit_id, timezone.now()).nests, part)


@router.get(
    "/exhibits/{exhibit_id}/pack",
    response={200: dict[str, Any], **REFUSED},
    summary="What a phone takes out to the exhibit, prepared for one person's eyes",
)
def pack(request: HttpRequest, exhibit_id: RowId, by: RowAsked = None) -> dict[str, Any]:
    asker = asker_of_exhibit(request, exhibit_id, KEEPER, RECORDS)
    # As for a phone: a bird that moves meanwhile is in all of the pack, or in nothing of it.
    with one_moment():
        told = dict(pack_of(exhibit_id, asker.in_the_name_of(by), timezone.now()).document)
    if asker.device is not None:
        # The device speaks for its own people only, whoever else works here.
        told["people"] = [{"id": pk, "name": name} for pk, name in asker.device.people]
    return told


@router.get(
    "/exhibits/{exhibit_id}/roll",
    response={200: RollOut, **REFUSED},
    summary="The roll call that is open there, or the latest of the last days",
)
def roll(request: HttpRequest, exhibit_id: RowId) -> dict[str, Any]:
    asker_of_exhibit(request, exhibit_id)
    call, answered = roll_of_exhibit(exhibit_id, timezone.now())
    return {
        "round": str(call.rounds[0].round),
        "open": call.phase == "open",
        "started_at": call.begun_at,
        "counts": [
            {"lookalike": one.lookalike, "counted": one.counted, "at": one.happened_at, "by": one.by}
            for counts in call.counts.values()
            for one in counts.told
        ],
        "seen": [
            {"bird": one.bird, "how": one.how, "at": one.happened_at, "by": one.by, "chance": one.chance}
            for one in call.sightings
            if one.bird is not None
        ],
        "part_readings": sum(one.bird is None for one in call.sightings),
        "groups": [
            {"lookalike": name, "state": state, "because": because}
            for name, (state, because) in sorted(call.groups.items())
        ],
        "unseen": list(answered.unseen),
        "not_asked": list(answered.not_asked),
    }


@router.post(
    "/exhibits/{exhibit_id}/identify",
    response={200: IdentifyOut, **REFUSED},
    summary="Who the birds of these readings may be",
)
def identify(request: HttpRequest, exhibit_id: RowId, asked: IdentifyIn) -> dict[str, Any]:
    by = asker_of_exhibit(request, exhibit_id, KEEPER, RECORDS).in_the_name_of(asked.by)
    answer = identified_in(
        exhibit_id, by, asked.readings, timezone.now(), asked.place, asked.light or "", asked.mud
    )
    return identify_as_document(answer)


@router.post(
    "/facts",
    tags=["Deeds"],
    response={200: FactsOut, **REFUSED},
    summary="Tell what happened: any deed, each once",
)
def facts(request: HttpRequest, told: FactsIn) -> dict[str, Any]:
    shown = request.auth  # type: ignore[attr-defined]  # set by whichever of the two let it in
    clock = told.clock.isoformat() if told.clock else None
    if isinstance(shown, Bearer):
        device = f"device {shown.device.device_id}"
        answers = hear_device(facts=told.facts, clock=clock, device=device, token=shown.token)
    else:
        answers = hear_facts(facts=told.facts, clock=clock, device="program", speaker=shown.pk)
    return {"now": timezone.now(), "answers": [answer.as_mapping() for answer in answers]}
