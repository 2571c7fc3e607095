"""What writes the deeds of the roll call."""

from __future__ import annotations

from typing import Final

from tarsus.actions.bands.checks import record_band_found
from tarsus.actions.care.cases import write_note
from tarsus.actions.hearing.bound import Bound, Values, Wrote, fact
from tarsus.actions.hearing.taking_back import close_case_of_concern
from tarsus.actions.roll_call.reports import answer_report, record_report
from tarsus.actions.roll_call.rounds import (
    close_round,
    give_round_up,
    record_count,
    record_group,
    reopen_round,
    start_round,
    tell_light,
)
from tarsus.actions.roll_call.set_aside import set_aside
from tarsus.actions.roll_call.sightings import WhatTheModelSaid, record_concern, record_sighting
from tarsus.actions.roll_call.transponders import record_transponder_read
from tarsus.actions.telling import Told


def _model(values: Values) -> WhatTheModelSaid:
    return WhatTheModelSaid(
        candidates=tuple((one["bird"], one["chance"]) for one in values["candidates"]),
        none_of_these=values["none_of_these"],
    )


def _sighting(told: Told, values: Values) -> Wrote:
    return Wrote(
        record_sighting(
            told=told,
            exhibit_id=values["exhibit"],
            how=values["how"] or None,
            bird_id=values["bird"],
            reading=values["reading"],
            said=_model(values),
            lookalike=values["lookalike"],
            round_id=values["round"],
            group=values["group"],
            position=values["position"],
            place_id=values["place"],
            photographed=values["photographed"],
        )
    )


def _report(told: Told, values: Values) -> Wrote:
    return Wrote(
        record_report(
            told=told,
            said=values["said"],
            bird_ids=values["birds"],
            exhibit_id=values["exhibit"],
            place_id=values["place"],
            told_by=values["told_by"],
            reading=values["reading"],
            model=_model(values),
        )
    )


ROLL_CALL: Final[dict[str, Bound]] = {
    "round_started": fact("round_started", start_round),
    "round_closed": fact("round_closed", close_round),
    "round_reopened": fact("round_reopened", reopen_round),
    "round_light": fact("round_light", tell_light, plain=True),
    "round_not_done": fact("round_not_done", give_round_up),
    "count": fact("count", record_count, plain=True),
    "group": fact("group", record_group, plain=True),
    "sighting": Bound(_sighting, action=record_sighting, plain=True),
    "report": Bound(_report, action=record_report),
    "report_answered": fact("report_answered", answer_report),
    "set_aside": fact("set_aside", set_aside),
    "concern": fact("concern", record_concern, take_back=close_case_of_concern),
    "band_found": fact("band_found", record_band_found, what="kind"),
    "transponder_read": fact("transponder_read", record_transponder_read),
    "note": fact("note", write_note),
}
