"""Where on a bird a band can sit. Left and right are always the bird's own."""

from __future__ import annotations

from typing import Final

LEFT_TIBIA: Final = "left tibia"
LEFT_LEG: Final = "left leg"
LEFT_WING: Final = "left wing"
RIGHT_TIBIA: Final = "right tibia"
RIGHT_LEG: Final = "right leg"
RIGHT_WING: Final = "right wing"

SITES: Final = (LEFT_TIBIA, LEFT_LEG, LEFT_WING, RIGHT_TIBIA, RIGHT_LEG, RIGHT_WING)
"""Every site, in the order in which marks are written: left before right, from the body outward."""

_MIRROR: Final = {site: site.replace("left", "right") for site in SITES if site.startswith("left")}
MIRROR: Final = _MIRROR | {right: left for left, right in _MIRROR.items()}
"""The site of the other side: what is read when left and right are mixed up."""
