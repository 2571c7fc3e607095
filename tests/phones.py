"""Phones that record in the field, as tests hold them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

from django.utils import timezone

from tarsus.actions.facts import Answer, hear_facts
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

SEVEN = datetime(2026, 6, 11, 6, 0, tzinfo=UTC)
NINE = SEVEN + timedelta(hours=2)


class Phone:
    """One phone in one exhibit: makes facts, and sends them in a person's name."""

    def __init__(self, park: Wendlebrook, by: int, exhibit: int | None = None) -> None:
        self.park, self.by, self.exhibit = park, by, exhibit or park.shingle
        self.round = uuid4()
        self.minutes = 0

    def fact(self, kind: str, **keys: Any) -> dict[str, Any]:
        self.minutes += 1
        at = SEVEN + timedelta(minutes=self.minutes)
        return {"id": str(uuid4()), "kind": kind, "at": at.isoformat(), "by": self.by, **keys}

    def started(self) -> dict[str, Any]:
        return self.fact("round_started", round=str(self.round), exhibit=self.exhibit)

    def closed(self) -> dict[str, Any]:
        return self.fact("round_closed", round=str(self.round))

    def count(self, lookalike: str, counted: int) -> dict[str, Any]:
        return self.fact("count", round=str(self.round), lookalike=lookalike, counted=counted)

    def sighting(self, name: str | None, how: str | None = "by sight", **keys: Any) -> dict[str, Any]:
        bird = self.park[name] if name else None
        told = {"round": str(self.round), "exhibit": self.exhibit, "bird": bird, "how": how}
        return self.fact("sighting", **{**told, **keys})

    def inferred(self, name: str, chance: float) -> dict[str, Any]:
        said = [{"bird": self.park[name], "chance": chance}]
        return self.sighting(name, "inferred", candidates=said, none_of_these=1 - chance)

    def handed_to(self, person: int, at: datetime = SEVEN) -> None:
        """Another keeper took this phone in hand, by their PIN."""
        rows.Park.objects.update(shared_phones=True)
        rows.Handover.objects.create(device="p1", given_by_id=self.by, taken_by_id=person, at=at, by_pin=True)

    def send(self, *facts: dict[str, Any], clock: str | None = None) -> list[str]:
        answers = hear_facts(facts=facts, clock=clock, device="p1", speaker=self.by)
        assert [answer.id for answer in answers] == [fact["id"] for fact in facts]
        return [answer.outcome if answer.outcome != "refused" else answer.reason for answer in answers]


class Shift:
    """People who tell deeds now."""

    def __init__(self, park: Wendlebrook) -> None:
        self.park, self.began = park, timezone.now()

    def done(self, by: str, kind: str, at: datetime | None = None, **said: Any) -> Answer:
        person = getattr(self.park.actors, by)
        moment = (at or timezone.now()).isoformat()
        fact = {"id": str(uuid4()), "kind": kind, "at": moment, "by": person, **said}
        (answer,) = hear_facts(facts=[fact], clock=None, device="", speaker=person)
        assert answer.outcome == "written", answer.reason
        return answer

    def seen(self, by: str, until: datetime | None = None) -> Answer:
        return self.done(by, "today_seen", until=(until or timezone.now()).isoformat())
