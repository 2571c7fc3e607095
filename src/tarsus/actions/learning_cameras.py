"""Keep what checked photographs teach of each phone's camera and of the park's bands."""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from tarsus.core.documents.taps import lesson_of
from tarsus.core.marks.palette import Palette
from tarsus.core.photographs.lessons import (
    LATEST,
    LATEST_OF_PARK,
    Learned,
    Lesson,
    learned_ageing,
    learned_exponent,
)
from tarsus.core.photographs.renderings import renderings
from tarsus.queries.cameras import checked_photographs
from tarsus.queries.park import park_face
from tarsus.records.models import LearnedCamera

PARK = ""
"""The device of what holds for the whole park."""


def learn_cameras(now: datetime) -> int:
    """Make the lessons anew of every phone that has new checked photographs, and the park's.

    Asking twice changes nothing: a lesson is kept beside the version of what it rests on. The park's rests on
    its phones' cameras as they serve, so that a strange camera is not taken for faded bands. Learning takes a
    second or two of a processor: it is an errand, and only what it found is written in a transaction.

    Args:
        now: the moment of asking.

    Returns:
        How many lessons were written.
    """
    face = park_face()
    taught = _taught(tuple(face.palette))
    kept = {row.device: row for row in LearnedCamera.objects.all()}
    versions = {
        device: _version([of for of, _ in own], face.palette, face.faded) for device, own in taught.items()
    }
    stale = {device for device in taught if device not in kept or kept[device].version != versions[device]}
    looks = renderings(Palette.of(face.palette), face.faded) if stale else None
    exponents = {device: float(row.lesson["exponent"]) for device, row in kept.items() if device in taught}
    found: dict[str, Learned] = {}
    # The park comes last: it rests on what was learned of each camera.
    for device in sorted(stale, reverse=True):
        assert looks is not None
        lessons = [lesson for _, lesson in taught[device]]
        if device == PARK:
            trusted = [exponents.get(of["device"], 1.0) for of, _ in taught[PARK]]
            found[PARK] = learned_ageing(lessons, trusted, looks)
        else:
            found[device] = learned_exponent(lessons, looks)
            exponents[device] = found[device].camera.exponent
    with transaction.atomic():
        for device, learned in found.items():
            told = {"version": versions[device], "made_at": now, "lesson": _plain(learned)}
            LearnedCamera.objects.update_or_create(device=device, defaults=told)
        LearnedCamera.objects.filter(device__in=kept.keys() - taught.keys()).delete()
    return len(found)


def _taught(colours: tuple[str, ...]) -> dict[str, list[tuple[dict[str, Any], Lesson]]]:
    """Of each device, and of the park, the latest lessons and what they rest on."""
    taught: dict[str, list[tuple[dict[str, Any], Lesson]]] = defaultdict(list)
    for one in checked_photographs():
        lesson = lesson_of(one.taps, one.worn, colours)
        if lesson is not None:
            of = {"id": one.id, "device": one.device, "worn": one.worn.as_mapping(), "taps": one.taps}
            for device in {one.device, PARK}:
                taught[device].append((of, lesson))
    return {device: own[-(LATEST if device else LATEST_OF_PARK) :] for device, own in taught.items()}


def _plain(learned: Learned) -> dict[str, Any]:
    return {
        **learned.camera.as_plain(),
        "lessons": learned.lessons,
        "nats": learned.evidence.nats,
        "earned": learned.earned,
    }


def _version(rests_on: list[Any], palette: Mapping[str, str], faded: Mapping[str, str]) -> str:
    whole = {"form": 1, "of": rests_on, "palette": list(palette.items()), "faded": dict(faded)}
    return hashlib.sha256(json.dumps(whole, sort_keys=True, default=str).encode()).hexdigest()[:32]
