"""The one door: every deed told by a phone, a page, a program or a command is heard here, once.

Decision 0023.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import timedelta
from functools import partial
from typing import Any, Final
from uuid import UUID, uuid4

from django.db import IntegrityError, transaction
from django.utils import timezone

from tarsus.actions.asked_once import lending
from tarsus.actions.hearing.afterwards import follow
from tarsus.actions.hearing.ledger import heard_before, write_deed, write_plain
from tarsus.actions.hearing.plain import LinesRefused, PlainFacts, is_plain
from tarsus.actions.hearing.sending import Ready, Sending, told_of
from tarsus.actions.hearing.settings import SETTINGS
from tarsus.actions.hearing.speaking import voices_of_device, voices_of_session
from tarsus.actions.hearing.waiting import keep_waiting, kept_already, release_waiting
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
        return _hear(facts, Sending(partial(voices_of_session, speaker, device), _offset(clock), device))


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
        return _hear(facts, Sending(partial(voices_of_device, row), _offset(clock), device))


def _hear(facts: Sequence[Mapping[str, Any]], sending: Sending) -> list[Answer]:
    # One transaction a batch: the phone is answered when all of it is on the disk.
    with transaction.atomic():
        answers = _hear_together(facts, sending)
    follow([fact for fact, told in zip(facts, answers, strict=True) if told.outcome == WRITTEN])
    return answers


def _hear_together(facts: Sequence[Mapping[str, Any]], sending: Sending) -> list[Answer]:
    """Hear a batch, asking once for its plain facts what is asked for each of the others."""
    ids = frozenset(_ids(facts))
    sending.known = heard_before(ids)
    plain = PlainFacts(facts, ids)
    try:
        with transaction.atomic():
            answers = [_hear_either(fact, sending, plain) for fact in facts]
            plain.settle()
    except LinesRefused:
        # As where another connection told one of the ids since we looked: fact by fact shows which one.
        sending.known = heard_before(ids)
        sending.settings_anew()
        return [_hear_by_itself(fact, sending) for fact in facts]
    return answers


def _hear_either(fact: Mapping[str, Any], sending: Sending, plain: PlainFacts) -> Answer:
    answer = _hear_plainly(fact, sending, plain)
    if answer is None:
        plain.settle()
        answer = _hear_by_itself(fact, sending)
    return answer


def _hear_by_itself(fact: Mapping[str, Any], sending: Sending) -> Answer:
    answer = _hear_one(fact, sending)
    if answer.outcome == WRITTEN and fact["kind"] in SETTINGS:
        sending.settings_anew()  # the facts after it are told in a park that it changed
    return answer


def _hear_plainly(fact: Mapping[str, Any], sending: Sending, plain: PlainFacts) -> Answer | None:
    """Hear a plain fact by what was asked once, in one savepoint; nothing where it is to be heard by itself.

    By itself: what is to be kept, asked about or released, and whatever the database refuses.
    """
    if not is_plain(fact):
        return None
    named = str(fact.get("id", ""))[:100]
    try:
        fact_id = parse_id(fact.get("id"), "id")
        with transaction.atomic(), lending(plain.asking()):
            told = told_of(fact_id, fact, sending)
            if told.known_in(sending):
                return Answer(named, KNOWN)
            if fact_id in plain.careful or sending.question(told.deed, told.told):
                return None
            wrote, line = write_plain(told)
    except AskedAbout:
        return None
    except MalformedInput as refusal:
        return Answer(named, REFUSED, str(refusal), refusal.place)
    except Exception:
        return None  # by itself it is refused with its reason, or with the number of the fault
    sending.known[fact_id] = (told.deed.name, told.digest)
    if line is None:
        return Answer(named, KNOWN)
    plain.keep(line)
    return Answer(named, WRITTEN, said=wrote.said, wrote=wrote.rows, shown_once=wrote.shown_once)


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
        wrote = write_deed(told)  # all of it or nothing
    except LeansOnUnheard as missing:
        if told.deed.secrets:
            raise  # what waits is kept as it was told, a password or PIN with it
        keep_waiting(told, missing.needs, sending.voices.token)
        return Answer(named, WRITTEN)
    except AskedAbout as question_of_it:
        return _ask(named, told, question_of_it.place, str(question_of_it), sending)
    if wrote.now:
        release_waiting(told)
    sending.known[fact_id] = (told.deed.name, told.digest)  # last: what fails before is undone, and not known
    if not wrote.now:
        return Answer(named, KNOWN)
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
