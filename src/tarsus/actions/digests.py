"""What each person is told once a day, whichever way it goes: what stands in it, and that it goes once."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any, Final, Protocol

from django.db import IntegrityError, transaction
from django.db.models import Q

from tarsus.actions.safekeeping.soundness import BACKUP_EVERY, last_backup
from tarsus.core.deeds.rights import ADMINISTRATOR, passes_for
from tarsus.core.words.letter import Parts
from tarsus.queries.letters import ParkNow, overdue_for, to_search
from tarsus.records.models import Letter, Person, PhoneLetter

HELD_FOR: Final = timedelta(minutes=15)
"""A sender that took a letter in hand and said no more for so long has died: another one may. Ours."""


class Wish(Protocol):
    """What somebody asked to be told."""

    duties: Any
    search: Any
    backups: Any


def parts_for(person: Person, wish: Wish, park: ParkNow, now: datetime) -> Parts:
    """What there is for one person of what they asked for, the gravest first."""
    gone_astray = wish.backups and passes_for(person.role, ADMINISTRATOR)
    return (
        ("Backups", backups_missing(now) if gone_astray else ()),
        ("Search", to_search(park) if wish.search else ()),
        ("Overdue", overdue_for(park, person.role) if wish.duties else ()),
    )


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


def taken(table: type[Letter] | type[PhoneLetter], day: date, now: datetime, **to: int) -> bool:
    """Take what goes to somebody on a day in hand; of two senders one does.

    The row is written before the letter goes, in a transaction of its own: a server that is slow holds up no
    phone, and of a sender that dies in between the letter is sent once more rather than never.
    """
    try:
        with transaction.atomic():
            table._default_manager.create(day=day, taken_at=now, **to)
    except IntegrityError:
        free = table._default_manager.filter(day=day, sent_at__isnull=True, **to)
        dead = Q(taken_at__isnull=True) | Q(taken_at__lt=now - HELD_FOR)
        return free.filter(dead).update(taken_at=now) == 1
    return True
