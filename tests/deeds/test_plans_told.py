"""The plan of an exhibit through the door: what is kept of it, and what is refused in which words."""

from __future__ import annotations

from base64 import b64decode, b64encode
from io import BytesIO
from typing import Any

import pytest
from django.utils import timezone
from PIL import Image

from deeds.test_door import Teller, says
from tarsus.core.presence.search_walk import Pin
from tarsus.paper.plan_picture import LARGEST
from tarsus.queries.exhibit_plan import plan_of, plans_there
from tarsus.queries.pack import pack_of
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]

ORIENTATION, GPS, MAKER = 0x0112, 0x8825, 0x010F


def picture(width: int = 60, height: int = 40, kind: str = "JPEG", **more: Any) -> str:
    """A picture in base64, dark on its left and light on its right."""
    image = Image.new("RGB", (width, height), "white")
    image.paste("black", (0, 0, width // 2, height))
    out = BytesIO()
    image.save(out, kind, **more)
    return b64encode(out.getvalue()).decode()


def pins(park: Wendlebrook) -> list[dict[str, Any]]:
    return [
        {"place": park.north_spit, "x": 0.25, "y": 0.1, "minutes": 5},
        {"place": park.south_pool, "x": 0.5, "y": 0.75},
    ]


def test_the_last_plan_stands_and_the_one_before_stays(says: Teller, park: Wendlebrook) -> None:
    assert plan_of(park.shingle) is None
    says.done("maren", "exhibit_plan_set", exhibit=park.shingle, width_m=20, pins=pins(park))
    wall = {"what": "wall", "points": "0,0 1,0 0.33333,1"}
    told = {"width_m": 32.5, "tall": 1.5, "metres_a_minute": 50, "entrance_x": 0.0, "entrance_y": 1.0}
    says.done("dunstan", "exhibit_plan_set", exhibit=park.shingle, **told, pins=pins(park), shapes=[wall])
    plan = plan_of(park.shingle)
    assert plan is not None
    assert plan.pins == (Pin(park.north_spit, 0.25, 0.1, 5.0), Pin(park.south_pool, 0.5, 0.75, 3.0))
    ground = (plan.ground.width_m, plan.ground.tall, plan.ground.metres_a_minute, plan.ground.entrance)
    assert ground == (32.5, 1.5, 50, (0.0, 1.0))
    assert plan.shapes == ({"what": "wall", "points": "0,0 1,0 0.333,1"},)
    assert (plan.set_by, plan.picture, plans_there()) == ("Dunstan", "", {park.shingle})
    assert [one.width_m for one in rows.ExhibitPlan.objects.order_by("recorded_at")] == [20, 32.5]


def test_a_closed_place_has_no_pin_any_more(says: Teller, park: Wendlebrook) -> None:
    says.done("maren", "exhibit_plan_set", exhibit=park.shingle, width_m=20, pins=pins(park))
    rows.Place.objects.filter(pk=park.north_spit).update(closed_on=timezone.localdate())
    plan = plan_of(park.shingle)
    assert plan is not None
    assert [pin.place for pin in plan.pins] == [park.south_pool]


def test_a_photograph_is_made_anew_upright_and_without_what_it_says_beside(
    says: Teller, park: Wendlebrook
) -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = 6  # held upright: the camera's left edge is the top
    exif[MAKER] = "Somebody's phone"
    exif.get_ifd(GPS)[1] = "N"
    sent = picture(exif=exif)
    says.done(
        "maren", "exhibit_plan_set", exhibit=park.shingle, width_m=20, tall=3, picture=sent, pins=pins(park)
    )
    plan = plan_of(park.shingle)
    assert plan is not None
    contents = b64decode(plan.picture)
    with Image.open(BytesIO(contents)) as kept:
        assert (kept.format, kept.size) == ("JPEG", (40, 60)), "turned upright"
        assert not kept.getexif()
        top, bottom = kept.convert("L").getpixel((20, 5)), kept.convert("L").getpixel((20, 55))
    assert (top, bottom) == (pytest.approx(0, abs=8), pytest.approx(255, abs=8))
    assert b"Somebody" not in contents
    assert plan.ground.tall == pytest.approx(1.5), "a picture has its own height"
    # The ledger holds nothing of the picture as it came, where it was taken least of all.
    told = rows.ToldDeed.objects.get(kind="exhibit_plan_set")
    assert "picture" not in told.contents
    assert sent not in str(told.contents)


def test_the_picture_goes_on_with_new_pins_only_where_that_is_said(says: Teller, park: Wendlebrook) -> None:
    told = {"exhibit": park.shingle, "width_m": 20, "pins": pins(park)}
    says.done("maren", "exhibit_plan_set", **told, picture=picture(kind="PNG"))
    says.done("maren", "exhibit_plan_set", **told, same_picture=True)
    plan = plan_of(park.shingle)
    assert plan is not None
    assert plan.picture
    assert len(plan.pins) == 2
    assert rows.PlanPicture.objects.count() == 1
    says.done("maren", "exhibit_plan_set", **told)
    bare = plan_of(park.shingle)
    assert bare is not None
    assert bare.picture == ""


def test_a_picture_of_noise_is_small_enough_for_a_phone(says: Teller, park: Wendlebrook) -> None:
    noise = Image.effect_noise((1600, 1200), 120).convert("RGB")
    out = BytesIO()
    noise.save(out, "JPEG", quality=95)
    assert len(out.getvalue()) > 5 * LARGEST
    sent = b64encode(out.getvalue()).decode()
    says.done("maren", "exhibit_plan_set", exhibit=park.shingle, width_m=20, picture=sent, pins=pins(park))
    assert len(b64decode(rows.PlanPicture.objects.get().jpeg)) <= LARGEST


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ({"entrance_x": 0.5}, "entrance_x: one half of the entrance is missing; give both, or neither"),
        ({"picture": "%%"}, "picture: is no base64; send the picture's bytes in base64"),
        (
            {"picture": b64encode(b"<svg onload='alert(1)'/>").decode()},
            "picture: is no PNG or JPEG picture; photograph the exhibit or save it as one",
        ),
        (
            {"picture": picture(kind="GIF")},
            "picture: is no PNG or JPEG picture; photograph the exhibit or save it as one",
        ),
        (
            {"picture": picture(kind="PNG")[:120]},
            "picture: is a damaged picture; photograph or save it anew",
        ),
        (
            {"picture": picture(9000, 6000, "PNG")},
            "picture: has 54 megapixels; make it smaller than 50",
        ),
        (
            {"picture": picture(600, 60)},
            "picture: is more than five times as long as it is wide; cut it to the exhibit",
        ),
        (
            {"shapes": [{"what": "wall", "points": "0,0"}]},
            "shapes[0].points: has 1 points; draw 2 to 150",
        ),
        (
            {"shapes": [{"what": "wall", "points": "0,0 1,1.5"}]},
            "shapes[0].points: '1,1.5' is no point of the plan; write x,y with both from 0 to 1",
        ),
        (
            {"shapes": [{"what": "water", "points": "0,0 1,1"}] * 61},
            "shapes: has 61 drawn things; draw at most 60",
        ),
        ({"shapes": [{"what": "lava", "points": "0,0 1,1"}]}, "shapes[0].what: 'lava' is no"),
        ({"pins": []}, "pins: is empty; name at least one"),
        ({"width_m": 0}, "width_m: 0 is out of range"),
        ({"pins": [{"place": 1, "x": 1.2, "y": 0}]}, "pins[0].x: 1.2 is out of range"),
    ],
)
def test_what_is_no_plan_is_refused(
    says: Teller, park: Wendlebrook, said: dict[str, Any], reason: str
) -> None:
    refused = says.tell(
        "maren", "exhibit_plan_set", **{"exhibit": park.shingle, "width_m": 20, "pins": pins(park), **said}
    )
    assert refused.reason.startswith(reason), refused.reason
    assert not rows.ExhibitPlan.objects.exists()
    assert not rows.PlanPicture.objects.exists()


