"""The routes for programs: the same questions and deeds as the pages, typed."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Router
from ninja.security import SessionAuth

from tarsus.actions.facts import hear_device, hear_facts
from tarsus.api.access import Bearer, DeviceBearer, exhibit_for, person_for
from tarsus.api.schemas import (
    BirdOut,
    ExhibitOut,
    FactsIn,
    FactsOut,
    IdentifyIn,
    IdentifyOut,
    Refusal,
    RollOut,
)
from tarsus.core.documents.identify import identify_as_document
from tarsus.queries.asked import birds_today, identified_in, roll_of_exhibit
from tarsus.queries.devices import Device
from tarsus.queries.pack import pack_of

REFUSED = {401: Refusal, 403: Refusal, 404: Refusal, 422: Refusal}
router = Router(auth=DeviceBearer())


def _device(request: HttpRequest) -> Device:
    device: Device = request.auth.device  # type: ignore[attr-defined]  # set by the bearer above
    return device


@router.get("/exhibits", response={200: list[ExhibitOut], **REFUSED}, summary="Exhibits this device asks of")
def exhibits(request: HttpRequest) -> list[dict[str, Any]]:
    return [{"id": pk, "name": name} for pk, name in _device(request).exhibits]


@router.get(
    "/exhibits/{exhibit_id}/birds", response={200: list[BirdOut], **REFUSED}, summary="Who lives there today"
)
def birds(request: HttpRequest, exhibit_id: int) -> list[dict[str, Any]]:
    exhibit_for(_device(request), exhibit_id)
    return [
        {
            "id": bird.bird_id,
            "name": bird.name,
            "sex": bird.sex,
            "species": bird.species,
            "lookalike": bird.lookalike,
            "marks": bird.marks.as_mapping(),
            "engraving": bird.engraving,
            "counted": bird.counted,
        }
        for bird in birds_today(exhibit_id, timezone.now())
    ]


@router.get(
    "/exhibits/{exhibit_id}/pack",
    response={200: dict[str, Any], **REFUSED},
    summary="What a phone takes out to the exhibit, prepared for one person's eyes",
)
def pack(request: HttpRequest, exhibit_id: int, by: int) -> dict[str, Any]:
    device = _device(request)
    exhibit_for(device, exhibit_id)
    person_for(device, by)
    told = dict(pack_of(exhibit_id, by, timezone.now()).document)
    # The device speaks for its own people only, whoever else works here.
    told["people"] = [{"id": pk, "name": name} for pk, name in device.people]
    return told


@router.get(
    "/exhibits/{exhibit_id}/roll",
    response={200: RollOut, **REFUSED},
    summary="The roll call that is open there, or the latest of the last days",
)
def roll(request: HttpRequest, exhibit_id: int) -> dict[str, Any]:
    exhibit_for(_device(request), exhibit_id)
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
def identify(request: HttpRequest, exhibit_id: int, asked: IdentifyIn) -> dict[str, Any]:
    device = _device(request)
    exhibit_for(device, exhibit_id)
    person_for(device, asked.by)
    return identify_as_document(
        identified_in(exhibit_id, asked.by, asked.readings, timezone.now(), asked.place)
    )


@router.post(
    "/facts",
    auth=[DeviceBearer(), SessionAuth()],
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
