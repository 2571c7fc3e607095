"""A shared phone speaks for another keeper only where that keeper took it in hand by their own PIN."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.hashers import make_password
from django.utils import timezone

from phones import SEVEN, Phone
from tarsus.actions.facts import Answer, hear_facts
from tarsus.actions.settings.pins import TRIES, set_pin
from tarsus.core.deeds.register import DEEDS
from tarsus.core.errors import WrongValue
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
PIN = "4170"
Give = Callable[..., Answer]


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    rows.Park.objects.update(shared_phones=True)
    rows.Person.objects.exclude(pk=park.actors.tilda).update(pin=make_password(PIN))
    return Phone(park, park.actors.tilda)


@pytest.fixture
def give(tilda: Phone) -> Give:
    """Tilda hands her phone over, now."""

    def given(to: int, pin: str = PIN, device: str = "p1") -> Answer:
        fact = {**tilda.fact("phone_handed_over", taken_by=to, pin=pin), "at": timezone.now().isoformat()}
        (answer,) = hear_facts(facts=[fact], clock=None, device=device, speaker=tilda.by)
        return answer

    return given


def seen_by(phone: Phone, person: int, after: timedelta = timedelta(minutes=1)) -> dict[str, Any]:
    at = (timezone.now() + after).isoformat()
    return {**phone.sighting("Kelp", round=None), "by": person, "at": at}


def told_by(phone: Phone, person: int, device: str = "p1") -> str:
    (answer,) = hear_facts(facts=[seen_by(phone, person)], clock=None, device=device, speaker=phone.by)
    return answer.reason or answer.outcome


def test_whoever_took_the_phone_by_their_pin_is_heard_from_it_and_from_no_other(
    tilda: Phone, give: Give, park: Wendlebrook
) -> None:
    oswin = park.actors.oswin
    assert "hand the phone over by their PIN" in told_by(tilda, oswin)
    assert give(oswin).outcome == "written"
    assert told_by(tilda, oswin) == "written"
    assert "hand the phone over by their PIN" in told_by(tilda, oswin, device="p2")
    row = rows.Sighting.objects.get()
    assert (row.recorded_by_id, row.sent_by_id) == (oswin, tilda.by)


def test_the_pin_is_kept_nowhere(tilda: Phone, give: Give, park: Wendlebrook) -> None:
    give(park.actors.oswin)
    assert PIN not in str(list(rows.ToldDeed.objects.values())) + str(list(rows.Waiting.objects.values()))
    assert rows.Person.objects.get(pk=park.actors.oswin).pin.startswith("argon2")


def test_a_pin_or_password_is_not_kept_with_a_question_nor_while_it_waits(
    tilda: Phone, park: Wendlebrook
) -> None:
    ahead = (timezone.now() + timedelta(days=1)).isoformat()
    given = tilda.fact("phone_handed_over", taken_by=park.actors.oswin, pin=PIN)
    own = tilda.fact("own_password_set", current="a tern over the lock", password="a gull over the weir")
    leaning = {**given, "id": str(uuid4()), "corrects": str(uuid4()), "why_corrected": "another"}
    told = tilda.send({**given, "at": ahead}, {**own, "at": ahead}, leaning)
    assert ["lies ahead of now" in answer for answer in told] == [True, True, False]
    assert "send it first" in told[2]
    assert not rows.Waiting.objects.exists()


def test_a_wrong_pin_hands_nothing_over_and_rests_after_a_few(
    tilda: Phone, give: Give, park: Wendlebrook
) -> None:
    oswin = park.actors.oswin
    for _ in range(TRIES):
        assert "not their PIN" in give(oswin, pin="0000").reason
    assert "typed wrong 5 times" in give(oswin).reason, "not even the right one is heard now"
    assert not rows.Handover.objects.exists()
    rows.Person.objects.filter(pk=oswin).update(pin_wrong_at=timezone.now() - timedelta(minutes=16))
    assert give(oswin).outcome == "written"
    assert rows.Person.objects.get(pk=oswin).pin_wrong == 0


def test_phones_go_between_keepers_only(tilda: Phone, give: Give, park: Wendlebrook) -> None:
    for other in ("maren", "ilse", "corin", "dunstan", "pia"):
        assert "from keeper to keeper" in give(getattr(park.actors, other)).reason
    assert not rows.Handover.objects.exists()


def test_phones_are_not_shared_unless_the_park_says_so(park: Wendlebrook) -> None:
    assert rows.Park.objects.get().shared_phones is False
    tilda = Phone(park, park.actors.tilda)
    (answer,) = tilda.send(tilda.fact("phone_handed_over", taken_by=park.actors.oswin, pin=PIN))
    assert "phones are not shared in this park" in answer


def test_a_phone_is_in_hand_for_a_working_day(tilda: Phone, park: Wendlebrook) -> None:
    tilda.handed_to(park.actors.oswin)  # at seven
    seen = {**tilda.sighting("Kelp", round=None), "by": park.actors.oswin}
    late, next_day, before = (
        {**seen, "id": str(uuid4()), "at": (SEVEN + timedelta(hours=hours)).isoformat()}
        for hours in (15, 17, -1)
    )
    first, second, third = tilda.send(late, next_day, before)
    assert first == "written"
    assert "had not taken this phone in hand" in second
    assert "had not taken this phone in hand" in third


def test_a_hand_over_that_nobody_confirmed_lends_no_voice(tilda: Phone, park: Wendlebrook) -> None:
    tilda.handed_to(park.actors.oswin)
    (told,) = tilda.send({**tilda.sighting("Kelp", round=None), "by": park.actors.oswin})
    assert told == "written"
    rows.Handover.objects.create(
        device="p1", given_by_id=park.actors.oswin, taken_by_id=park.actors.tilda, at=SEVEN
    )
    oswin = Phone(park, park.actors.oswin)
    (told,) = oswin.send({**oswin.sighting("Sedge", round=None), "by": park.actors.tilda})
    assert "hand the phone over by their PIN" in told


def test_no_deed_that_is_more_than_a_keepers_is_told_for_another(tilda: Phone, park: Wendlebrook) -> None:
    tilda.handed_to(park.actors.oswin)
    more = sorted(name for name, deed in DEEDS.items() if not deed.of_keepers)
    told = tilda.send(*({**tilda.fact(kind), "by": park.actors.oswin} for kind in more))
    for kind, answer in zip(more, told, strict=True):
        assert "is told in a session of one's own" in answer, kind


def test_nobody_sets_anothers_password_pin_eyes_or_letters_from_a_shared_phone(
    tilda: Phone, park: Wendlebrook
) -> None:
    own = {"own_password_set", "own_pin_set", "eyes_set", "mail_set", "today_seen", "phone_handed_over"}
    own |= {"phone_news_asked", "phone_news_ended"}
    own |= {"practice_sharing", "practice_shared"}
    assert own <= {name for name, deed in DEEDS.items() if not deed.of_keepers}
    tilda.handed_to(park.actors.oswin)
    (told,) = tilda.send(
        {**tilda.fact("mail_set", address="who@else.example", search=True), "by": park.actors.oswin}
    )
    assert "is told in a session of one's own" in told
    assert not rows.MailWish.objects.exists()


@pytest.mark.parametrize(
    ("pin", "why"),
    [("123", "4 to 8 digits"), ("12a4", "4 to 8"), ("1111", "guessed first"), ("4567", "guessed first"),
     ("9876", "guessed first"), ("123456789", "4 to 8")],
)  # fmt: skip
def test_a_pin_that_is_guessed_first_is_refused(park: Wendlebrook, pin: str, why: str) -> None:
    tilda = rows.Person.objects.get(pk=park.actors.tilda)
    tilda.set_password("a tern over the lock")
    tilda.save()
    with pytest.raises(WrongValue, match=why):
        set_pin(by=tilda.pk, person_id=tilda.pk, current="a tern over the lock", pin=pin)
    with pytest.raises(WrongValue, match=r"^current: is not your password"):
        set_pin(by=tilda.pk, person_id=tilda.pk, current="a tern", pin=PIN)
