"""Hearing what phones send: every fact once, in any order, one refused fact never holding up another."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any, Final
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils import timezone

from tarsus.actions.hearing.about import exhibit_of
from tarsus.actions.hearing.fields import parse_id, parse_moment, parse_number_of
from tarsus.actions.hearing.kinds import KINDS
from tarsus.actions.hearing.speaking import Voices, voices_of_device, voices_of_session
from tarsus.actions.presence import keep_checkpoints
from tarsus.actions.refusals import LeansOnUnheard, MayNotSpeak, Retold
from tarsus.actions.telling import Told, digest_of
from tarsus.core.documents.values import parse_choice, parse_object
from tarsus.core.errors import TarsusError
from tarsus.records.fact_tables import kinds_of
from tarsus.records.models import DeviceToken, Waiting

WRITTEN: Final = "written"
KNOWN: Final = "known"
REFUSED: Final = "refused"


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of one fact: ``written``, ``known`` or ``refused`` with the reason."""

    id: str
    outcome: str
    reason: str = ""

    def as_mapping(self) -> dict[str, str]:
        """The answer as the phone reads it."""
        answer = {"id": self.id, "outcome": self.outcome}
        return {**answer, "reason": self.reason} if self.reason else answer


@dataclass(frozen=True, slots=True)
class _Sending:
    """What one batch has in common."""

    voices: Voices
    clock_offset: timedelta | None
    device: str
    kinds: dict[UUID, str] = field(default_factory=dict)
    """Kind of each fact of the batch that is written, asked once for all of them."""


def hear_facts(
    *, facts: Sequence[Mapping[str, Any]], clock: str | None, device: str, speaker: int
) -> list[Answer]:
    """Write down what the phone of a signed-in person sends.

    Args:
        facts: as in docs/reference/pack-and-facts.md, in any order, repeated or not.
        clock: the phone's time of sending, from which its offset is learned; `None` leaves it unknown.
        device: the phone's own id.
        speaker: the person signed in.

    Returns:
        One answer a fact, in the same order. A fact that leans on one not heard yet is kept and answered
        ``written``; it counts as soon as the other arrives.

    Raises:
        WrongValue: `clock` is no moment.
    """
    answers = _hear(facts, _Sending(voices_of_session(speaker), _offset(clock), device))
    _carry_the_watch(facts, answers)
    return answers


def hear_device(
    *, facts: Sequence[Mapping[str, Any]], clock: str | None, device: str, token: str
) -> list[Answer]:
    """Write down what a device with a token of its own sends, for its exhibits and its people only.

    Raises:
        MayNotSpeak: the token is unknown or was taken back.
        WrongValue: `clock` is no moment.
    """
    digest = hashlib.sha256(token.encode()).hexdigest()
    row = DeviceToken.objects.filter(digest=digest, revoked_at__isnull=True).first()
    if row is None:
        raise MayNotSpeak("of this device", "its token is not known; ask the administrator for a new one")
    answers = _hear(facts, _Sending(voices_of_device(row), _offset(clock), device))
    _carry_the_watch(facts, answers)
    return answers


def _carry_the_watch(facts: Sequence[Mapping[str, Any]], answers: Sequence[Answer]) -> None:
    """Carry the watch's checkpoints forward once a round was closed: pages then read only what is new.

    Without them every answer is the same, only slower; so whatever goes wrong here is logged and never
    keeps the phone from hearing that its facts are written.
    """
    closed = (
        answer.outcome == WRITTEN and fact.get("kind") == "round_closed"
        for fact, answer in zip(facts, answers, strict=True)
    )
    if any(closed):
        try:
            keep_checkpoints(timezone.now())
        except Exception:
            logging.getLogger(__name__).exception("the watch could not be carried forward")


def _offset(clock: str | None) -> timedelta | None:
    return None if clock is None else parse_moment(clock, "clock") - timezone.now()


@transaction.atomic
def _hear(facts: Sequence[Mapping[str, Any]], sending: _Sending) -> list[Answer]:
    # One transaction a batch: the phone is answered when all of it is on the disk, and an error of ours in
    # the middle leaves nothing behind, so that it is said again.
    sending.kinds.update(kinds_of(_ids(facts)))
    return [_hear_one(fact, sending) for fact in facts]


