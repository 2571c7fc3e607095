"""A bird's record is put right by a later record; what stood before can still be told."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

from django.test import Client

from pages import shown
from tarsus.queries.marks import marks_on
from tarsus.records import models as rows
from wendlebrook import BEGUN, Wendlebrook

Browser = Callable[[str], Client]


def tell(client: Client, deed: str, said: dict[str, Any], *, follow: bool = False, **named: Any) -> Any:
    """Send the form of a deed, opened from a line that names some of its fields."""
    sent = {"deed_id": str(uuid4()), **{key: str(value) for key, value in named.items()}, **said}
    return client.post(f"/deeds/{deed}/?{urlencode(named)}", sent, follow=follow)


def test_a_lost_band_is_taken_off_and_a_new_one_fitted(garden: Wendlebrook, signed_in: Browser) -> None:
    client, bird = signed_in("maren"), garden["Thrift"]
    white = rows.Band.objects.get(bird=bird, colour__name="white")
    off = {"deed_id": str(uuid4()), "at": "2026-06-02", "why": "lost", "note": "seen without it twice"}
    assert tell(client, "band_off", off, band=white.pk).status_code == 302
    on = {
        "deed_id": str(uuid4()),
        "site": "right tibia",
        "what": "colour",
        "colour": "pale blue",
        "at": "2026-06-10",
    }
    assert tell(client, "band_on", on, bird=bird).status_code == 302
    assert tell(client, "band_on", on, bird=bird).status_code == 302, "sent twice is written once"
    assert marks_on(bird, date(2026, 6, 1)).at("right tibia") == ("red", "white")
    assert marks_on(bird, date(2026, 6, 5)).at("right tibia") == ("red",)
    assert marks_on(bird, date(2026, 6, 11)).at("right tibia") == ("red", "pale blue")


def test_a_warning_is_said_and_nothing_is_refused_because_of_a_rule(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client, bird = signed_in("corin"), garden["Samphire"]
    second_metal = {"site": "left tibia", "what": "metal", "engraving": "WB 99001", "at": "2026-06-10"}
    answer = tell(client, "band_on", second_metal, follow=True, bird=bird)
    assert answer.status_code == 200
    assert "two metal bands" in shown(answer).lower()
    assert marks_on(bird, date(2026, 6, 11)).at("left tibia") == ("metal", "metal")


def test_a_metal_number_is_never_used_again(garden: Wendlebrook, signed_in: Browser) -> None:
    taken = {"site": "left leg", "what": "metal", "engraving": "wb20418", "at": "2026-06-10"}
    answer = tell(signed_in("maren"), "band_on", taken, bird=garden["Dock"])
    assert answer.status_code == 422
    said = shown(answer)
    assert "b20418 is Kelp&#x27;s" in said
    assert '<a href="#id_engraving">Engraving</a>' in said, "the summary leads to the field"
    assert 'value="wb20418"' in said


def test_a_bird_moves_and_its_old_home_stays_in_the_record(garden: Wendlebrook, signed_in: Browser) -> None:
    client, bird = signed_in("maren"), garden["Dock"]
    sent = {"came": [str(bird)], "to_exhibit": str(garden.reed), "at": "2026-06-11", "because": "a mate"}
    assert tell(client, "moved", sent).status_code == 302
    stays = (
        rows.Stay.objects.filter(bird=bird).order_by("from_on").values_list("exhibit_id", "from_on", "to_on")
    )
    assert list(stays) == [
        (garden.shingle, BEGUN, date(2026, 6, 11)),
        (garden.reed, date(2026, 6, 11), None),
    ]
    assert "Came to live in Reed House: a mate." in shown(client.get(f"/birds/{bird}/"))


def test_a_sex_that_became_known_waits_for_the_next_handling(garden: Wendlebrook, signed_in: Browser) -> None:
    client, bird = signed_in("maren"), garden["Dock"]
    before = marks_on(bird, date(2026, 6, 12))
    sent = {"sex": "M", "known_by": "DNA", "at": "2026-06-11"}
    assert tell(client, "sex_finding", sent, bird=bird).status_code == 302
    page = shown(client.get(f"/birds/{bird}/"))
    assert "<dt>male</dt><dd>DNA, 11 Jun 2026</dd>" in page
    assert marks_on(bird, date(2026, 6, 12)) == before


def test_a_keeper_says_seen_and_the_record_says_by_whom_and_how(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client, bird, deed = signed_in("tilda"), garden["Marram"], str(uuid4())
    for _ in range(2):
        sent = {"deed_id": deed, "place": str(garden.south_pool), "how": "by sight"}
        answer = tell(client, "sighting", sent, follow=True, bird=bird, exhibit=garden.shingle)
    assert "Seen by sight in Shingle Aviary, south pool." in shown(answer)
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


def test_what_is_not_ones_own_to_do_is_neither_offered_nor_opened(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    bird = garden["Thrift"]
    for login in ("tilda", "pia", "ilse"):
        client = signed_in(login)
        assert client.get(f"/deeds/band_on/?bird={bird}").status_code == 403
        assert "/deeds/band_on/" not in shown(client.get(f"/birds/{bird}/"))
    assert "/deeds/weighed/" in shown(signed_in("tilda").get(f"/birds/{bird}/"))
    assert tell(signed_in("pia"), "sighting", {}, bird=bird).status_code == 403
