"""The search plan of an exhibit, as the paper takes it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from tarsus.core.marks.marks import METAL
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.exhibit_plan import plan_on_paper, plan_page
from tarsus.queries.flock import flock_of
from tarsus.queries.park import colours_worn, park_face
from tarsus.queries.relief_brief import looked_for_on_paper


def plan_paper_of(exhibit_id: int, now: datetime) -> dict[str, Any] | None:
    """What `paper.exhibit_plan` sets, or `None` where there is no plan of this exhibit.

    Args:
        exhibit_id: which exhibit.
        now: the moment of asking.

    Raises:
        NoSuchExhibit: none has this id.
    """
    page = plan_page(exhibit_id, now)
    if page.plan is None:
        return None
    zone, face = park_zone(), park_face()
    day = day_of(now, zone)
    here = {bird.bird_id: bird for bird in flock_of(exhibit_id, day)}
    birds = tuple(looked_for_on_paper(one, here) for one in page.search.asked)
    return {
        "park": face.on_paper,
        "exhibit": page.exhibit,
        "day": f"{day:%A %-d %B %Y}",
        "printed": f"{now.astimezone(zone):%-d %B %Y, %H:%M}",
        "plan": plan_on_paper(page.plan, page.search),
        "birds": birds,
        "colours": colours_worn(face, (marks for bird in birds for marks in bird.marks)),
        "metal_letter": face.letters[METAL],
    }
