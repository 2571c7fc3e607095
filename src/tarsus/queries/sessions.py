"""Where somebody is signed in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from django.contrib.sessions.models import Session as Kept
from django.db.models import Exists, OuterRef
from django.utils import timezone

from tarsus.records.models import SignedIn


@dataclass(frozen=True, slots=True)
class Session:
    """A browser in which somebody is signed in; `here` is the one that asks."""

    session_id: int
    browser: str
    since: datetime
    last_used_at: datetime
    here: bool


def digest_of_session(key: str) -> str:
    """What is kept of a session's key once it has ended."""
    return sha256(f"session {key}".encode()).hexdigest()


def sessions_of(person_id: int, here: str | None) -> tuple[Session, ...]:
    """Where somebody is signed in, this session first, then as they were last used.

    Args:
        person_id: whose.
        here: the key of the session that asks.
    """
    # What a page writes into a session, an import begun for one, makes it last longer than its age allows.
    lasts = Kept.objects.filter(session_key=OuterRef("session_key"), expire_date__gt=timezone.now())
    rows = SignedIn.objects.filter(Exists(lasts), person_id=person_id, ended_at__isnull=True)
    found = [
        Session(row.pk, row.browser, row.since, row.last_used_at, here=row.session_key == here)
        for row in rows.order_by("-last_used_at", "-id")
    ]
    return tuple(sorted(found, key=lambda session: not session.here))


def last_use_of(key: str) -> datetime | None:
    """When the session of this key was last used, as closely as that is kept; `None` where it is not kept."""
    rows = SignedIn.objects.filter(digest=digest_of_session(key), ended_at__isnull=True)
    return rows.values_list("last_used_at", flat=True).first()


def was_ended(key: str) -> bool:
    """Whether a session of this key was ended on purpose, so that its phone is to forget."""
    return (
        bool(key) and SignedIn.objects.filter(digest=digest_of_session(key), ended_at__isnull=False).exists()
    )
