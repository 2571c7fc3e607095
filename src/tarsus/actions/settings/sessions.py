"""Where somebody is signed in, and ending that from anywhere."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib.sessions.backends.db import SessionStore
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from tarsus.actions.known import known, known_person
from tarsus.actions.refusals import AlreadySo, Unknown
from tarsus.core.deeds.fields import LARGEST_ID
from tarsus.queries.sessions import digest_of_session
from tarsus.records.models import Person, SignedIn


@transaction.atomic
def note_session(*, key: str, person_id: int, browser: str) -> None:
    """Keep that somebody is signed in with this session, and when it was last used."""
    now = timezone.now()
    row, made = SignedIn.objects.get_or_create(
        digest=digest_of_session(key),
        defaults={"session_key": key, "person_id": person_id, "browser": browser, "last_used_at": now},
    )
    if not made:
        SignedIn.objects.filter(pk=row.pk, ended_at__isnull=True).update(last_used_at=now)


@transaction.atomic
def end_session(key: str) -> None:
    """Keep that a session was signed out of in its own browser."""
    SignedIn.objects.filter(digest=digest_of_session(key), ended_at__isnull=True).update(
        ended_at=timezone.now(), session_key=""
    )


@transaction.atomic
def end_own_sessions(*, by: int, sessions: Sequence[str]) -> None:
    """End where one is signed in oneself: the next request from there finds nobody signed in.

    Raises:
        Unknown: a session that is none of one's own.
        AlreadySo: all of them have ended.
    """
    _end(SignedIn.objects.filter(person=known_person(by)), sessions)


@transaction.atomic
def end_sessions(*, by: int, person_id: int, sessions: Sequence[str] = ()) -> None:
    """End where somebody is signed in, everywhere or in the sessions that are named.

    Raises:
        Unknown: no such person, or a session that is none of theirs.
        AlreadySo: they are signed in nowhere, or all that were named have ended.
    """
    known_person(by)
    rows = SignedIn.objects.filter(person=known(Person, person_id, "person"))
    _end(
        rows, sessions or [str(pk) for pk in rows.filter(ended_at__isnull=True).values_list("pk", flat=True)]
    )


def end_everywhere(person: Person) -> None:
    """End wherever this person is signed in: their password is another one, or they have left."""
    for row in SignedIn.objects.filter(person=person, ended_at__isnull=True):
        _end_one(row)


def _end(rows: QuerySet[SignedIn], sessions: Sequence[str]) -> None:
    numbers = [int(asked) for asked in sessions if asked.isdecimal() and int(asked) <= LARGEST_ID]
    theirs = {str(row.pk): row for row in rows.select_for_update().filter(pk__in=numbers)}
    for asked in sessions:
        if asked not in theirs:
            raise Unknown("sessions", "session", asked)
    alive = [row for row in theirs.values() if row.ended_at is None]
    if not alive:
        raise AlreadySo("sessions", "nobody is signed in there any more; nothing is left to end")
    for row in alive:
        _end_one(row)


def _end_one(row: SignedIn) -> None:
    SessionStore().delete(row.session_key)
    row.ended_at, row.session_key = timezone.now(), ""
    row.save(update_fields=["ended_at", "session_key"])
