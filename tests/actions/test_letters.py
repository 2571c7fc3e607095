"""The daily letter: to whom, about what, once a day, and by a mail server that speaks SMTP (RFC 5321)."""

from __future__ import annotations

import email
import email.policy
import os
import socketserver
import threading
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core import mail
from django.utils import timezone

from phones import Shift
from tarsus.actions.letters import send_letters
from tarsus.actions.safekeeping.register_file import name_by_time
from tarsus.actions.settings.mail import set_mail
from tarsus.core.errors import WrongValue
from tarsus.core.words.letter import SUBJECT
from tarsus.queries.days import day_of, park_zone
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
SMTP = "django.core.mail.backends.smtp.EmailBackend"


def noon() -> datetime:
    """Noon of tomorrow: no hour's wait in a test goes past a midnight."""
    return (timezone.now() + timedelta(days=1)).replace(hour=12, minute=0, second=0, microsecond=0)


def outcomes(now: datetime | None = None, **more: Any) -> dict[str, str]:
    return {one.person: one.outcome for one in send_letters(now or noon(), **more)}


@pytest.fixture
def late(park: Wendlebrook) -> Wendlebrook:
    """Kelp was last seen nine days ago, Sedge under treatment was to be looked at; Tilda asks for both."""
    shift = Shift(park)
    at = noon() - timedelta(days=9)
    shift.done("tilda", "sighting", at=at, exhibit=park.shingle, bird=park["Kelp"], how="by sight")
    drops = {"what": "drops", "recheck_days": 1, "rechecks": 3}
    shift.done("ilse", "treatment", at=noon() - timedelta(days=5), bird=park["Sedge"], **drops)
    ask(park, "tilda", duties=True, search=True)
    return park


def ask(park: Wendlebrook, who: str, **wish: bool) -> None:
    wishes = {"duties": False, "search": False, "backups": False} | wish
    set_mail(by=getattr(park.actors, who), address=f"{who}@park.example", **wishes)


def test_nobody_is_written_to_who_did_not_ask(park: Wendlebrook) -> None:
    assert outcomes() == {}
    ask(park, "tilda")
    assert outcomes() == {"Tilda": "nothing due"}
    assert mail.outbox == []


def test_whoever_asked_hears_once_a_day_whom_to_search_for_and_what_is_overdue(late: Wendlebrook) -> None:
    now = noon()
    assert outcomes(now) == {"Tilda": "sent"}
    assert outcomes(now + timedelta(minutes=40)) == {"Tilda": "sent before"}
    (letter,) = mail.outbox
    assert (letter.to, letter.subject) == (["tilda@park.example"], SUBJECT)
    assert "Kelp, pied avocet, Shingle Aviary: 8 days, limit 3" in letter.body
    assert "Overdue\n- " in letter.body
    assert "Sedge" in letter.body.partition("Overdue")[2]
    for name in ("Kelp", "Sedge", "Wendlebrook", "8"):
        assert name not in letter.subject
    assert outcomes(now + timedelta(days=1)) == {"Tilda": "sent"}


def test_each_hears_of_what_they_chose_and_of_their_own_jobs_only(late: Wendlebrook) -> None:
    ask(late, "tilda", search=True)
    ask(late, "corin", duties=True)
    assert outcomes() == {"Tilda": "sent", "Corin": "nothing due"}, (
        "the look after a handling is no records job"
    )
    (letter,) = mail.outbox
    assert "Overdue" not in letter.body


def test_the_administrator_hears_of_missing_backups_until_there_is_one(
    park: Wendlebrook, settings: Any, tmp_path: Path
) -> None:
    ask(park, "dunstan", backups=True)
    now = noon()
    settings.BACKUPS = tmp_path
    said = [one.text for one in send_letters(now, only_look=True)]
    assert "- No backup has been made yet" in said[0]
    copy = name_by_time(tmp_path, now, ".sqlite3")
    copy.write_bytes(b"")
    for hours, outcome in ((35, "nothing due"), (37, "not sent")):
        os.utime(copy, ((now - timedelta(hours=hours)).timestamp(),) * 2)
        assert outcomes(now, only_look=True) == {"Dunstan": outcome}
    with pytest.raises(WrongValue, match="administrator's"):
        ask(park, "maren", backups=True)


