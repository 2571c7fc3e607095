"""What writes the deeds of photographs and of practice."""

from __future__ import annotations

from typing import Final

from tarsus.actions.hearing.bound import Bound, Values, Wrote, fact
from tarsus.actions.photographs import keep_photograph, remove_photograph
from tarsus.actions.practice import set_sharing, share_practice
from tarsus.actions.telling import Told


def _sharing(told: Told, values: Values) -> Wrote:
    holds = set_sharing(by=told.by, on=bool(values["on"]), at=told.happened_at)
    return Wrote(said=() if holds else ("you chose otherwise later, and that stands",))


def _shared(told: Told, values: Values) -> Wrote:
    kept = share_practice(
        by=told.by,
        exhibit_id=values["exhibit"],
        lookalike=values["lookalike"],
        ready=bool(values["ready"]),
        answers=[(one["read"], one["worn"]) for one in values["answers"]],
        at=told.happened_at,
    )
    return Wrote(said=() if kept else ("not kept: you do not share your practice",))


EYES: Final[dict[str, Bound]] = {
    "photograph": fact("photograph", keep_photograph),
    "photograph_removed": fact("photograph_removed", remove_photograph, photograph="photograph_id"),
    "practice_sharing": Bound(_sharing, action=set_sharing),
    "practice_shared": Bound(_shared, action=share_practice),
}
