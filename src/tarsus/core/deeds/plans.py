"""The deed that draws the plan of an exhibit and pins its places.

Decision 0045.
"""

from __future__ import annotations

from typing import Final

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import Field, Kind, choice, flag, line, number, of
from tarsus.core.deeds.rights import LEAD
from tarsus.core.presence.outline import LONGEST_POINTS, SHAPES

LOOKED_OVER_IN: Final = 3.0
"""Minutes to look a place over until the park says otherwise: common practice."""
WALKED_A_MINUTE: Final = 40.0
"""Metres a minute of somebody who walks slowly and looks, until the park says otherwise: common practice."""
LARGEST_PICTURE: Final = 12_000_000
"""Characters of a picture as it is sent, in base64: 9 MB."""


def _share(name: str, label: str, *, required: bool = False) -> Field:
    return number(name, label, 0, 1, required=required)


PLAN_SET: Final = Deed(
    "exhibit_plan_set",
    "The plan of an exhibit",
    (
        of(Kind.EXHIBIT, "Exhibit", required=True),
        number("width_m", "Width of the plan", 1, 2000, required=True, unit="m"),
        number("tall", "Its height over its width", 0.2, 5, initial=1.0),
        number("metres_a_minute", "Walking pace", 5, 120, unit="m a minute", initial=WALKED_A_MINUTE),
        _share("entrance_x", "Entrance, from the left"),
        _share("entrance_y", "Entrance, from the top"),
        Field(
            "pins",
            Kind.PARTS,
            "Pins",
            required=True,
            parts=(
                of(Kind.PLACE, "Place", required=True),
                _share("x", "From the left", required=True),
                _share("y", "From the top", required=True),
                number("minutes", "Minutes to look it over", 0.5, 120, initial=LOOKED_OVER_IN),
            ),
            column="-",
            on_form=False,
        ),
        Field(
            "shapes",
            Kind.PARTS,
            "Drawn",
            parts=(
                choice("what", "What it is", *SHAPES, required=True),
                line("points", "Its points", LONGEST_POINTS, required=True),
            ),
            on_form=False,
        ),
        Field(
            "picture",
            Kind.PICTURE,
            "Photograph or drawing",
            longest=LARGEST_PICTURE,
            column="-",
            on_form=False,
        ),
        flag("same_picture", "with the picture of the plan before", column="-", on_form=False),
    ),
    "The plan of {exhibit} was set, {width_m} wide[, {same_picture}].",
    (LEAD,),
    table="exhibitplan",
    final="set it as it should be; what it was stays readable",
    when="",
    page="exhibit-plan",
)
