"""Plans of exhibits with their pins."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from uuid import uuid4

from tarsus.actions.bulk.frozen import FrozenRows, frozen
from tarsus.core.deeds.plans import WALKED_A_MINUTE
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.plans import DRAWN_BY, PLANS
from tarsus.demo.prepared import PreparedPark


def plan_rows(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    """The plans of this park's exhibits."""
    drawn = [(uuid4(), one.name, PLANS[one.name]) for one in park.exhibits if one.name in PLANS]
    told = keys.told(keys.at_noon(park.today - timedelta(days=90)), DRAWN_BY)
    yield frozen(
        "exhibit_plan",
        [
            {
                "id": fact,
                "exhibit_id": keys.exhibits[name],
                "width_m": plan.width_m,
                "tall": plan.tall,
                "metres_a_minute": WALKED_A_MINUTE,
                "entrance_x": plan.entrance[0],
                "entrance_y": plan.entrance[1],
                "shapes": [{"what": what, "points": points} for what, points in plan.shapes],
                **told,
            }
            for fact, name, plan in drawn
        ],
    )
    yield frozen(
        "plan_pin",
        [
            {"plan_id": fact, "place_id": keys.places[name, place], "x": x, "y": y, "minutes": minutes}
            for fact, name, plan in drawn
            for place, (x, y, minutes) in plan.pins.items()
        ],
    )