def test_a_pin_is_of_this_exhibit_and_pins_a_place_once(says: Teller, park: Wendlebrook) -> None:
    told = {"exhibit": park.shingle, "width_m": 20}
    elsewhere = {"place": park.reed_perch, "x": 0.5, "y": 0.5}
    refused = says.tell("maren", "exhibit_plan_set", **told, pins=[*pins(park), elsewhere])
    assert refused.reason.startswith("pins[2].place: ")
    twice = [*pins(park), pins(park)[0]]
    refused = says.tell("maren", "exhibit_plan_set", **told, pins=twice)
    assert refused.reason == "pins[2].place: north spit has two pins; keep one of them"
    assert not rows.PlanPin.objects.exists()


def test_the_pack_carries_the_plan_and_changes_with_it(says: Teller, park: Wendlebrook) -> None:
    before = pack_of(park.shingle, park.actors.tilda, timezone.now())
    assert before.document["plan"] is None
    says.done("maren", "exhibit_plan_set", exhibit=park.shingle, width_m=20, pins=pins(park))
    after = pack_of(park.shingle, park.actors.tilda, timezone.now())
    assert after.document["plan"] == {
        "width_m": 20.0,
        "tall": 1.0,
        "metres_a_minute": 40.0,
        "entrance": None,
        "shapes": [],
        "picture": "",
        "pins": [
            {"place": park.north_spit, "x": 0.25, "y": 0.1, "minutes": 5.0},
            {"place": park.south_pool, "x": 0.5, "y": 0.75, "minutes": 3.0},
        ],
    }
    assert before.version != after.version
