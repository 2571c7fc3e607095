"""The plan of an exhibit: drawn or photographed once, its places pinned."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import Any

from django.db import transaction

from tarsus.actions.known import known_exhibit
from tarsus.actions.pictures import picture_of
from tarsus.actions.refusals import Unknown
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.core.presence.outline import MOST_SHAPES, parse_points
from tarsus.records.models import ExhibitPlan, Place, PlanPicture, PlanPin


@transaction.atomic
def set_plan(
    *,
    told: Told,
    exhibit_id: int,
    width_m: float,
    tall: float,
    metres_a_minute: float,
    entrance_x: float | None = None,
    entrance_y: float | None = None,
    pins: Sequence[Mapping[str, Any]] = (),
    shapes: Sequence[Mapping[str, Any]] = (),
    picture: str = "",
    same_picture: bool = False,
) -> bool:
    """Write down the plan of an exhibit; it takes the place of the one before, which stays readable.

    Args:
        told: who tells it.
        exhibit_id: whose plan.
        width_m: how many metres the plan is wide.
        tall: its height over its width; a picture has its own.
        metres_a_minute: how fast one walks there while looking.
        entrance_x: where a walk begins, in shares of the width.
        entrance_y: and of the height; both or neither.
        pins: places of this exhibit with where they are and how many minutes they take.
        shapes: what is drawn.
        picture: a PNG or JPEG in base64; it is made anew, without metadata.
        same_picture: the picture of the plan before goes on.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such exhibit.
        WrongValue: a pin that is no place of this exhibit or stands twice, half an entrance, too many shapes
            or odd points, or what is no picture.
    """
    known_exhibit(exhibit_id)
    if (entrance_x is None) != (entrance_y is None):
        raise WrongValue("entrance_x", "one half of the entrance is missing; give both, or neither")
    _refuse_pins(exhibit_id, pins)
    drawn = _drawn(shapes)
    kept = _picture(exhibit_id, picture, same_picture)
    height = round(kept.height / kept.width, 4) if kept else tall
    if not 0.2 <= height <= 5:
        raise WrongValue("picture", "is more than five times as long as it is wide; cut it to the exhibit")
    columns = {
        "exhibit_id": exhibit_id,
        "width_m": width_m,
        "tall": height,
        "metres_a_minute": metres_a_minute,
        "entrance_x": entrance_x,
        "entrance_y": entrance_y,
        "shapes": drawn,
        "picture_id": kept.pk if kept else None,
    }
    if not write_once(ExhibitPlan, told, columns, beside={"pins": list(pins)}):
        return False
    PlanPin.objects.bulk_create(
        PlanPin(plan_id=told.id, place_id=one["place"], x=one["x"], y=one["y"], minutes=one["minutes"])
        for one in pins
    )
    return True


def _refuse_pins(exhibit_id: int, pins: Sequence[Mapping[str, Any]]) -> None:
    """Refuse pins that are no place of the exhibit, or pin a place twice."""
    here = dict(Place.objects.filter(exhibit_id=exhibit_id).values_list("pk", "name"))
    pinned: set[int] = set()
    for number, pin in enumerate(pins):
        place = pin["place"]
        if place not in here:
            raise Unknown(f"pins[{number}].place", "place of this exhibit", place)
        if place in pinned:
            raise WrongValue(f"pins[{number}].place", f"{here[place]} has two pins; keep one of them")
        pinned.add(place)


def _drawn(shapes: Sequence[Mapping[str, Any]]) -> list[dict[str, str]]:
    if len(shapes) > MOST_SHAPES:
        raise WrongValue("shapes", f"has {len(shapes)} drawn things; draw at most {MOST_SHAPES}")
    return [
        {"what": one["what"], "points": parse_points(one["points"], f"shapes[{number}].points")}
        for number, one in enumerate(shapes)
    ]


def _picture(exhibit_id: int, sent: str, same: bool) -> PlanPicture | None:
    if not sent:
        before = (
            ExhibitPlan.objects.filter(exhibit_id=exhibit_id).order_by("-recorded_at", "-pk").first()
            if same
            else None
        )
        return before.picture if before else None
    made = picture_of(sent, "photograph the exhibit or save it as one")
    columns = {"jpeg": b64encode(made.jpeg).decode(), "width": made.width, "height": made.height}
    row, _ = PlanPicture.objects.get_or_create(digest=sha256(made.jpeg).hexdigest(), defaults=columns)
    return row
