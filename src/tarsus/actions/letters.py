"""Sending each person's daily letter by the park's own mail server, once a day."""

from __future__ import annotations

import smtplib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from django.conf import settings
from django.core.mail import EmailMessage

from tarsus.actions.digests import parts_for, taken
from tarsus.core.words.letter import SUBJECT, letter
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.letters import park_now
from tarsus.queries.park import park_face
from tarsus.records.models import Letter, MailWish

Outcome = Literal["sent", "sent before", "nothing due", "not sent", "ended"]


@dataclass(frozen=True, slots=True)
class LetterOf:
    """What became of one person's letter, with its text, and why it was not sent."""

    person: str
    outcome: Outcome
    text: str = ""
    why: str = ""


def send_letters(now: datetime, *, only_look: bool = False) -> Iterator[LetterOf]:
    """Send what is due to everybody who asked; each once a day, however often this is called.

    A letter that the mail server did not take is tried again by the next call; the others go on. Nobody who
    may no longer sign in is written to.

    Args:
        now: the moment of asking.
        only_look: compose the letters and send none.

    Returns:
        What became of each, while it goes on.
    """
    day, face = day_of(now, park_zone()), park_face()
    wishes = MailWish.objects.filter(person__is_active=True).exclude(address="").select_related("person")
    if not wishes:
        return
    park = park_now(now)
    for wish in wishes.order_by("person__login"):
        person = wish.person
        parts = parts_for(person, wish, park, now)
        text = letter(face.name, f"{day:%A %-d %B}", parts, settings.ADDRESS)
        if not text:
            yield LetterOf(str(person), "nothing due")
        elif only_look:
            yield LetterOf(str(person), "not sent", text, "only looked at")
        else:
            yield _send(wish, day, now, text)


def _send(wish: MailWish, day: date, now: datetime, text: str) -> LetterOf:
    person = str(wish.person)
    if not taken(Letter, day, now, person_id=wish.person_id):
        return LetterOf(person, "sent before", text)
    own = Letter.objects.filter(person_id=wish.person_id, day=day)
    try:
        EmailMessage(SUBJECT, text, settings.DEFAULT_FROM_EMAIL, [wish.address]).send()
    except (OSError, smtplib.SMTPException) as reason:
        own.update(taken_at=None)
        return LetterOf(person, "not sent", text, " ".join(str(reason).split()))
    own.update(sent_at=now)
    return LetterOf(person, "sent", text)
