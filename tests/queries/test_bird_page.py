"""The page of one bird: its days, what happened to it, and birds that are no longer here."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from phones import Phone
from tarsus.queries.bird_page import NoSuchBird, bird_page
from tarsus.records import models as rows
from tarsus.web.plots.strip import spans_of, strip
from wendlebrook import BEGUN, Wendlebrook

pytestmark = pytest.mark.django_db

EVENING = datetime(2026, 6, 11, 19, 0, tzinfo=UTC)


def rounds(park: Wendlebrook) -> None:
    """Five days: read, by sight, inferred, missed; on the fifth nobody called the roll."""
    reading = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
    for days_ago, how in ((4, "by reading"), (3, "by sight"), (2, "inferred"), (1, None)):
        phone = Phone(park, park.actors.tilda)
        phone.minutes = -days_ago * 24 * 60
        facts = [phone.started(), phone.count("avocet", 5), phone.count("ruff", 1)]
        if how == "inferred":
            facts.append(phone.inferred("Samphire", 0.9))
        elif how:
            facts.append(phone.sighting("Samphire", how, reading=reading if how == "by reading" else None))
        assert set(phone.send(*facts, phone.closed())) == {"written"}


def test_the_strip_tells_how_the_bird_was_named_each_day(park: Wendlebrook) -> None:
    rounds(park)
    days = bird_page(park["Samphire"], EVENING).strip
    assert len(days) == 60
    assert days[-1].day == date(2026, 6, 11)
    assert [day.how for day in days[-5:]] == [
        "by reading",
        "by sight",
        "inferred",
        "missed",
        "not looked for",
    ]
    assert {day.how for day in days[:-5]} == {"not looked for"}
    svg = strip(days)
    assert "1 by reading, 1 by sight, 1 inferred, 1 looked for, unseen, 56 not called" in svg
    assert svg.count('class="bar-missed"') == svg.count('class="bar-hollow"') == 1


def test_a_day_on_which_only_others_were_called_is_no_miss(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.tilda)
    part = phone.sighting(
        None, None, lookalike="avocet", candidates=[{"bird": park["Samphire"], "chance": 0.4}]
    )
    phone.send(phone.started(), phone.count("ruff", 1), part, phone.closed())
    assert bird_page(park["Samphire"], EVENING).strip[-1].how == "not looked for"
    phone.send(phone.fact("round_reopened", round=str(phone.round)), phone.sighting("Kelp"), phone.closed())
    assert bird_page(park["Samphire"], EVENING).strip[-1].how == "missed"


def test_a_reading_that_was_not_sure_is_told_as_such(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.tilda)
    reading = {"left tibia": ["metal"]}
    said = [{"bird": park["Samphire"], "chance": 0.7}]
    unsure = phone.sighting("Samphire", "by reading", reading=reading, candidates=said)
    phone.send(phone.started(), phone.count("avocet", 5), unsure, phone.closed())
    assert bird_page(park["Samphire"], EVENING).strip[-1].how == "doubtful"


def test_two_ways_on_one_day_leave_the_firmer(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.tilda)
    reading = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
    told = [phone.sighting("Samphire", "by reading", reading=reading), phone.sighting("Samphire", "by sight")]
    phone.send(phone.started(), *told, phone.closed())
    assert bird_page(park["Samphire"], EVENING).strip[-1].how == "by reading"


def test_days_with_a_reason_are_not_misses(park: Wendlebrook) -> None:
    rounds(park)
    rows.NotLookedFor.objects.create(
        bird_id=park["Samphire"], why="moult", from_on=date(2026, 6, 9), recorded_by_id=park.actors.maren
    )
    days = bird_page(park["Samphire"], EVENING).strip
    assert [day.how for day in days[-3:]] == ["inferred", "not looked for", "not looked for"]
    (span,) = spans_of(days)
    assert (span[0], span[1].day, span[2].day) == ("moult", date(2026, 6, 9), date(2026, 6, 11))


def test_the_day_it_came_to_live_there_is_no_miss(park: Wendlebrook) -> None:
    rounds(park)
    rows.Stay.objects.filter(bird_id=park["Dock"]).update(from_on=date(2026, 6, 9))
    days = bird_page(park["Dock"], EVENING).strip
    # It came on 9 June; the roll of that morning may have been called before. On the 10th it was missed.
    assert [day.how for day in days[-3:]] == ["not looked for", "missed", "not looked for"]


def test_bands_fitted_together_are_one_line(park: Wendlebrook) -> None:
    events = bird_page(park["Samphire"], EVENING).events
    lines = [event.text for event in events if event.kind == "bands"]
    assert lines == ["Metal WB 20417 on the left tibia, yellow on the right tibia, green on the right tibia."]
    assert events[0].day >= events[-1].day


def test_a_bird_that_left_is_shown_as_it_last_was(park: Wendlebrook) -> None:
    stay = rows.Stay.objects.get(bird_id=park["Kelp"])
    stay.to_on = date(2026, 5, 20)
    stay.save()
    rows.Departure.objects.create(
        bird_id=park["Kelp"],
        went_to="another park",
        recorded_by_id=park.actors.corin,
        happened_at=datetime(2026, 5, 20, 9, tzinfo=UTC),
    )
    page = bird_page(park["Kelp"], EVENING)
    assert not page.lives_here
    assert page.as_on == date(2026, 5, 19)
    assert page.portrait.marks == {"left tibia": ["yellow", "green"], "right tibia": ["metal"]}
    assert page.unseen is None
    assert "Left for another park." in [event.text for event in page.events]


def test_a_bird_that_never_lived_here_is_shown_by_its_name(park: Wendlebrook) -> None:
    dam = rows.Bird.objects.create(
        species_id=park.avocet, house_name="Old Wrack", recorded_by_id=park.actors.corin
    )
    page = bird_page(dam.pk, EVENING)
    assert (page.portrait.name, page.lives_here, page.portrait.marks) == ("Old Wrack", False, {})


def test_a_bird_that_is_not_there_is_refused_with_the_remedy(park: Wendlebrook) -> None:
    with pytest.raises(NoSuchBird, match="go to Exhibits and choose one"):
        bird_page(99999, EVENING)


def test_the_page_costs_the_same_questions_however_long_the_history(park: Wendlebrook) -> None:
    rows.Note.objects.create(
        bird_id=park["Dock"], text="came", recorded_by_id=park.actors.tilda, happened_at=EVENING
    )
    with CaptureQueriesContext(connection) as short:
        bird_page(park["Dock"], EVENING)
    for number in range(20):
        at = EVENING - timedelta(days=number + 1)
        rows.Note.objects.create(
            bird_id=park["Dock"], text="fed well", recorded_by_id=park.actors.tilda, happened_at=at
        )
        rows.Weighing.objects.create(
            bird_id=park["Dock"],
            weight_g=150 + number,
            where="perch scale",
            recorded_by_id=park.actors.tilda,
            happened_at=at,
        )
        rows.Stay.objects.create(
            bird_id=park["Dock"],
            exhibit_id=park.reed,
            from_on=BEGUN - timedelta(days=40 - number),
            to_on=BEGUN - timedelta(days=39 - number),
            recorded_by_id=park.actors.tilda,
        )
    with CaptureQueriesContext(connection) as long:
        page = bird_page(park["Dock"], EVENING)
    assert len(page.weights) == 20
    assert len(long) <= len(short)
