"""Somebody asks to be told on the phone in their hand, and ends it."""

from __future__ import annotations

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from tarsus.actions.changes import note_changes
from tarsus.actions.known import known_person
from tarsus.actions.phone_news.posting import is_named, origin_of
from tarsus.actions.phone_news.sealing import is_of_a_phone
from tarsus.actions.settings.rows import said, save_row
from tarsus.core.deeds.rights import ADMINISTRATOR, passes_for
from tarsus.core.errors import WrongValue
from tarsus.records.models import PhoneNews

ANOTHER_ASKED = "Somebody else asked on this phone."
ENDED = "Its person ended it."


@transaction.atomic
def ask_phone_news(
    *, by: int, name: str, endpoint: str, key: str, auth: str, duties: bool, search: bool, backups: bool
) -> int:
    """Write down that a person is to be told on a phone, and of what; asked again, what they chose changes.

    Returns:
        The row's id.

    Raises:
        Unknown: no such person.
        WrongValue: nothing is chosen, backups by somebody who does not look after them, a push service that
            this installation does not name, or what is no phone's key.
    """
    person = known_person(by)
    if not (duties or search or backups):
        raise WrongValue("search", "or something else is to be chosen: nothing is told of nothing")
    if backups and not passes_for(person.role, ADMINISTRATOR):
        raise WrongValue("backups", "are the administrator's to hear of; leave them out")
    if not is_named(endpoint, settings.PUSH_SERVICES):
        where = origin_of(endpoint) or "what was sent"
        raise WrongValue(
            "endpoint",
            f"is of a push service ({where}) that TARSUS_PUSH_SERVICES does not name; ask who runs this",
        )
    if not is_of_a_phone(key, auth):
        raise WrongValue("key", "is no phone's key; ask on the phone itself, with its own button")
    now = timezone.now()
    there = PhoneNews.objects.filter(endpoint=endpoint, ended_at__isnull=True)
    there.exclude(person_id=by).update(ended_at=now, ended_why=ANOTHER_ASKED)
    row = there.filter(person_id=by).first() or PhoneNews(
        person_id=by, endpoint=endpoint, key=key, auth=auth, asked_at=now
    )
    row.key, row.auth = key, auth
    chosen = {"duties": duties, "search": search, "backups": backups}
    return save_row(row, {"name": said("name", name, "what this phone is called"), **chosen}, by)


@transaction.atomic
def end_phone_news(*, by: int, phone: int) -> None:
    """End what is told on a phone of one's own; ended twice it stays ended.

    Raises:
        Unknown: no such person.
        WrongValue: no phone of theirs has this number.
    """
    known_person(by)
    row = PhoneNews.objects.filter(pk=phone, person_id=by).first()
    if row is None:
        raise WrongValue("phone", "is none of yours; choose one that Settings lists")
    if row.ended_at is None:
        row.ended_at, row.ended_why = timezone.now(), ENDED
        row.save(update_fields=["ended_at", "ended_why"])
        note_changes("phonenews", row.pk, {"ended_why": ""}, {"ended_why": ENDED}, by)
