"""The keys by which a phone seals what it has not sent, told to whoever may send it and to nobody else.

Decision 0047.
"""

from __future__ import annotations

import secrets
from base64 import b64encode
from typing import Final

from django.db import transaction

from tarsus.actions.hearing.speaking import voices_of_session
from tarsus.core.deeds.rights import RECORDS, passes_for
from tarsus.core.errors import WrongValue
from tarsus.records.models import PhoneKey

KEY_BYTES: Final = 32
"""Of AES-256."""
LONGEST: Final = 64


@transaction.atomic
def keys_of_phone(*, speaker: int, device: str) -> dict[int, str]:
    """The key of each person in whose name this session may record on this phone, made where none was.

    Whoever keeps the records hears those of people who have left too: else what they had not sent would never
    be seen by anybody.

    Returns:
        Person to key, in base64.

    Raises:
        WrongValue: no phone is named.
    """
    if not 0 < len(device) <= LONGEST:
        raise WrongValue("device", f"is missing or longer than {LONGEST} signs; send the phone's own id")
    voices = voices_of_session(speaker, device)
    kept = PhoneKey.objects.filter(device=device)
    keys = dict(kept.filter(person__in=voices.roles).values_list("person", "key"))
    for person in voices.roles.keys() - keys.keys():
        fresh = b64encode(secrets.token_bytes(KEY_BYTES)).decode()
        row, _ = PhoneKey.objects.get_or_create(person_id=person, device=device, defaults={"key": fresh})
        keys[person] = row.key
    if passes_for(voices.roles.get(speaker, ""), RECORDS):
        keys |= dict(kept.filter(person__is_active=False).values_list("person", "key"))
    return keys
