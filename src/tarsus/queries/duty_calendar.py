"""The duties of a device's exhibits as a calendar that a program may subscribe to by a secret link.

The link reads this calendar and nothing else: it is made from what is kept of the device's token and cannot
be turned back into it. Taking the token back, under Settings, ends the link.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterator
from datetime import date, datetime
from typing import Final

from tarsus.core.care.cautions import caution
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.words.numbers import capital
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.devices import Device, devices, tokens_that_hold
from tarsus.queries.duties import duties_of_park
from tarsus.queries.flock import birds_everywhere
from tarsus.queries.park import park_face
from tarsus.tables.calendar_out import CalendarDay, calendar_text

_FOR: Final = b"tarsus calendar of duties"


def calendar_keys(signing_key: str) -> dict[int, str]:
    """The secret of each device's calendar, by device; none where its token was taken back or expired.

    Args:
        signing_key: the register's own secret.
    """
    return {pk: _key(digest, signing_key) for pk, digest in tokens_that_hold().values_list("pk", "digest")}


def _key(digest: str, signing_key: str) -> str:
    told = hmac.new(signing_key.encode(), _FOR + digest.encode(), hashlib.sha256)
    return told.hexdigest()[:40]


def device_of_calendar(key: str, signing_key: str) -> Device | None:
    """The device whose calendar this secret opens; nothing where it is unknown or was ended."""
    keys = calendar_keys(signing_key)
    found = [pk for pk, own in keys.items() if hmac.compare_digest(own.encode(), key.encode())]
    return next((device for device in devices() if device.device_id in found), None)


def duty_calendar(device: Device, now: datetime) -> str:
    """What is due in a device's exhibits, each job on the day by which it is due, or today where it is now.

    What can wait for a handling that happens anyway has no day and is left out.
    """
    today = day_of(now, park_zone())
    birds = birds_everywhere(today)
    homes = {bird.bird_id: bird.exhibit_id for bird in birds}
    own = (
        duty
        for duty in duties_of_park(now, birds)
        if device.may_ask_of(duty.exhibit or homes.get(duty.bird or 0, 0))
    )
    park = park_face().on_paper
    return calendar_text(f"Due, {park}: {device.name}", _days(own, today), now)


def _days(duties: Iterator[Duty], today: date) -> Iterator[CalendarDay]:
    for duty in duties:
        if duty.by is None and duty.urgency == Urgency.WITH_NEXT_HANDLING:
            continue
        told = "|".join(map(str, duty.key)) + f"|{duty.exhibit}"
        uid = f"{hashlib.sha256(told.encode()).hexdigest()[:32]}@tarsus"
        mind = caution(duty.caution) if duty.caution else ""
        day = max(duty.by or today, today)
        yield CalendarDay(
            uid, day, duty.what, "\n".join(filter(None, (duty.why, mind))), capital(duty.urgency.words)
        )
