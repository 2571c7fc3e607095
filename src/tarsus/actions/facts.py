"""The one door: every deed told by a phone, a page, a program or a command is heard here, once.

Decision 0023.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any, Final
from uuid import UUID, uuid4

from django.db import IntegrityError, transaction
from django.utils import timezone

from tarsus.actions.errands import ERRANDS
from tarsus.actions.hearing.ledger import heard_before, write_deed
from tarsus.actions.hearing.sending import Ready, Sending, told_of
from tarsus.actions.hearing.speaking import voices_of_device, voices_of_session
from tarsus.actions.hearing.waiting import keep_waiting, kept_already, release_waiting
from tarsus.actions.learning import learn_readers
from tarsus.actions.learning_cameras import learn_cameras
from tarsus.actions.photographs import clear_pictures
from tarsus.actions.presence import keep_checkpoints
from tarsus.actions.refusals import AskedAbout, LeansOnUnheard, MayNotSpeak, WrongPin
from tarsus.actions.settings.pins import note_wrong_pin
from tarsus.core.deeds.parsing import parse_id, parse_moment
from tarsus.core.documents.values import parse_object
from tarsus.core.errors import MalformedInput, TarsusError
from tarsus.queries.days import park_zone
from tarsus.queries.devices import digest_of_token, tokens_that_hold
from tarsus.records.models import ToldDeed

WRITTEN: Final = "written"
KNOWN: Final = "known"
REFUSED: Final = "refused"
AT_A_FORM: Final = "page"
"""The device of whoever tells by a form: what is refused stands in the form again."""
_LOG: Final = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of one fact: ``written``, ``known`` or ``refused`` with the reason.

    `place` is the field that was refused. `waits`: the register keeps what it refused as a question, until it
    is told anew or set aside. `said` is what there is to say though it was written, `wrote` the
    rows it made, `shown_once` what is kept nowhere.
    """

    id: str
    outcome: str
    reason: str = ""
    place: str = ""
    said: tuple[str, ...] = ()
    wrote: Mapping[str, Any] = field(default_factory=dict)
    shown_once: str = ""
    waits: bool = False

    def as_mapping(self) -> dict[str, Any]:
        """The answer as a phone or a program reads it."""
        answer: dict[str, Any] = {"id": self.id, "outcome": self.outcome}
        more: dict[str, Any] = {"reason": self.reason, "said": list(self.said), "wrote": dict(self.wrote)}
        more |= {"shown_once": self.shown_once, "waits": self.waits}
        return answer | {key: value for key, value in more.items() if value}


def hear_facts(
    *, facts: Sequence[Mapping[str, Any]], clock: str | None, device: str, speaker: int
) -> list[Answer]:
    """Write down what the phone, the page or the command of a signed-in person sends.

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
    # A day that is told is one of the park's, also from a command or a job, where no page said whose.
    with timezone.override(park_zone()):
        return _hear(facts, Sending(voices_of_session(speaker, device), _offset(clock), device))


def hear_device(
    *, facts: Sequence[Mapping[str, Any]], clock: str | None, device: str, token: str
) -> list[Answer]:
    """Write down what a device with a token of its own sends, for its exhibits and its people only.

    Raises:
        MayNotSpeak: the token is unknown, was taken back or has expired.
        WrongValue: `clock` is no moment.
    """
    row = tokens_that_hold().filter(digest=digest_of_token(token)).first()
    if row is None:
        raise MayNotSpeak("of this device", "its token is not known; ask the administrator for a new one")
    with timezone.override(park_zone()):
        return _hear(facts, Sending(voices_of_device(row), _offset(clock), device))


def _hear(facts: Sequence[Mapping[str, Any]], sending: Sending) -> list[Answer]:
    # One transaction a batch: the phone is answered when all of it is on the disk.
    with transaction.atomic():
        sending.known.update(heard_before(_ids(facts)))
        answers = [_hear_one(fact, sending) for fact in facts]
    _carry_the_watch(facts, answers)
    _teach(facts, answers)
    _clear_pictures()
    return answers


def _clear_pictures() -> None:
    """Take away pictures whose days are over; a failure is logged, and the next run does it."""
    try:
        clear_pictures(timezone.now())
    except Exception:
        _LOG.exception("pictures whose days are over could not be taken away")


_TEACHES: Final = frozenset({"handling", "sighting", "withdrawn", "practice_sharing", "practice_shared"})
_TEACHES_CAMERAS: Final = frozenset({"handling", "band_checked", "photograph"})
"""So does whatever puts something right: a sighting that named another bird, a band."""


def _teach(facts: Sequence[Mapping[str, Any]], answers: Sequence[Answer]) -> None:
    """Make lessons anew where something was told that may confirm a reading.

    A lesson that is missing or old only makes the model less sure, so nobody waits for it.
    """
    wrote = [fact for fact, told in zip(facts, answers, strict=True) if told.outcome == WRITTEN]
    written = {fact.get("kind") for fact in wrote}
    if written & _TEACHES:
        ERRANDS.ask(learn_of_readers)
    if written & _TEACHES_CAMERAS or any(fact.get("corrects") for fact in wrote):
        ERRANDS.ask(learn_of_cameras)


def learn_of_readers() -> int:
    """Learn from the checks of every reader as of now."""
    return learn_readers(timezone.now())


def learn_of_cameras() -> int:
    """Learn from checked photographs as of now."""
    return learn_cameras(timezone.now())


LEARNING: Final = (learn_of_readers, learn_of_cameras)
"""Errands that a server begins with: what the one before it may not have come to."""


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
            _LOG.exception("the watch could not be carried forward")


def _offset(clock: str | None) -> timedelta | None:
    """How far the sender's clock is ahead; unknown where it is set to another age."""
    if clock is None:
        return None
    try:
        return parse_moment(clock, "clock") - timezone.now()
    except MalformedInput as refusal:
        if refusal.message.startswith("the year"):
            return None
        raise


