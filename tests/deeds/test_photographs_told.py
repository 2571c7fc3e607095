"""A photograph that comes with its sighting: made anew, bounded, and removed with a record."""

from __future__ import annotations

from base64 import b64decode, b64encode
from datetime import timedelta
from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from PIL import Image

from deeds.test_door import Teller, says
from tarsus.actions.photographs import clear_pictures
from tarsus.queries.bird_events import events_of
from tarsus.queries.days import park_today
from tarsus.queries.exports import tables_held
from tarsus.queries.photographs import jpeg_of, photographs_of
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]

TAPS = {"mean": 0.2, "metal": [128, 123, 104], "bands": [[118, 221, 254], [254, 150, 3]]}


def picture(width: int = 1600, height: int = 900) -> str:
    """A JPEG as a phone writes it, with the place and the maker in it and something behind its end."""
    drawn, out = Image.new("RGB", (width, height), "#7a8f5b"), BytesIO()
    exif = Image.Exif()
    exif[0x010F] = "Invented Cameras"
    exif.get_ifd(0x8825)[2] = (51.0, 30.0, 26.0)
    drawn.save(out, "JPEG", exif=exif, comment=b"by the pool")
    return b64encode(out.getvalue() + b"Invented Cameras").decode()


def sighted(says: Teller, park: Wendlebrook, **more: Any) -> str:
    sighting = str(uuid4())
    reading = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
    said = {"exhibit": park.shingle, "bird": park["Samphire"], "how": "by reading", "reading": reading}
    says.done("tilda", "sighting", id=sighting, **{"photographed": True, **said, **more})
    return sighting


def kept(says: Teller, park: Wendlebrook) -> str:
    photograph = str(uuid4())
    says.done(
        "tilda", "photograph", id=photograph, sighting=sighted(says, park), taps=TAPS, picture=picture()
    )
    return photograph


def test_a_picture_is_kept_small_and_says_nothing_of_place_or_maker(says: Teller, park: Wendlebrook) -> None:
    assert b"Invented Cameras" in b64decode(picture())
    photograph = rows.Photograph.objects.get(pk=kept(says, park))
    jpeg = jpeg_of(photograph.pk)
    assert jpeg is not None
    assert len(jpeg) <= 90_000
    with Image.open(BytesIO(jpeg)) as opened:
        assert opened.size == (photograph.width, photograph.height) == (1200, 675)
        assert not opened.getexif()
    for secret in (b"Invented Cameras", b"Exif", b"by the pool"):
        assert secret not in jpeg
    assert photograph.taps == TAPS
    (one,) = photographs_of(park["Samphire"])
    assert one.until == photograph.recorded_at + timedelta(days=90)
    assert photographs_of(park["Kelp"]) == ()
    viewer, address = Client(), f"/pictures/{photograph.pk}.jpg"
    assert viewer.get(address).status_code == 302, "nobody sees it who is not signed in"
    viewer.force_login(rows.Person.objects.get(pk=park.actors.pia))
    assert address in viewer.get(f"/birds/{park['Samphire']}/").content.decode()
    shown = viewer.get(address)
    assert (shown.content, shown["Content-Type"]) == (jpeg, "image/jpeg")
    assert "no-store" in shown["Cache-Control"]
    (ledger,) = rows.ToldDeed.objects.filter(kind="photograph").values_list("contents", flat=True)
    assert "picture" not in ledger
    exported = {one.name: list(one.rows) for one in tables_held(park_today())}
    assert b64decode(exported["photograph_bytes"][0][1]) == jpeg


def test_a_removed_picture_is_gone_and_who_removed_it_and_why_stays(says: Teller, park: Wendlebrook) -> None:
    photograph = kept(says, park)
    says.done("oswin", "photograph_removed", photograph=photograph, because="a visitor is in it")
    assert jpeg_of(rows.Photograph.objects.get().pk) is None
    assert not rows.PhotographBytes.objects.exists()
    (one,) = photographs_of(park["Samphire"])
    assert (one.gone_by, one.gone_because, one.until) == ("Oswin", "a visitor is in it", None)
    assert any("a visitor is in it" in event.text for event in events_of(park["Samphire"]))
    again = says.tell("oswin", "photograph_removed", photograph=photograph, because="twice")
    assert "is not kept here, or is gone already" in again.reason


