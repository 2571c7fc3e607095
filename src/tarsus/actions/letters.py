"""Sending each person's daily letter by the park's own mail server, once a day."""

from __future__ import annotations

import smtplib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final, Literal

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import IntegrityError, transaction

from tarsus.actions.safekeeping.soundness import BACKUP_EVERY, last_backup
from tarsus.core.deeds.rights import ADMINISTRATOR, passes_for
from tarsus.core.words.letter import SUBJECT, letter
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.letters import overdue_for, park_now, to_search
from tarsus.queries.park import park_face
from tarsus.records.models import Letter, MailWish

HELD_FOR: Final = timedelta(minutes=15)
"""A sender that took a letter in hand and said no more for so long has died: another one may. Ours."""

Outcome = Literal["sent", "sent before", "nothing due", "not sent"]


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
        gone_astray = wish.backups and passes_for(person.role, ADMINISTRATOR)
        parts = (
            ("Backups", backups_missing(now) if gone_astray else ()),
            ("Search", to_search(park) if wish.search else ()),
            ("Overdue", overdue_for(park, person.role) if wish.duties else ()),
        )
        text = letter(face.name, f"{day:%A %-d %B}", parts, settings.ADDRESS)
        if not text:
            yield LetterOf(str(person), "nothing due")
        elif only_look:
            yield LetterOf(str(person), "not sent", text, "only looked at")
        else:
            yield _send(wish, day, now, text)


def backups_missing(now: datetime) -> tuple[str, ...]:
    """What is to be said of the backups; nothing where last night's is there."""
    last = last_backup()
    if last is None:
        return ("No folder of backups is named: set TARSUS_BACKUPS, and make one every night.",)
    if last.at is None:
        return ("No backup has been made yet: run tarsus backup, and look at its timer.",)
    if now - last.at > BACKUP_EVERY:
        return (f"The last one is of {last.at:%-d %B %Y}: run tarsus backup, and look at its timer.",)
    return ()


def _send(wish: MailWish, day: date, now: datetime, text: str) -> LetterOf:
    person = str(wish.person)
    if not _take(wish.person_id, day, now):
        return LetterOf(person, "sent before", text)
    own = Letter.objects.filter(person_id=wish.person_id, day=day)
    try:
        EmailMessage(SUBJECT, text, settings.DEFAULT_FROM_EMAIL, [wish.address]).send()
    except (OSError, smtplib.SMTPException) as reason:
        own.update(taken_at=None)
        return LetterOf(person, "not sent", text, " ".join(str(reason).split()))
    own.update(sent_at=now)
    return LetterOf(person, "sent", text)


def _take(person_id: int, day: date, now: datetime) -> bool:
    """Take the letter of a day in hand; of two senders one does.

    The row is written before the letter goes, in a transaction of its own: a mail server that is slow holds
    up no phone, and of a sender that dies in between the letter is sent once more rather than never.
    """
    try:
        with transaction.atomic():
            Letter.objects.create(person_id=person_id, day=day, taken_at=now)
    except IntegrityError:
        free = Letter.objects.filter(person_id=person_id, day=day, sent_at__isnull=True)
        dead = free.filter(taken_at__isnull=True) | free.filter(taken_at__lt=now - HELD_FOR)
        return dead.update(taken_at=now) == 1
    return True
