"""A second step of signing in: a code of the moment out of a person's own app, or a recovery code, once each.

Decision 0047.
"""

from __future__ import annotations

import re
import secrets
from base64 import urlsafe_b64encode
from datetime import datetime
from hmac import compare_digest
from typing import Final

import pyotp
from cryptography.fernet import Fernet, InvalidToken
from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.utils import timezone
from django.utils.crypto import salted_hmac

from tarsus.actions.changes import note_changes
from tarsus.actions.known import known, known_person
from tarsus.actions.refusals import AlreadySo
from tarsus.core.deeds.rights import OF_THE_OFFICE
from tarsus.core.errors import WrongValue
from tarsus.records.models import Park, Person

STEP_S: Final = 30
"""RFC 6238, section 5.2: the time step it recommends."""
EITHER_SIDE: Final = 1
"""Steps before and after this one whose code is taken too: clocks are not quite right (section 6)."""
RECOVERY_CODES: Final = 10
_SECRET: Final = re.compile(r"[A-Z2-7]{32}")
_LETTERS: Final = "abcdefghjkmnpqrstuvwxyz23456789"
_LONG: Final = 10
"""Letters of a recovery code: ten of 31 are 49 bits, and each try costs an Argon2."""


def new_secret() -> str:
    """A secret for an app, 160 bits as RFC 4226, section 4, recommends."""
    return pyotp.random_base32(32)


def address_of(secret: str, person: Person, park: str) -> str:
    """What the QR code of a secret says to an app."""
    return pyotp.TOTP(secret).provisioning_uri(name=person.login, issuer_name=f"Tarsus {park}".strip())


def sealed(secret: str) -> str:
    """A secret as the register keeps it: unreadable without the key that lies beside it."""
    return _lock().encrypt(secret.encode()).decode()


def opened(kept: str) -> str:
    """A secret out of what `sealed` made; empty where the register's key is another one now."""
    try:
        return _lock().decrypt(kept.encode()).decode()
    except InvalidToken:
        return ""


def step_of(moment: datetime) -> int:
    """The number of the time step that a moment is in."""
    return int(moment.timestamp()) // STEP_S


def step_shown(secret: str, code: str, now: datetime, after: int) -> int | None:
    """The time step whose code this is: of now or a neighbour, and later than `after`; none where it is none.

    Source:
        RFC 6238, sections 5.2 and 6: a code that was taken is taken no second time.
    """
    app, near = pyotp.TOTP(secret, interval=STEP_S), step_of(now)
    typed = code.replace(" ", "").encode()
    for step in range(near - EITHER_SIDE, near + EITHER_SIDE + 1):
        if step > after and compare_digest(app.generate_otp(step).encode(), typed):
            return step
    return None


@transaction.atomic
def set_second_step(*, by: int, current: str, secret: str, code: str) -> tuple[str, ...]:
    """Switch the second step on for oneself, or begin it anew with another app.

    Returns:
        The recovery codes. They are told this once: only their digests are kept.

    Raises:
        WrongValue: the password is not theirs, the secret is none of `new_secret`, or the code is not what
            the app shows now.
    """
    row = _own(by, current)
    if not _SECRET.fullmatch(secret):
        raise WrongValue("secret", "is no key that Tarsus gave; open the page anew and take the one it shows")
    step = step_shown(secret, code, timezone.now(), after=-1)
    if step is None:
        raise WrongValue(
            "code", "is not what the app shows now; wait for its next one, and look at the phone's clock"
        )
    codes = tuple(_recovery_code() for _ in range(RECOVERY_CODES))
    row.second_secret, row.second_since, row.second_last = sealed(secret), timezone.now(), step
    row.recovery_codes = [make_password(code) for code in codes]
    _save(row)
    note_changes("person", row.pk, {"second_step": None}, {"second_step": "set"}, by)
    return tuple(f"{code[:5]}-{code[5:]}" for code in codes)


@transaction.atomic
def end_own_second_step(*, by: int, current: str) -> None:
    """Switch the second step off for oneself.

    Raises:
        WrongValue: the password is not theirs, or the park wants it of their role.
        AlreadySo: it is not on.
    """
    row = _own(by, current)
    if second_step_wanted(row):
        raise WrongValue("current", "the park wants a second step of you; set it up anew instead")
    _end(row, by)


@transaction.atomic
def reset_second_step(*, by: int, person_id: int) -> None:
    """Take somebody's second step off, who has lost both app and codes; they set up another.

    Raises:
        Unknown: no such person.
        AlreadySo: they have none.
    """
    known_person(by)
    _end(known(Person, person_id, "person"), by)


def second_step_wanted(person: Person) -> bool:
    """Whether the park wants a second step of somebody of this role."""
    return person.role in OF_THE_OFFICE and Park.objects.filter(office_second_step=True).exists()


@transaction.atomic
def confirm_second_step(*, person_id: int, code: str) -> bool:
    """Let a person pass who typed a code of the moment or a recovery code; either is good once.

    Returns:
        Whether the code is theirs.
    """
    row = Person.objects.select_for_update().get(pk=person_id)
    secret = opened(row.second_secret)
    step = step_shown(secret, code, timezone.now(), row.second_last) if secret else None
    if step is not None:
        row.second_last = step
        _save(row)
        return True
    typed = "".join(sign for sign in code.lower() if sign.isalnum())
    used = next((one for one in row.recovery_codes if len(typed) == _LONG and check_password(typed, one)), "")
    if not used:
        return False
    before = len(row.recovery_codes)
    row.recovery_codes = [one for one in row.recovery_codes if one != used]
    _save(row)
    note_changes("person", row.pk, {"recovery_codes": before}, {"recovery_codes": before - 1}, row.pk)
    return True


def _own(by: int, current: str) -> Person:
    row = known(Person, by, "person")
    if not row.check_password(current):
        raise WrongValue("current", "is not your password; write the one you sign in with")
    return row


def _end(row: Person, by: int) -> None:
    if row.second_since is None:
        raise AlreadySo("person", f"{row} signs in without a second step")
    row.second_secret, row.second_since, row.second_last, row.recovery_codes = "", None, 0, []
    _save(row)
    note_changes("person", row.pk, {"second_step": "set"}, {"second_step": None}, by)


def _save(row: Person) -> None:
    row.save(update_fields=["second_secret", "second_since", "second_last", "recovery_codes"])


def _recovery_code() -> str:
    return "".join(secrets.choice(_LETTERS) for _ in range(_LONG))


def _lock() -> Fernet:
    """The lock of the secrets: made of the key that signs sessions, which no backup and no export holds."""
    key = salted_hmac("tarsus second step", "secret", algorithm="sha256").digest()
    return Fernet(urlsafe_b64encode(key))