@pytest.mark.parametrize(
    "address", ["", "tilda", "a@b.example\nBcc: c@d.example", "two@a.example, b@c.example"]
)
def test_what_is_no_address_is_refused(park: Wendlebrook, address: str) -> None:
    with pytest.raises(WrongValue, match=r"^address: is no mail address"):
        set_mail(by=park.actors.tilda, address=address, duties=True, search=False, backups=False)
    assert not rows.MailWish.objects.exists()


def test_whoever_left_is_not_written_to(late: Wendlebrook) -> None:
    rows.Person.objects.filter(login="tilda").update(is_active=False)
    assert outcomes() == {}


def test_a_letter_that_another_sender_holds_is_left_to_it_until_that_one_must_have_died(
    late: Wendlebrook,
) -> None:
    now = noon()
    day = day_of(now, park_zone())
    held = rows.Letter.objects.create(person_id=late.actors.tilda, day=day, taken_at=now)
    assert outcomes(now + timedelta(minutes=14)) == {"Tilda": "sent before"}
    rows.Letter.objects.filter(pk=held.pk).update(taken_at=now - timedelta(minutes=16))
    assert outcomes(now) == {"Tilda": "sent"}


class Speaking(socketserver.StreamRequestHandler):
    """As much of SMTP as a sender needs; refuses recipients of ``full.example``."""

    def handle(self) -> None:
        self.wfile.write(b"220 mail.park.example\r\n")
        while line := self.rfile.readline():
            word = line[:4].upper()
            if word == b"DATA":
                self.wfile.write(b"354 go on\r\n")
                kept = []
                while (text := self.rfile.readline()) != b".\r\n":
                    kept.append(text)
                self.server.letters.append(b"".join(kept))  # type: ignore[attr-defined]  # our own server
                self.wfile.write(b"250 kept\r\n")
            elif word == b"QUIT":
                self.wfile.write(b"221 bye\r\n")
                return
            elif b"full.example" in line:
                self.wfile.write(b"452 its box is full\r\n")
            else:
                self.wfile.write(b"250 mail.park.example\r\n")


@pytest.fixture
def server(settings: Any) -> Iterator[Any]:
    with socketserver.ThreadingTCPServer(("127.0.0.1", 0), Speaking) as listening:
        listening.letters = []  # type: ignore[attr-defined]  # what it was given
        threading.Thread(target=listening.serve_forever, daemon=True).start()
        settings.EMAIL_BACKEND, settings.EMAIL_HOST = SMTP, "127.0.0.1"
        settings.EMAIL_PORT = listening.server_address[1]
        settings.EMAIL_USE_TLS = settings.EMAIL_USE_SSL = False
        yield listening
        listening.shutdown()


def test_a_letter_goes_by_smtp_and_one_that_was_refused_goes_with_the_next_run(
    late: Wendlebrook, server: Any
) -> None:
    set_mail(by=late.actors.oswin, address="oswin@full.example", duties=False, search=True, backups=False)
    now = noon()
    first = {one.person: (one.outcome, one.why) for one in send_letters(now)}
    assert first["Tilda"] == ("sent", "")
    assert first["Oswin"][0] == "not sent"
    assert "its box is full" in first["Oswin"][1]
    rows.MailWish.objects.filter(person_id=late.actors.oswin).update(address="oswin@park.example")
    assert outcomes(now) == {"Oswin": "sent", "Tilda": "sent before"}
    read = [email.message_from_bytes(one, policy=email.policy.default) for one in server.letters]  # RFC 5322
    assert [one["To"] for one in read] == ["tilda@park.example", "oswin@park.example"]
    assert {one["Subject"] for one in read} == {SUBJECT}
    assert all("Kelp" in one.get_content() for one in read)


def test_without_a_mail_server_the_letter_waits_for_the_next_run(late: Wendlebrook, settings: Any) -> None:
    settings.EMAIL_BACKEND, settings.EMAIL_HOST, settings.EMAIL_PORT = SMTP, "127.0.0.1", 9
    settings.EMAIL_USE_TLS = False
    assert outcomes() == {"Tilda": "not sent"}
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    assert outcomes() == {"Tilda": "sent"}
