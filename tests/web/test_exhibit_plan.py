"""The plan of an exhibit on its pages: where the missing may be, in which order, and how a lead sets it."""

from __future__ import annotations

import io
import json
from base64 import b64decode
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone
from PIL import Image
from pypdf import PdfReader

from pages import shown
from phones import Shift
from tarsus.queries.exhibit_plan import plan_of, plan_page
from tarsus.queries.relief_brief import brief_of
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]


def body(answer: Any) -> str:
    return shown(answer)


@pytest.fixture
def planned(garden: Wendlebrook) -> Wendlebrook:
    """Shingle Aviary with a plan; Kelp was seen a week ago, twice at the pool and once on the spit, Sedge
    at the pool."""
    shift, now = Shift(garden), timezone.now()
    for days, place in ((9, garden.north_spit), (8, garden.south_pool), (7, garden.south_pool)):
        at = now - timedelta(days=days)
        told = {"exhibit": garden.shingle, "bird": garden["Kelp"], "how": "by sight", "place": place}
        shift.done("tilda", "sighting", at=at, **told)
    told = {"exhibit": garden.shingle, "how": "by sight", "place": garden.south_pool}
    shift.done("tilda", "sighting", at=now - timedelta(days=6), bird=garden["Sedge"], **told)
    pins = [
        {"place": garden.north_spit, "x": 0.5, "y": 0.0, "minutes": 5},
        {"place": garden.south_pool, "x": 0.5, "y": 1.0, "minutes": 2},
    ]
    told = {"width_m": 40, "tall": 2, "entrance_x": 0.5, "entrance_y": 0.5, "pins": pins}
    shift.done("maren", "exhibit_plan_set", exhibit=garden.shingle, **told)
    return garden


def test_the_walk_goes_where_most_is_found_a_minute(planned: Wendlebrook) -> None:
    page = plan_page(planned.shingle, timezone.now(), planned["Kelp"])
    assert page is not None
    told = [(one.n, one.name, one.minutes, one.by, one.likely) for one in page.search.steps]
    kelp = planned["Kelp"]
    # 40 m from the entrance to either pin at 40 m a minute, 80 m between them.
    assert told == [
        (1, "south pool", 3.0, 3.0, ((kelp, "Kelp", pytest.approx(2 / 3)),)),
        (2, "north spit", 7.0, 10.0, ((kelp, "Kelp", pytest.approx(1 / 3)),)),
    ]
    assert page.search.says == "10 minutes. Kelp is on this walk: > 99 %; elsewhere: < 1 %."
    everybody = plan_page(planned.shingle, timezone.now())
    assert everybody is not None
    assert {one.portrait.name for one in everybody.search.asked} == {"Kelp", "Sedge"}
    assert len(page.search.missing) == 2
    brief = brief_of(planned.shingle, timezone.now(), timezone.now() - timedelta(days=2))
    assert brief is not None
    assert brief.plan is not None
    assert [one.name for one in brief.plan.steps] == ["south pool", "north spit"]
    assert [(pin.name, pin.number) for pin in brief.plan.pins] == [("north spit", "2"), ("south pool", "1")]


def test_whoever_sees_the_exhibit_sees_its_plan_and_the_lead_alone_sets_it(
    planned: Wendlebrook, signed_in: Browser
) -> None:
    address = f"/exhibits/{planned.shingle}/plan/"
    pia = signed_in("pia")
    told = body(pia.get(f"{address}?bird={planned['Kelp']}"))
    assert told.index(">south pool<") < told.index(">north spit<")
    assert "Change the plan" not in told
    assert "exhibit-plan" in body(pia.get(f"/exhibits/{planned.shingle}/"))
    assert f"{address}?bird={planned['Kelp']}" in body(pia.get("/"))
    pdf = pia.get(f"/exhibits/{planned.shingle}/plan.pdf").content
    assert "south pool" in PdfReader(io.BytesIO(pdf)).pages[0].extract_text()
    assert pia.get(f"{address}edit/").status_code == 403
    assert signed_in("tilda").get(f"{address}edit/").status_code == 403
    assert "Change the plan" in body(signed_in("maren").get(address))
    assert pia.get(f"/exhibits/{planned.reed}/plan.pdf").status_code == 404
    for address in ("plan/", "plan.pdf"):
        assert pia.get(f"/exhibits/999999/{address}").status_code == 404, "no such exhibit"
    assert "No plan of Reed House is drawn yet" in body(pia.get(f"/exhibits/{planned.reed}/plan/"))


def picture(width: int, height: int) -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", (width, height), "white").save(out, "PNG")
    return SimpleUploadedFile("plan.png", out.getvalue(), "image/png")


def test_a_lead_sets_a_plan_on_its_page_and_the_picture_goes_on(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    maren, address = signed_in("maren"), f"/exhibits/{garden.shingle}/plan/edit/"
    said = {"width_m": "30", "metres_a_minute": "45", "tall": "1", "shapes": "[]"}
    refused = maren.post(address, {**said, f"x_{garden.north_spit}": "0.25"})
    assert refused.status_code == 422
    assert "No place has a pin yet" in body(refused)
    pin = {f"x_{garden.north_spit}": "0.25", f"y_{garden.north_spit}": "0.5"}
    odd = maren.post(address, {**said, **pin, "picture": SimpleUploadedFile("plan.png", b"no picture")})
    assert "no PNG or JPEG picture" in body(odd)
    assert not rows.ExhibitPlan.objects.exists()
    assert maren.post(address, {**said, **pin, "picture": picture(40, 60)}).status_code == 302
    shapes = json.dumps([{"what": "water", "points": "0,0 1,0 1,1"}])
    again = {**said, **pin, "shapes": shapes, f"minutes_{garden.north_spit}": "4"}
    assert maren.post(address, again).status_code == 302
    plan = plan_of(garden.shingle)
    assert plan is not None
    assert [(one.place, one.x, one.y, one.minutes) for one in plan.pins] == [
        (garden.north_spit, 0.25, 0.5, 4.0)
    ]
    assert plan.shapes == ({"what": "water", "points": "0,0 1,0 1,1"},)
    with Image.open(io.BytesIO(b64decode(plan.picture))) as kept:
        assert kept.size == (40, 60)
    assert maren.post(address, {**again, "without_picture": "on"}).status_code == 302
    bare = plan_of(garden.shingle)
    assert bare is not None
    assert bare.picture == ""
