"""What checks say of a reader is shown to that person alone; the colours to retire to whoever sets them."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.test import Client
from django.utils import timezone

from pages import shown
from phones import SEVEN
from tarsus.actions.learning import learn_readers
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

Browser = Callable[[str], Client]

TURNED = {"left tibia": ["yellow", "green"], "right tibia": ["metal"]}
FADED = {"left tibia": ["metal"], "right tibia": ["orange", "green"]}
WORN = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}


def checked(park: Wendlebrook, by: int, read: dict[str, list[str]], times: int) -> None:
    rows.ConfirmedReading.objects.bulk_create(
        rows.ConfirmedReading(
            recorded_by_id=by, reader_id=by, bird_id=park["Samphire"], read=read, worn=WORN,
            happened_at=SEVEN + timedelta(minutes=minute),
        )
        for minute in range(times)
    )  # fmt: skip


def test_each_person_sees_their_own_checks_and_nobody_elses(garden: Wendlebrook, signed_in: Browser) -> None:
    checked(garden, garden.actors.tilda, TURNED, 20)
    checked(garden, garden.actors.tilda, WORN, 10)
    learn_readers(timezone.now())
    own = shown(signed_in("tilda").get("/settings/eyes/learned/"))
    assert "weighed by what these checks say" in own
    assert "30 named by sight in the same group" in own
    assert "Only you see this page" in own
    # Beta(1/2 + 20, b + 10) with b small: some 49 to 83 in 100 by Bayes' rule.
    between = re.search(
        r"legs swapped, a reading.*?between ([\d.]+) and ([\d.]+) by your checks", own, re.DOTALL
    )
    assert between is not None
    low, high = (float(one) for one in between.groups())
    assert 35 < low < 55
    assert 70 < high < 85
    other = shown(signed_in("oswin").get("/settings/eyes/learned/"))
    assert "No reading of yours has been checked yet" in other
    assert "legs swapped" not in other


def test_a_colour_that_is_often_misread_is_named_as_one_to_retire(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client = signed_in("maren")
    assert "To be retired" not in shown(client.get("/settings/colours/"))
    checked(garden, garden.actors.tilda, FADED, 15)
    checked(garden, garden.actors.oswin, WORN, 25)
    learn_readers(timezone.now())
    text = shown(client.get("/settings/colours/"))
    assert "To be retired" in text
    assert "most often orange" in text


def lesson_of(device: str, exponent: float = 1.0, *, lessons: int, earned: bool, **more: Any) -> None:
    camera = {"exponent": exponent, "ageing": [0.35, 0.17, 0.12, 0.15, 0.09, 0.12]} | more
    rows.LearnedCamera.objects.create(
        device=device,
        version="1",
        made_at=SEVEN,
        lesson=camera | {"lessons": lessons, "earned": earned, "nats": 5.0},
    )


def taken(garden: Wendlebrook, by: int, device: str) -> None:
    seen = rows.Sighting.objects.create(
        bird_id=garden["Samphire"], exhibit_id=garden.shingle, how="by reading", chance=0.97,
        reading=WORN, photographed=True, recorded_by_id=by, accepted_by_id=by, happened_at=SEVEN,
        device=device,
    )  # fmt: skip
    rows.Photograph.objects.create(
        sighting=seen, own_camera=True, taps={}, recorded_by_id=by, happened_at=SEVEN, device=device
    )


def plain(page: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def test_each_person_sees_what_photographs_taught_of_their_own_phone(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    address = "/settings/eyes/learned/"
    assert "camera" not in plain(shown(signed_in("tilda").get(address)))
    taken(garden, garden.actors.tilda, "p1")
    taken(garden, garden.actors.tilda, "p1")
    own = plain(shown(signed_in("tilda").get(address)))
    assert "2 photographs of yours, 11 June 2026 " in own
    assert "None of them taught anything yet" in own
    lesson_of("p1", lessons=9, earned=False)
    assert "Too little to go by: its colours" in plain(shown(signed_in("tilda").get(address)))
    rows.LearnedCamera.objects.all().delete()
    lesson_of("p1", 0.5, lessons=31, earned=True)
    own = plain(shown(signed_in("tilda").get(address)))
    assert "31 2 photographs of yours" in own
    assert "looks 95 % red rather than orange counts as 81 %" in own, "19 to 1 becomes the root of it"
    assert "camera" not in plain(shown(signed_in("oswin").get(address)))


def test_whoever_sets_the_colours_sees_how_photographs_say_that_bands_age(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    def page() -> str:
        return plain(shown(signed_in("maren").get("/settings/colours/")))

    assert "What photographs say" not in page()
    lesson_of("", lessons=1, earned=False)
    lesson_of("p1", lessons=1, earned=False)
    assert "1 photograph whose bird was then in the hand: too little to go by" in page()
    assert "Of no phone’s camera was enough learned" in page()
    rows.LearnedCamera.objects.all().delete()
    lesson_of("", lessons=90, earned=True, ageing=[0.2, 0.1, 0.53, 0.08, 0.04, 0.05])
    lesson_of("p1", 0.5, lessons=40, earned=True)
    lesson_of("p2", lessons=12, earned=False)
    assert "53 faded 12 as thought before" in page()
    assert "by 90 photographs whose bird was then in the hand" in page()
    assert "Of 1 of 2 phones the camera" in page()


def test_whoever_sets_the_colours_sees_how_checks_in_the_hand_say_that_each_colour_ages(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    def page() -> str:
        return plain(shown(signed_in("maren").get("/settings/colours/")))

    assert "What checks in the hand say" not in page()
    bands = {
        name: list(rows.Band.objects.filter(to_on__isnull=True, colour__name=name)[:3])
        for name in ("yellow", "green")
    }
    assert all(bands.values())
    now = timezone.now()
    fact = {"recorded_by_id": garden.actors.tilda, "happened_at": now, "in_hand": True}
    for name, worn in bands.items():
        for band in worn:
            rows.BandCheck.objects.create(
                band=band, condition="faded" if name == "yellow" else "good", **fact
            )
    faded, whole = len(bands["yellow"]), len(bands["yellow"]) + len(bands["green"])
    told = page()
    assert re.search(rf"\d\d yellow {faded} of {faded} bands? called faded", told)
    assert f"By {whole} bands as last found in the hand" in told
    assert "41 as thought before" in told
    answer = signed_in("maren").get("/api/v1/settings/colours").json()["checked"]
    assert answer["checked"] == whole
    assert answer["colours"][0]["colour"] == "yellow"
    assert answer["colours"][0]["now"] > answer["rest"] > 0.3


def test_whoever_leads_sees_ready_or_not_yet_by_name_and_no_number(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    for name, ready in (("tilda", False), ("oswin", True)):
        person = rows.Person.objects.get(pk=getattr(garden.actors, name))
        person.shares_practice = True
        person.save()
        rows.SharedPractice.objects.create(
            person=person, exhibit_id=garden.shingle, lookalike="avocet", ready=ready
        )
    address = f"/exhibits/{garden.shingle}/ready/"
    page = re.sub(r"<[^>]+>|\s+", " ", shown(signed_in("maren").get(address)))
    page = re.sub(r" +", " ", page)
    assert "Oswin Ready: avocet." in page
    assert "Tilda Not yet: avocet." in page
    assert page.index("Oswin") < page.index("Tilda"), "by name, not by merit"
    assert "Maren Nothing shared." in page
    assert signed_in("tilda").get(address).status_code == 403
