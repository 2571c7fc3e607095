"""What machines read: a chip shows its bird, lies or is nobody's; a scale weighs whom it read."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from api.programs import Program, device, person
from tarsus.actions.birds.identity import give_transponder
from tarsus.queries.bird_page import bird_page
from tarsus.queries.duties import duties_of_park
from tarsus.queries.presence import presence_of_exhibit
from tarsus.queries.presence_calendar import presence_calendar
from tarsus.queries.waiting import waiting_facts
from tarsus.records import models as rows
from tarsus.web.plots.strip import key_of_strip, strip
from wendlebrook import BEGUN, Wendlebrook

pytestmark = pytest.mark.django_db

KELP, STRANGER = "999000123456789", "999000000000042"


@pytest.fixture
def reader(park: Wendlebrook) -> Program:
    """The reader at the feeder of Shingle Aviary; Kelp wears a transponder."""
    rows.Transponder.objects.create(
        bird_id=park["Kelp"], number=KELP, from_on=BEGUN, recorded_by_id=park.actors.tilda
    )
    return device(park, [park.shingle], [park.actors.tilda])


def _read(park: Wendlebrook, at: datetime, code: str = KELP, **more: Any) -> dict[str, Any]:
    whole = {"kind": "transponder_read", "exhibit": park.shingle, "code": code, "antenna": "north feeder"}
    return {"id": str(uuid4()), "by": park.actors.tilda, "at": at.isoformat(), **whole, **more}


def _outcomes(reader: Program, *facts: dict[str, Any]) -> list[str]:
    return [one["outcome"] for one in reader.post("/facts", {"facts": facts}).json()["answers"]]


def _due(now: datetime) -> dict[str, Any]:
    kinds = ("look under the antenna", "whose transponder")
    return {duty.kind: duty for duty in duties_of_park(now) if duty.kind in kinds}


def test_a_visit_shows_its_bird_and_takes_no_search_back(reader: Program, park: Wendlebrook) -> None:
    now = timezone.now()
    kelp = park["Kelp"]
    for bird, days in ((park["Dock"], 4), (kelp, 60)):
        rows.Sighting.objects.create(
            bird_id=bird, exhibit_id=park.shingle, how="by sight", happened_at=now - timedelta(days=days),
            recorded_by_id=park.actors.tilda, accepted_by_id=park.actors.tilda,
        )  # fmt: skip
    rows.Transponder.objects.create(
        bird_id=park["Dock"], number="999000222222222", from_on=BEGUN, recorded_by_id=park.actors.tilda
    )
    before = presence_of_exhibit(park.shingle, now)
    assert before[kelp].advice == "search"
    earlier = now - timedelta(hours=2)
    told = [_read(park, earlier - timedelta(hours=n), reads=9) for n in range(3)]
    assert _outcomes(reader, *told, _read(park, earlier, "999000222222222")) == ["written"] * 4
    after = presence_of_exhibit(park.shingle, timezone.now())
    assert after[kelp].advice == "search"
    assert after[park["Dock"]].unseen_days < before[park["Dock"]].unseen_days
    assert _due(timezone.now()) == {}
    assert not rows.Sighting.objects.filter(happened_at__gte=earlier).exists()


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        ("999 000 222222222", "999000222222222"),
        ("999-000222222222", "999000222222222"),
        ("999.000.222222222", "999000222222222"),
        ("00-0132-3a 4f", "00-0132-3A4F"),
    ],
)
def test_an_antenna_finds_the_bird_however_its_number_was_written(
    reader: Program, park: Wendlebrook, written: str, kept: str
) -> None:
    give_transponder(bird_id=park["Dock"], number=written, on=BEGUN, by=park.actors.tilda)
    assert rows.Transponder.objects.get(bird_id=park["Dock"]).number == kept
    assert _outcomes(reader, _read(park, timezone.now(), "999000222222222")) == ["written"]
    found = park["Dock"] if kept == "999000222222222" else None
    assert rows.TransponderRead.objects.get().bird_id == found


def test_a_chip_that_lies_clears_nobody_and_asks_to_look_until_its_bird_was_seen(
    reader: Program, park: Wendlebrook
) -> None:
    now = timezone.now()
    begun = now - timedelta(hours=9)
    told = [
        _read(
            park,
            begun + timedelta(hours=n),
            until=(begun + timedelta(hours=n, minutes=58)).isoformat(),
            reads=700,
        )
        for n in range(8)
    ]
    days = presence_of_exhibit(park.shingle, now)[park["Kelp"]].unseen_days
    assert _outcomes(reader, *told) == ["written"] * 8
    assert _outcomes(reader, told[0]) == ["known"]
    assert presence_of_exhibit(park.shingle, now)[park["Kelp"]].unseen_days == days
    duty = _due(timezone.now())["look under the antenna"]
    assert (duty.bird, duty.exhibit) == (park["Kelp"], park.shingle)
    assert duty.what == "Look under north feeder: Kelp's transponder read there for 7 hours."
    for later in (3, 15, 40):
        assert _due(now + timedelta(days=later))["look under the antenna"] == duty, "nobody looked there yet"
    seen = {"id": str(uuid4()), "kind": "sighting", "by": park.actors.tilda, "at": now.isoformat()}
    seen |= {"exhibit": park.shingle, "bird": park["Kelp"], "how": "by sight"}
    assert _outcomes(reader, seen) == ["written"]
    for later in (0, 3, 40):
        assert _due(timezone.now() + timedelta(days=later)) == {}


def test_a_code_of_nobody_is_one_question_until_it_is_somebodys(reader: Program, park: Wendlebrook) -> None:
    now = timezone.now()
    told = [_read(park, now - timedelta(hours=n), STRANGER) for n in (1, 2)]
    assert _outcomes(reader, *told) == ["written", "written"]
    assert _due(now)["whose transponder"].what == f"Say whose transponder {STRANGER} is."
    given = {"id": str(uuid4()), "kind": "transponder_given", "by": park.actors.maren, "at": now.isoformat()}
    given |= {"bird": park["Dock"], "number": STRANGER}
    assert _outcomes(person(park.actors.maren), given) == ["written"]
    assert _due(timezone.now()) == {}


def test_a_perch_scale_weighs_whose_chip_it_read_and_asks_of_a_stranger(
    reader: Program, park: Wendlebrook
) -> None:
    now = timezone.now()
    told = {"kind": "perch_weight", "by": park.actors.tilda, "at": now.isoformat(), "exhibit": park.shingle}
    told |= {"weight_g": 301.5, "scale": "long perch"}
    known, strange = ({"id": str(uuid4()), "code": code, **told} for code in (KELP, STRANGER))
    answers = reader.post("/facts", {"facts": [known, strange]}).json()["answers"]
    assert [(one["outcome"], one["waits"]) for one in answers] == [("written", None), ("refused", True)]
    assert answers[1]["reason"].startswith(f"code: {STRANGER} is the transponder of no bird of that exhibit")
    [weight] = bird_page(park["Kelp"], now).weights
    assert (weight.weight_g, weight.where) == (301.5, "perch scale")
    assert rows.Weighing.objects.get().scale == "long perch"
    [waits] = waiting_facts()
    assert str(waits.id) == strange["id"]


def test_a_perch_weight_that_somebody_typed_is_no_reading_of_a_transponder(
    reader: Program, park: Wendlebrook
) -> None:
    now = timezone.now()
    typed = {"id": str(uuid4()), "kind": "weighed", "by": park.actors.maren, "bird": park["Kelp"]}
    typed |= {"at": (now - timedelta(days=3)).isoformat(), "weight_g": 301.0, "where": "perch scale"}
    assert _outcomes(person(park.actors.maren), typed | {"scale": "west"}) == ["written"]
    assert rows.Weighing.objects.get().scale == "west"
    assert not any(day.visited for day in bird_page(park["Kelp"], timezone.now()).strip)


def test_a_device_reads_only_where_it_stands_and_what_a_transponder_can_carry(
    reader: Program, park: Wendlebrook
) -> None:
    now = timezone.now()
    elsewhere = _read(park, now, exhibit=park.reed)
    days = _read(park, now - timedelta(days=9), until=now.isoformat())
    backwards = _read(park, now, until=(now - timedelta(minutes=1)).isoformat())
    refused = [elsewhere, days, backwards, _read(park, now, "12345"), _read(park, now, checksum="0000")]
    assert _outcomes(reader, *refused) == ["refused"] * 5
    assert not rows.TransponderRead.objects.exists()


def test_a_visit_is_drawn_by_a_mark_of_its_own_and_nobody_has_seen_the_bird_by_it(
    reader: Program, park: Wendlebrook
) -> None:
    now = timezone.now()
    noon = now.replace(hour=12, minute=0, second=0, microsecond=0) - timedelta(days=3)
    lies = noon + timedelta(days=1)
    scale = {"id": str(uuid4()), "by": park.actors.tilda, "exhibit": park.shingle, "kind": "perch_weight"}
    scale |= {"at": (noon - timedelta(days=1)).isoformat(), "code": KELP, "weight_g": 301.0, "scale": "west"}
    facts = [
        _read(park, noon, reads=9),
        scale,
        # A chip that lies there, and one visit that may go on, say nothing of the bird.
        _read(park, lies, until=(lies + timedelta(hours=4)).isoformat(), reads=900),
        _read(park, now - timedelta(minutes=1)),
    ]
    assert _outcomes(reader, *facts) == ["written"] * 4
    days = {day.day: day for day in bird_page(park["Kelp"], timezone.now()).strip}
    visited = {day for day, one in days.items() if one.visited}
    assert visited == {noon.date(), noon.date() - timedelta(days=1)}
    assert {days[day].how for day in visited} == {"not looked for"}
    drawn = strip(list(days.values()))
    assert drawn.count('class="bar-visit"') == 2
    assert "60 not called. Transponder read on 2 days." in drawn
    assert 'class="bar-visit"' in key_of_strip()[-1][0]
    page = presence_calendar(park.shingle, "avocet", timezone.now())
    assert {day.share for day in page.days} == {None}, "nobody called, and a visit is no call"
    says = {row.portrait.name: row.says for _, birds in page.groups for row in birds}
    assert says["Kelp"].endswith("; its transponder was read on 2 days")
    assert "transponder" not in says["Sedge"]
    told = reader.get(f"/birds/{park['Kelp']}/days").json()["items"]
    assert sum(day["visited"] for day in told) == 2
