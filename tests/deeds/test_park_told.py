"""The park's choices, its palette, its devices and whose hands a phone is in."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.auth.hashers import make_password

from deeds.test_door import Teller, says
from deeds.test_settings_told import changes_of
from phones import Phone
from tarsus.actions.devices import give_device_token, take_device_token_back
from tarsus.actions.facts import hear_device
from tarsus.actions.handover import hand_over
from tarsus.actions.refusals import MayNotSpeak, Unknown
from tarsus.actions.settings.park import SET_HERE, set_park
from tarsus.actions.settings.people import set_eyes
from tarsus.actions.telling import Told
from tarsus.core.errors import MalformedInput
from tarsus.core.marks.palette import BUILT_IN, LETTERS
from tarsus.queries.devices import digest_of_token
from tarsus.records import models as rows
from wendlebrook import MORNING, Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]

CHOSEN: dict[str, Any] = {
    "name": "Wendlebrook Birds",
    "time_zone": "Europe/Berlin",
    "female_side": "right",
    "male_side": "left",
    "metal_letter": "Me",
    "reader": "untrained",
    "strangers": 0.02,
    "gone_per_year": 0.1,
    "sureness": 0.9,
    "wanted_misnaming": 0.02,
    "bands_per_leg": 3,
    "remark_at_once": True,
    "rest_days": 14,
    "minutes_from_chase": 25,
    "too_hot_c": 27.0,
    "too_cold_c": 2.0,
    "catch_until_hour": 10,
    "condition_scale": 9,
    "marks_rest_days": 400,
    "pictures_days": 30,
    "shared_phones": True,
    "idle_lock_minutes": 5,
    "desk_idle_minutes": 30,
    "office_second_step": True,
    "visitor_pages": "link",
}


def test_all_that_a_park_chooses_is_kept_and_what_it_was_is_told(says: Teller, park: Wendlebrook) -> None:
    before = rows.Park.objects.get()
    assert {name for name in SET_HERE if CHOSEN[name] != getattr(before, name)} == set(CHOSEN)
    says.done("maren", "park_set", **CHOSEN)
    row = rows.Park.objects.get()
    assert {name: getattr(row, name) for name in CHOSEN} == CHOSEN
    told = {field: (was, now, by) for field, was, now, by in changes_of("park")}
    assert told["time_zone"] == ("Europe/London", "Europe/Berlin", park.actors.maren)
    assert set(told) == set(CHOSEN)


def test_what_is_not_said_stays_as_it_was(says: Teller, park: Wendlebrook) -> None:
    says.done("maren", "park_set", rest_days=9)
    row = rows.Park.objects.get()
    assert (row.rest_days, row.name, row.time_zone, row.female_side) == (
        9,
        "Wendlebrook Bird Garden",
        "Europe/London",
        "left",
    )
    assert [line[:3] for line in changes_of("park")] == [("rest_days", 21, 9)]


def test_the_first_choice_names_the_park(park: Wendlebrook) -> None:
    rows.Park.objects.all().delete()
    with pytest.raises(MalformedInput, match="name: is empty; write the park's name"):
        set_park(by=park.actors.maren, values={"rest_days": 5})
    set_park(by=park.actors.maren, values={"name": " Wendlebrook  Birds ", "rest_days": 5})
    assert (rows.Park.objects.get().name, rows.Park.objects.get().rest_days) == ("Wendlebrook Birds", 5)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ({"wings": 2}, "wings: 'wings' is no field of the park"),
        ({"name": "  "}, "name: is empty; write the park's name"),
        ({"time_zone": "Mars/Olympus"}, "time_zone: 'Mars/Olympus' is no time zone"),
        ({"female_side": "top"}, "female_side: 'top' is no side"),
        ({"male_side": "top"}, "male_side: 'top' is no side"),
        (
            {"female_side": "right"},
            "male_side: is the females' side too; choose the other, or none (right)",
        ),
        ({"female_side": ""}, "male_side: is said for one sex only; choose a side for both, or for neither"),
        ({"metal_letter": ""}, "metal_letter: '' cannot stand in a band; choose one letter, or two"),
        ({"metal_letter": "abc"}, "metal_letter: 'abc' cannot stand in a band"),
        ({"metal_letter": " "}, "metal_letter: ' ' cannot stand in a band"),
        ({"metal_letter": "?"}, "metal_letter: '?' cannot stand in a band"),
        (
            {"metal_letter": LETTERS["red"]},
            f"metal_letter: {LETTERS['red']} is the letter of red; choose another",
        ),
        ({"reader": "owl"}, "reader: 'owl' is no reader"),
        ({"strangers": 1.01}, "strangers: 1.01 is no chance; write a number from 0 to 1"),
        ({"gone_per_year": -0.01}, "gone_per_year: -0.01 is no chance"),
        ({"wanted_misnaming": 1.5}, "wanted_misnaming: 1.5 is no chance"),
        (
            {"wanted_misnaming": 0},
            "wanted_misnaming: write more than 0 and less than 0.5, for example 0.01",
        ),
        ({"wanted_misnaming": 0.5}, "wanted_misnaming: write more than 0 and less than 0.5"),
        ({"bands_per_leg": 0}, "bands_per_leg: 0 bands are not drawn; write 1 to 4"),
        ({"bands_per_leg": 5}, "bands_per_leg: 5 bands are not drawn; write 1 to 4"),
        ({"catch_until_hour": 25}, "catch_until_hour: 25 is no hour; write 0 to 24"),
        ({"catch_until_hour": -1}, "catch_until_hour: -1 is no hour; write 0 to 24"),
        (
            {"too_cold_c": 25.0},
            "too_cold_c: 25 °C is not below 25 °C, from where it is too hot; write less",
        ),
        ({"minutes_from_chase": 0}, "minutes_from_chase: 0 min is out of range; write 1 to 240"),
        ({"minutes_from_chase": 241}, "minutes_from_chase: 241 min is out of range; write 1 to 240"),
        ({"condition_scale": 2}, "condition_scale: a scale from 1 to 2 is not used; write 3 to 9"),
        ({"condition_scale": 10}, "condition_scale: a scale from 1 to 10 is not used; write 3 to 9"),
        (
            {"pictures_days": 3651},
            "pictures_days: 3651 days are out of range; write 1 to 3650, or 0 for none",
        ),
        ({"marks_rest_days": -1}, "marks_rest_days: -1 days are out of range; write 0 to 3660"),
        ({"marks_rest_days": 3661}, "marks_rest_days: 3661 days are out of range; write 0 to 3660"),
    ],
)
def test_a_choice_that_no_park_can_make_is_refused_and_nothing_is_changed(
    park: Wendlebrook, said: dict[str, Any], reason: str
) -> None:
    with pytest.raises(MalformedInput) as refusal:
        set_park(by=park.actors.maren, values={**said, "rest_days": 3})
    assert str(refusal.value).startswith(reason)
    assert rows.Park.objects.get().rest_days == 21


@pytest.mark.parametrize(
    "said",
    [
        {"female_side": "", "male_side": ""},
        {"metal_letter": "xy"},
        {"strangers": 0, "gone_per_year": 1},
        {"strangers": 1, "gone_per_year": 0},
        {"wanted_misnaming": 0.49},
        {"bands_per_leg": 1, "catch_until_hour": 0, "minutes_from_chase": 1, "condition_scale": 3},
        {"bands_per_leg": 4, "catch_until_hour": 24, "minutes_from_chase": 240, "condition_scale": 9},
        {"marks_rest_days": 0, "too_cold_c": 24.9},
        {"marks_rest_days": 3660, "too_cold_c": None},
    ],
)
def test_the_ends_of_every_range_are_within_it(park: Wendlebrook, said: dict[str, Any]) -> None:
    set_park(by=park.actors.maren, values=said)
    row = rows.Park.objects.get()
    assert {name: getattr(row, name) for name in said} == said


def test_the_built_in_colours_are_entered_where_they_are_not_there_yet(
    says: Teller, park: Wendlebrook
) -> None:
    assert says.done("maren", "published_colours").said == ("0 colours entered",)
    gone = rows.Colour.objects.filter(bands__isnull=True).order_by("order")[:3]
    names = [colour.name for colour in gone]
    rows.Colour.objects.filter(name__in=names).delete()
    rows.Colour.objects.create(name="ours", hex="#123456", letter=LETTERS[names[0]], order=99)
    assert says.done("maren", "published_colours").said == ("2 colours entered",)
    for name in names[1:]:
        row = rows.Colour.objects.get(name=name)
        assert (row.hex, row.letter) == (BUILT_IN.hex_of(name), LETTERS[name])
        assert row.order == list(BUILT_IN.names).index(name)
    assert not rows.Colour.objects.filter(name=names[0]).exists(), "its letter is another colour's here"


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"reads_as": "owl"}, "reads_as: 'owl' is no reader"),
        ({"colour_vision": "x-ray"}, "colour_vision: 'x-ray' is no colour vision"),
        ({"vision_severity": 1.01}, "vision_severity: 1.01 is out of range; write 0 to 1"),
        ({"vision_severity": -0.01}, "vision_severity: -0.01 is out of range; write 0 to 1"),
    ],
)
def test_eyes_that_nobody_has_are_refused(park: Wendlebrook, change: dict[str, Any], reason: str) -> None:
    said: dict[str, Any] = {"reads_as": "trained", "colour_vision": "protan", "vision_severity": 1}
    me = {"by": park.actors.tilda, "person_id": park.actors.tilda}
    with pytest.raises(MalformedInput) as refusal:
        set_eyes(**me, **{**said, **change})
    assert str(refusal.value).startswith(reason)
    set_eyes(**me, **said)
    set_eyes(**me, **{**said, "vision_severity": 0})
    assert rows.Person.objects.get(pk=park.actors.tilda).vision_severity == 0


def test_a_device_is_given_a_token_that_is_shown_once_and_kept_nowhere(
    says: Teller, park: Wendlebrook
) -> None:
    who = {"exhibits": [park.shingle], "people": [park.actors.tilda, park.actors.oswin]}
    given = says.done("dunstan", "device_token_given", name=" Shingle phone ", **who)
    row = rows.DeviceToken.objects.get(pk=given.wrote["device"])
    assert (row.name, row.made_by_id, row.digest) == (
        "Shingle phone",
        park.actors.dunstan,
        digest_of_token(given.shown_once),
    )
    assert len(given.shown_once) >= 43, "32 random bytes"
    assert set(row.exhibits.values_list("pk", flat=True)) == {park.shingle}
    assert set(row.people.values_list("pk", flat=True)) == {park.actors.tilda, park.actors.oswin}
    assert given.shown_once not in str(list(rows.ToldDeed.objects.values_list("contents", "wrote")))
    tilda = Phone(park, park.actors.tilda)
    sent = {"clock": None, "device": "shingle", "token": given.shown_once}
    assert [one.outcome for one in hear_device(facts=[tilda.started()], **sent)] == ["written"]
    says.done("dunstan", "device_token_taken_back", device=row.pk)
    row.refresh_from_db()
    assert row.revoked_at is not None
    with pytest.raises(MayNotSpeak, match="its token is not known; ask the administrator for a new one"):
        hear_device(facts=[tilda.closed()], **sent)
    other = says.done("dunstan", "device_token_given", name="other", **who)
    assert other.shown_once != given.shown_once


def test_a_device_is_given_for_what_there_is_and_taken_back_once(park: Wendlebrook) -> None:
    by = park.actors.dunstan
    whole: dict[str, Any] = {
        "name": "phone",
        "exhibit_ids": [park.shingle],
        "people_ids": [park.actors.tilda],
        "by": by,
    }
    for change, reason in (
        ({"name": "  "}, "name: is empty; write which device it is"),
        ({"exhibit_ids": []}, "exhibits: is empty; choose at least one"),
        ({"people_ids": []}, "people: is empty; choose at least one, since every line names its person"),
        ({"exhibit_ids": [park.shingle, 9_999]}, "exhibits: no exhibit 9999 is in this register"),
        (
            {"people_ids": [park.actors.tilda, park.actors.pia]},
            f"people: no person who records {park.actors.pia} is",
        ),
        ({"by": -1}, "by: no person -1"),
    ):
        with pytest.raises(MalformedInput) as refusal:
            give_device_token(**{**whole, **change})
        assert str(refusal.value).startswith(reason)
    rows.Person.objects.filter(pk=park.actors.oswin).update(is_active=False)
    with pytest.raises(Unknown, match="people: no person who records"):
        give_device_token(**{**whole, "people_ids": [park.actors.oswin]})
    assert not rows.DeviceToken.objects.exists()
    device, _ = give_device_token(**whole)
    with pytest.raises(Unknown, match="device: no device 9999"):
        take_device_token_back(device_id=9_999, by=by)
    with pytest.raises(Unknown, match="by: no person"):
        take_device_token_back(device_id=device, by=-1)
    take_device_token_back(device_id=device, by=by)
    with pytest.raises(MalformedInput, match="device: the token of phone was taken back already; give it"):
        take_device_token_back(device_id=device, by=by)


def test_a_handover_says_which_phone_went_from_whom_to_whom(park: Wendlebrook) -> None:
    told = Told(by=park.actors.tilda, at=MORNING, device="p7")
    rows.Park.objects.update(shared_phones=True)
    rows.Person.objects.filter(pk=park.actors.oswin).update(pin=make_password("4170"))
    assert hand_over(told=told, taken_by=park.actors.oswin, pin="4170")
    row = rows.Handover.objects.get()
    assert (row.device, row.given_by_id, row.taken_by_id) == ("p7", park.actors.tilda, park.actors.oswin)
    for taker, reason in (
        (-1, "taken_by: no person -1"),
        (park.actors.pia, "phones go from keeper to keeper"),
    ):
        with pytest.raises(MalformedInput, match=reason):
            hand_over(told=told, taken_by=taker, pin="4170")
    rows.Park.objects.update(shared_phones=False)
    with pytest.raises(MayNotSpeak, match="phones are not shared in this park; sign in as that person"):
        hand_over(told=told, taken_by=park.actors.oswin, pin="4170")
    rows.Park.objects.all().delete()
    with pytest.raises(MayNotSpeak, match="phones are not shared"):
        hand_over(told=told, taken_by=park.actors.oswin, pin="4170")
