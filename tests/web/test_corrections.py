"""A bird's record is put right by a later record; what stood before can still be told."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from uuid import uuid4

from django.test import Client

from tarsus.queries.marks import marks_on
from tarsus.records import models as rows
from wendlebrook import BEGUN, Wendlebrook

Browser = Callable[[str], Client]


def test_a_lost_band_is_taken_off_and_a_new_one_fitted(garden: Wendlebrook, signed_in: Browser) -> None:
    client, bird = signed_in("maren"), garden["Thrift"]
    white = rows.Band.objects.get(bird=bird, colour__name="white")
    off = {"on": "2026-06-02", "why": "lost", "note": "seen without it twice"}
    assert client.post(f"/birds/{bird}/bands/{white.pk}/off/", off).status_code == 302
    on = {
        "deed": str(uuid4()),
        "site": "right tibia",
        "kind": "colour",
        "colour": "pale blue",
        "on": "2026-06-10",
    }
    assert client.post(f"/birds/{bird}/bands/new/", on).status_code == 302
    assert client.post(f"/birds/{bird}/bands/new/", on).status_code == 302, "sent twice is written once"
    assert marks_on(bird, date(2026, 6, 1)).at("right tibia") == ("red", "white")
    assert marks_on(bird, date(2026, 6, 5)).at("right tibia") == ("red",)
    assert marks_on(bird, date(2026, 6, 11)).at("right tibia") == ("red", "pale blue")


def test_a_warning_is_said_and_nothing_is_refused_because_of_a_rule(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client, bird = signed_in("corin"), garden["Samphire"]
    second_metal = {
        "deed": str(uuid4()),
        "site": "left tibia",
        "kind": "metal",
        "engraving": "WB 99001",
        "on": "2026-06-10",
    }
    answer = client.post(f"/birds/{bird}/bands/new/", second_metal, follow=True)
    assert answer.status_code == 200
    assert "two metal bands" in answer.content.decode().lower()
    assert marks_on(bird, date(2026, 6, 11)).at("left tibia") == ("metal", "metal")


def test_a_metal_number_is_never_used_again(garden: Wendlebrook, signed_in: Browser) -> None:
    taken = {
        "deed": str(uuid4()),
        "site": "left leg",
        "kind": "metal",
        "engraving": "wb20418",
        "on": "2026-06-10",
    }
    answer = signed_in("maren").post(f"/birds/{garden['Dock']}/bands/new/", taken)
    assert answer.status_code == 422
    assert "never used again" in answer.content.decode()
    assert 'value="wb20418"' in answer.content.decode()


def test_a_band_of_another_bird_is_not_taken_off_here(garden: Wendlebrook, signed_in: Browser) -> None:
    address = f"/birds/{garden['Dock']}/bands/{garden.metals['Samphire']}/off/"
    assert signed_in("maren").post(address, {"on": "2026-06-02", "why": "lost"}).status_code == 404


def test_a_bird_moves_and_its_old_home_stays_in_the_record(garden: Wendlebrook, signed_in: Browser) -> None:
    client, bird = signed_in("maren"), garden["Dock"]
    sent = {"deed": str(uuid4()), "to_exhibit": str(garden.reed), "on": "2026-06-11", "because": "a mate"}
    assert client.post(f"/birds/{bird}/move/", sent).status_code == 302
    stays = (
        rows.Stay.objects.filter(bird=bird).order_by("from_on").values_list("exhibit_id", "from_on", "to_on")
    )
    assert list(stays) == [
        (garden.shingle, BEGUN, date(2026, 6, 11)),
        (garden.reed, date(2026, 6, 11), None),
    ]
    assert "Came to live in Reed House: a mate." in client.get(f"/birds/{bird}/").content.decode()


def test_a_sex_that_became_known_waits_for_the_next_handling(garden: Wendlebrook, signed_in: Browser) -> None:
    client, bird = signed_in("maren"), garden["Dock"]
    before = marks_on(bird, date(2026, 6, 12))
    sent = {"deed": str(uuid4()), "sex": "M", "known_by": "DNA", "on": "2026-06-11"}
    assert client.post(f"/birds/{bird}/sex/", sent).status_code == 302
    page = client.get(f"/birds/{bird}/").content.decode()
    assert "<dt>male</dt><dd>DNA, 11 Jun 2026</dd>" in page
    assert marks_on(bird, date(2026, 6, 12)) == before


def test_a_keeper_says_seen_and_the_record_says_by_whom_and_how(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client, bird, deed = signed_in("tilda"), garden["Marram"], str(uuid4())
    for _ in range(2):
        sent = {"deed": deed, "place": str(garden.south_pool)}
        answer = client.post(f"/birds/{bird}/seen/", sent, follow=True)
    assert "seen, nothing of concern noticed" in answer.content.decode()
    sighting = rows.Sighting.objects.get()
    assert (
        sighting.how,
        sighting.bird_id,
        sighting.recorded_by_id,
        sighting.place_id,
        sighting.round_id,
    ) == (
        "by sight",
        bird,
        garden.actors.tilda,
        garden.south_pool,
        None,
    )


def test_keepers_and_viewers_do_not_put_the_record_right(garden: Wendlebrook, signed_in: Browser) -> None:
    bird = garden["Thrift"]
    for login in ("tilda", "pia", "ilse"):
        client = signed_in(login)
        assert client.get(f"/birds/{bird}/bands/new/").status_code == 403
        assert "Put the record right" not in client.get(f"/birds/{bird}/").content.decode()
    assert signed_in("pia").post(f"/birds/{bird}/seen/", {}).status_code == 403