def _ids(facts: Sequence[Mapping[str, Any]]) -> list[UUID]:
    """The ids of a batch; a fact without a proper one is refused in its turn."""
    ids = []
    for fact in facts:
        with suppress(ValueError, AttributeError):
            ids.append(UUID(str(fact.get("id"))))
    return ids


def _hear_one(fact: Mapping[str, Any], sending: Sending) -> Answer:
    """Hear one fact. Whatever goes wrong is this fact's answer and no other's."""
    named = str(fact.get("id", ""))[:100] if isinstance(fact, Mapping) else ""
    try:
        parse_object(fact, "fact")
        fact_id = parse_id(fact.get("id"), "id")
        with transaction.atomic():
            return _write_or_keep(named, fact_id, fact, sending)
    except WrongPin as refusal:
        note_wrong_pin(refusal.person_id)  # what the refused deed itself wrote is undone
        return Answer(named, REFUSED, str(refusal), refusal.place)
    except MalformedInput as refusal:
        return Answer(named, REFUSED, str(refusal), refusal.place)
    except TarsusError as refusal:
        return Answer(named, REFUSED, str(refusal))
    except IntegrityError as refusal:
        return _clashed(named, refusal)
    except Exception:
        fault = uuid4().hex[:8]
        _LOG.exception("fault %s: a fact could not be written", fault)
        return Answer(
            named, REFUSED, f"the register could not write it; tell the administrator: fault {fault}"
        )


def _clashed(named: str, refusal: IntegrityError) -> Answer:
    """Another connection may have written the same id between our look and our write."""
    if ToldDeed.objects.filter(pk=UUID(named)).exists():
        return Answer(named, KNOWN)
    return Answer(named, REFUSED, f"the register refused it ({refusal}); record it anew")


def _write_or_keep(named: str, fact_id: UUID, fact: Mapping[str, Any], sending: Sending) -> Answer:
    told = told_of(fact_id, fact, sending)
    if told.known_in(sending):
        return Answer(named, KNOWN)
    kept = kept_already(told)
    if kept is not None:
        return Answer(named, REFUSED, kept.reason, waits=True) if kept.reason else Answer(named, KNOWN)
    question = sending.question(told.deed, told.told)
    if question:
        return _ask(named, told, "at", f"at: {question}", sending)
    try:
        with transaction.atomic():
            wrote = write_deed(told)
    except LeansOnUnheard as missing:
        if told.deed.secrets:
            raise  # what waits is kept as it was told, a password or PIN with it
        keep_waiting(told, missing.needs, sending.voices.token)
        return Answer(named, WRITTEN)
    except AskedAbout as question_of_it:
        return _ask(named, told, question_of_it.place, str(question_of_it), sending)
    sending.known[fact_id] = (told.deed.name, told.digest)
    if not wrote.now:
        return Answer(named, KNOWN)
    release_waiting(told)
    return Answer(named, WRITTEN, said=wrote.said, wrote=wrote.rows, shown_once=wrote.shown_once)


def _ask(named: str, told: Ready, place: str, question: str, sending: Sending) -> Answer:
    """A fact that cannot have been so: kept as a question, so that it is never lost nor counted.

    Whoever stands before a form is asked there, with all that was typed still in it; and what was told with a
    password or a PIN is not kept.
    """
    kept = sending.device != AT_A_FORM and not told.deed.secrets
    if kept:
        # It waits for nothing that comes by itself.
        keep_waiting(told, told.told.id, sending.voices.token, question)
    return Answer(named, REFUSED, question, place, waits=kept)