def _ids(facts: Sequence[Mapping[str, Any]]) -> list[UUID]:
    """The ids of a batch; a fact without a proper one is refused in its turn."""
    ids = []
    for fact in facts:
        with suppress(ValueError, AttributeError):
            ids.append(UUID(str(fact.get("id"))))
    return ids


def _hear_one(fact: Mapping[str, Any], sending: _Sending) -> Answer:
    named = str(fact.get("id", "")) if isinstance(fact, Mapping) else ""
    try:
        fact_id = parse_id(parse_object(fact, "fact").get("id"), "id")
        with transaction.atomic():
            return Answer(named, _write_or_keep(fact_id, fact, sending))
    except TarsusError as refusal:
        return Answer(named, REFUSED, str(refusal))
    except IntegrityError as refusal:
        return Answer(named, REFUSED, f"the register refused it ({refusal}); record it anew")


def _write_or_keep(fact_id: UUID, fact: Mapping[str, Any], sending: _Sending) -> str:
    kind = KINDS[parse_choice(fact.get("kind"), "kind", "kind of fact", KINDS)]
    parse_object(fact, "", ("id", "kind", "at", "by", *kind.keys), ("at", "by", *kind.required))
    told = Told(
        id=fact_id,
        by=parse_number_of(fact["by"], "by"),
        at=parse_moment(fact["at"], "at"),
        clock_offset=sending.clock_offset,
        device=sending.device,
        sent_by=sending.voices.sent_by,
    )
    sending.voices.admit(told.by)
    if sending.voices.exhibits is not None:
        sending.voices.admit_exhibit(exhibit_of(fact))
    other = sending.kinds.get(fact_id, kind.table)
    if other != kind.table:
        raise Retold(fact_id, other)
    kept = Waiting.objects.filter(pk=fact_id).first()
    if kept is not None:
        if kept.told != digest_of(fact):
            raise Retold(fact_id, kept.kind.replace("_", " "))
        return KNOWN
    try:
        with transaction.atomic():
            written = kind.write(told, fact)
    except LeansOnUnheard as missing:
        _keep(fact, told, missing.needs)
        return WRITTEN
    sending.kinds[fact_id] = kind.table
    if written:
        _heard(fact_id, fact)
    return WRITTEN if written else KNOWN


def _keep(fact: Mapping[str, Any], told: Told, needs: UUID) -> None:
    offset = told.clock_offset
    Waiting.objects.create(
        id=told.id,
        needs=needs,
        kind=fact["kind"],
        contents=dict(fact),
        told=digest_of(fact),
        sent_by_id=told.sent_by,
        device=told.device,
        clock_offset_s=None if offset is None else offset.total_seconds(),
    )


def _heard(fact_id: UUID, fact: Mapping[str, Any]) -> None:
    """Write the facts that waited for this one, and for the round it made known."""
    needed = [fact_id]
    if fact["kind"] in ("round_started", "round_not_done"):
        needed.append(parse_id(fact["round"], "round"))
    for kept in list(Waiting.objects.filter(needs__in=needed).order_by("received_at", "id")):
        _write_kept(kept)


def _write_kept(kept: Waiting) -> None:
    fact = kept.contents
    offset = kept.clock_offset_s
    told = Told(
        id=kept.pk,
        by=int(fact["by"]),
        at=parse_moment(fact["at"], "at"),
        clock_offset=None if offset is None else timedelta(seconds=offset),
        device=kept.device,
        sent_by=kept.sent_by_id,
    )
    try:
        with transaction.atomic():
            KINDS[kept.kind].write(told, fact)
    except LeansOnUnheard as missing:
        kept.needs = missing.needs
        kept.save(update_fields=["needs"])
        return
    except (TarsusError, IntegrityError) as refusal:
        kept.reason = str(refusal)[:400]
        kept.save(update_fields=["reason"])
        return
    kept.delete()
    _heard(told.id, fact)
