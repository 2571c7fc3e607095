"""What a clock that is wrong says is kept as a question and shown to its sender; it never becomes a sighting.

The dates are those that clocks go wrong to: 1 January 1970 is where POSIX.1 counts seconds from; a year off
is what a date set by hand is off by (common practice).
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from phones import Phone
from tarsus.actions.facts import AT_A_FORM, hear_facts
from tarsus.queries.waiting import refused_late, waiting_facts
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


def years_on(years: int) -> datetime:
    return timezone.now() + timedelta(days=366 * years)


def said_at(phone: Phone, at: datetime) -> dict[str, object]:
    return {**phone.sighting("Kelp", round=None), "at": at.isoformat()}


@pytest.mark.parametrize(
    "at",
    [
        datetime(1970, 1, 1, 0, 3, tzinfo=UTC),
        datetime(1970, 7, 1, tzinfo=UTC),
        datetime(1999, 1, 1, tzinfo=UTC),
        timedelta(days=366),
        timedelta(days=3660),
        timedelta(minutes=30),
    ],
)
def test_a_sighting_of_another_time_is_a_question_and_never_a_sighting(
    tilda: Phone, at: datetime | timedelta
) -> None:
    """What lies ahead is counted from now: a run may take longer than half an hour."""
    fact = said_at(tilda, timezone.now() + at if isinstance(at, timedelta) else at)
    (first,) = hear_facts(facts=[fact], clock=None, device="p1", speaker=tilda.by)
    (again,) = hear_facts(facts=[fact], clock=None, device="p1", speaker=tilda.by)
    for answer in (first, again):
        assert (answer.outcome, answer.waits) == ("refused", True)
        assert "was the clock right?" in answer.reason
    assert not rows.Sighting.objects.exists()
    (waits,) = waiting_facts()
    assert (str(waits.id), waits.by, waits.refused) == (fact["id"], "Tilda", True)
    assert [one["id"] for one in refused_late("p1")] == [fact["id"]], "its phone asks, and is told"


def test_a_time_is_said_by_the_clock_of_the_park_though_no_page_asked(tilda: Phone) -> None:
    rows.Park.objects.update(time_zone="Asia/Tokyo")
    at = timezone.now() + timedelta(hours=3)
    (told,) = tilda.send(said_at(tilda, at))
    assert f"{at.astimezone(ZoneInfo('Asia/Tokyo')):%H:%M} lies ahead of now" in told


@pytest.mark.parametrize("year", ["1850", "9999", "0001"])
def test_a_year_that_no_park_has_is_refused_and_stays_on_its_phone(tilda: Phone, year: str) -> None:
    (told,) = tilda.send({**said_at(tilda, timezone.now()), "at": f"{year}-06-11T07:00:00+00:00"})
    assert told.startswith(f"at: the year {int(year)} is out of range")
    assert not rows.Sighting.objects.exists()


def test_a_clock_that_is_off_while_it_sends_is_put_right_by_as_much(tilda: Phone) -> None:
    wrong = datetime(1970, 1, 1, 0, 5, tzinfo=UTC)
    fact = said_at(tilda, wrong - timedelta(minutes=4))
    assert tilda.send(fact, clock=wrong.isoformat()) == ["written"]
    seen = rows.Sighting.objects.get().happened_at
    assert abs(timezone.now() - timedelta(minutes=4) - seen) < timedelta(minutes=1)


def test_fifty_good_facts_around_a_question_are_written(tilda: Phone) -> None:
    good = [said_at(tilda, timezone.now() - timedelta(minutes=n)) for n in range(50)]
    told = tilda.send(*good[:25], said_at(tilda, years_on(1)), *good[25:])
    assert told[:25] + told[26:] == ["written"] * 50
    assert "lies ahead of now" in told[25]
    assert rows.Sighting.objects.count() == 50


def test_told_anew_with_its_time_it_counts_and_the_question_is_settled(tilda: Phone) -> None:
    wrong = said_at(tilda, years_on(1))
    tilda.send(wrong)
    right = said_at(tilda, timezone.now())
    aside = tilda.fact("set_aside", waiting=wrong["id"], because="told anew on its phone")
    assert tilda.send(right, aside) == ["written", "written"]
    assert waiting_facts() == ()
    assert rows.Waiting.objects.filter(pk=str(wrong["id"])).exists(), "what was told first stays readable"


def test_at_a_form_the_question_is_asked_there(tilda: Phone) -> None:
    fact = said_at(tilda, years_on(1))
    (answer,) = hear_facts(facts=[fact], clock=None, device=AT_A_FORM, speaker=tilda.by)
    assert (answer.outcome, answer.place, answer.waits) == ("refused", "at", False)
    assert not rows.Waiting.objects.exists()


def test_today_may_be_told_to_its_end_and_tomorrow_may_not(tilda: Phone, park: Wendlebrook) -> None:
    """A form that asks for a day says noon of it, which lies ahead in the morning: of the park's own day."""
    tonight = timezone.localtime().replace(hour=23, minute=58)
    nick = tilda.fact("natural_mark", bird=park["Kelp"], text="nick in the left web")
    (ahead,) = tilda.send({**nick, "at": (tonight + timedelta(hours=12)).isoformat()})
    assert "lies ahead of now" in ahead
    assert tilda.send({**nick, "id": str(uuid4()), "at": tonight.isoformat()}) == ["written"]
