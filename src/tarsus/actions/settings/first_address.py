"""The one-time address of a new park: what is told in the terminal, and what the server keeps of it."""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta
from hashlib import sha256
from hmac import compare_digest
from typing import Final

HOLDS_FOR: Final = timedelta(hours=1)


def sealed_secret(now: datetime) -> tuple[str, str]:
    """A secret for one address, and what the server keeps: its digest and until when it holds.

    The secret itself is kept nowhere, so that whoever reads files or settings cannot use it.
    """
    secret = secrets.token_urlsafe(32)
    return secret, f"{_digest(secret)}.{int((now + HOLDS_FOR).timestamp())}"


def opens(sealed: str, secret: str, now: datetime) -> bool:
    """Whether a secret is the one that was sealed, and still holds."""
    digest, _, until = sealed.partition(".")
    in_time = until.isdecimal() and now.timestamp() < int(until)
    return compare_digest(_digest(secret), digest) and in_time


def _digest(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()
