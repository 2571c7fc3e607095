"""Telling each phone once a day what its person asked for."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from email.utils import parseaddr

from django.conf import settings

from tarsus.actions.digests import parts_for, taken
from tarsus.actions.letters import LetterOf
from tarsus.actions.phone_news.own_key import own_key, vouched
from tarsus.actions.phone_news.posting import is_named, origin_of, post
from tarsus.actions.phone_news.sealing import ROOM, octets, sealed
from tarsus.core.words.letter import SUBJECT, on_a_phone
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.letters import park_now
from tarsus.queries.park import park_face
from tarsus.records.models import PhoneLetter, PhoneNews

GONE = "The push service knows this phone no more."


def send_phone_news(now: datetime, *, only_look: bool = False) -> Iterator[LetterOf]:
    """Tell each phone what is due to its person; each once a day, however often this is called.

    What no push service took is tried again by the next call. A phone that its push service knows no more is
    told nothing from then on.

    Args:
        now: the moment of asking.
        only_look: compose what would be told and send nothing.

    Returns:
        What became of each, while it goes on; the person with the phone's name.
    """
    phones = PhoneNews.objects.filter(ended_at__isnull=True, person__is_active=True).select_related("person")
    if not phones:
        return
    day, face, park = day_of(now, park_zone()), park_face(), park_now(now)
    for phone in phones.order_by("person__login", "pk"):
        parts = parts_for(phone.person, phone, park, now)
        text = on_a_phone(face.name, f"{day:%A %-d %B}", parts, ROOM - len(_message("")))
        if not text:
            yield LetterOf(_called(phone), "nothing due")
        elif only_look:
            yield LetterOf(_called(phone), "not sent", text, "only looked at")
        elif not is_named(phone.endpoint, settings.PUSH_SERVICES):
            why = f"{origin_of(phone.endpoint)} is not among TARSUS_PUSH_SERVICES"
            yield LetterOf(_called(phone), "not sent", text, why)
        else:
            yield _send(phone, day, now, text)


def _send(phone: PhoneNews, day: date, now: datetime, text: str) -> LetterOf:
    who = _called(phone)
    if not taken(PhoneLetter, day, now, news_id=phone.pk):
        return LetterOf(who, "sent before", text)
    key = own_key(settings.HOME)
    body = sealed(_message(text), octets(phone.key), octets(phone.auth))
    answer = post(phone.endpoint, body, vouched(key, origin_of(phone.endpoint), now, _contact()))
    own = PhoneLetter.objects.filter(news_id=phone.pk, day=day)
    if answer.took_it:
        own.update(sent_at=now)
        return LetterOf(who, "sent", text)
    own.update(taken_at=None)
    if answer.gone:
        PhoneNews.objects.filter(pk=phone.pk).update(ended_at=now, ended_why=GONE)
        return LetterOf(who, "ended", text, GONE)
    return LetterOf(who, "not sent", text, answer.why)


def _message(text: str) -> bytes:
    """What the phone's worker reads: the title in the first line, the text in the others."""
    return f"{SUBJECT}\n{text}".encode()


def _called(phone: PhoneNews) -> str:
    return f"{phone.person}, {phone.name}"


def _contact() -> str:
    if settings.ADDRESS.startswith("https://"):
        return str(settings.ADDRESS)
    return f"mailto:{parseaddr(settings.DEFAULT_FROM_EMAIL)[1]}"  # the setting may hold a name before it