def test_pictures_go_when_their_days_are_over_and_the_record_says_so(says: Teller, park: Wendlebrook) -> None:
    kept(says, park)
    now = timezone.now()
    assert clear_pictures(now + timedelta(days=89)) == 0
    assert clear_pictures(now + timedelta(days=91)) == 1
    assert clear_pictures(now + timedelta(days=92)) == 0
    (one,) = photographs_of(park["Samphire"])
    assert (one.gone_by, one.gone_because) == ("", "kept for 90 days, as the park chose")


def test_looking_for_pictures_whose_days_are_over_holds_nobody_up(says: Teller, park: Wendlebrook) -> None:
    kept(says, park)
    with CaptureQueriesContext(connection) as asked:
        assert clear_pictures(timezone.now()) == 0
    assert [one["sql"].split()[0] for one in asked.captured_queries] == ["SELECT", "SELECT"]


def test_where_the_park_keeps_no_pictures_what_was_tapped_is_kept_alone(
    says: Teller, park: Wendlebrook
) -> None:
    says.done("maren", "park_set", pictures_days=0)
    photograph = rows.Photograph.objects.get(pk=kept(says, park))
    assert (photograph.width, photograph.taps) == (None, TAPS)
    assert not rows.PhotographBytes.objects.exists()
    assert photographs_of(park["Samphire"]) == ()


def bomb() -> str:
    """A PNG of a few bytes that says it is 20,000 pixels wide and high."""
    small = BytesIO()
    Image.new("1", (1, 1)).save(small, "PNG")
    from zlib import crc32

    head = b"IHDR" + (20_000).to_bytes(4, "big") * 2 + small.getvalue()[24:29]
    whole = small.getvalue()
    return b64encode(whole[:12] + head + crc32(head).to_bytes(4, "big") + whole[33:]).decode()


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ({"picture": b64encode(b"<svg onload=alert(1)>").decode()}, "picture: is no PNG or JPEG picture"),
        ({"picture": "not base64!"}, "picture: is no base64"),
        ({"picture": bomb()}, "picture: has far more than 50 megapixels"),
        ({"picture": picture()[:400]}, "picture: is a damaged picture"),
        ({"taps": {"mean": 0.2, "bands": []}}, "taps.bands: has 0 bands; tap 1 to 12"),
        ({"taps": {"mean": 2, "bands": [[1, 2, 3]]}}, "taps.mean: 2 is out of range"),
        ({"taps": {"mean": 0.2, "bands": [[1, 2]]}}, "taps.bands[0]: is no colour"),
        ({"sighting": str(uuid4())}, "is known here; send it first"),
    ],
)
def test_a_hostile_photograph_is_a_sentence(
    says: Teller, park: Wendlebrook, said: dict[str, Any], reason: str
) -> None:
    sighting = sighted(says, park)
    whole = {"sighting": sighting, "taps": TAPS, "picture": picture(40, 30), **said}
    assert reason in says.tell("tilda", "photograph", **whole).reason
    assert not rows.Photograph.objects.exists()
    assert not rows.Waiting.objects.exists()


def test_only_what_was_read_in_a_photograph_has_one_and_a_withdrawn_sighting_shows_none(
    says: Teller, park: Wendlebrook
) -> None:
    by_eye = sighted(says, park, photographed=False)
    refused = says.tell("tilda", "photograph", sighting=by_eye, taps=TAPS, picture=picture(40, 30))
    assert "was not read in a photograph" in refused.reason
    photograph = kept(says, park)
    sighting = rows.Photograph.objects.get(pk=photograph).sighting_id
    says.done("tilda", "withdrawn", corrects=str(sighting), because="another bird")
    assert jpeg_of(rows.Photograph.objects.get(pk=photograph).pk) is None
    assert photographs_of(park["Samphire"]) == ()
