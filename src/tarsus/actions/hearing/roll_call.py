"""What writes the deeds of the roll call."""

from __future__ import annotations

from typing import Final

from tarsus.actions.bands.checks import record_band_found
from tarsus.actions.care.cases import write_note
from tarsus.actions.hearing.bound import Bound, Values, Wrote, fact
from tarsus.actions.hearing.taking_back import close_case_of_concern
from tarsus.actions.roll_call.rounds import (
    close_round,
    give_round_up,
    record_count,
    record_group,
    start_round,
)
from tarsus.actions.roll_call.sightings import WhatTheModelSaid, record_concern, record_sighting
from tarsus.actions.telling import Told


def _sighting(told: Told, values: Values) -> Wrote:
    said = WhatTheModelSaid(
        candidates=tuple((one["bird"], one["chance"]) for one in values["candidates"]),
        none_of_these=values["none_of_these"],
    )
    return Wrote(
        record_sighting(
            told=told,
            exhibit_id=values["exhibit"],
            how=values["how"] or None,
            bird_id=values["bird"],
            reading=values["reading"],
            said=said,
            lookalike=values["lookalike"],
            round_id=values["round"],
            group=values["group"],
            position=values["position"],
            place_id=values["place"],
        )
    )


ROLL_CALL: Final[dict[str, Bound]] = {
    "round_started": fact("round_started", start_round),
    "round_closed": fact("round_closed", close_round),
    "round_not_done": fact("round_not_done", give_round_up),
    "count": fact("count", record_count),
    "group": fact("group", record_group),
    "sighting": Bound(_sighting, action=record_sighting),
    "concern": fact("concern", record_concern, take_back=close_case_of_concern),
    "band_found": fact("band_found", record_band_found, what="kind"),
    "note": fact("note", write_note),
}
