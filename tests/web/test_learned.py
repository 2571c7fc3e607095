"""What checks say of a reader is shown to that person alone; the colours to retire to whoever sets them."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

from django.test import Client
from django.utils import timezone

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
    own = signed_in("tilda").get("/settings/eyes/learned/").content.decode()
    assert "weighed by what these checks say" in own
    assert "30 named by sight in the same group" in own
    assert "Only you see this page" in own
    # Beta(1/2 + 20, b + 10) with b small: some 49 to 83 in 100 by Bayes' rule.
    between = re.search(
        r"left and right swapped, a reading.*?between ([\d.]+) and ([\d.]+) by your checks", own, re.DOTALL
    )
    assert between is not None
    low, high = (float(one) for one in between.groups())
    assert 35 < low < 55
    assert 70 < high < 85
    other = signed_in("oswin").get("/settings/eyes/learned/").content.decode()
    assert "No reading of yours has been checked yet" in other
    assert "left and right swapped" not in other


def test_a_colour_that_is_often_misread_is_named_as_one_to_retire(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client = signed_in("maren")
    assert "To be retired" not in client.get("/settings/colours/").content.decode()
    checked(garden, garden.actors.tilda, FADED, 15)
    checked(garden, garden.actors.oswin, WORN, 25)
    learn_readers(timezone.now())
    text = client.get("/settings/colours/").content.decode()
    assert "To be retired" in text
    assert "most often orange" in text


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
    page = re.sub(r"<[^>]+>|\s+", " ", signed_in("maren").get(address).content.decode())
    page = re.sub(r" +", " ", page)
    assert "Oswin Ready: avocet." in page
    assert "Tilda Not yet: avocet." in page
    assert page.index("Oswin") < page.index("Tilda"), "by name, not by merit"
    assert "Maren Nothing shared." in page
    assert signed_in("tilda").get(address).status_code == 403
