"""What writes the deeds of care."""

from __future__ import annotations

from typing import Final

from tarsus.actions.care.cases import close_case, note_in_case, open_case, sign_reason
from tarsus.actions.care.catch_up import drop_catch_up, finish_catch_up, keep_catch_up, tell_not_handled
from tarsus.actions.care.handling import record_handling
from tarsus.actions.care.weighing import check_next_day, record_health_check, record_weighing
from tarsus.actions.forecast import note_forecast
from tarsus.actions.hearing.bound import Bound, Values, Wrote, fact, spell
from tarsus.actions.hearing.in_hand import write_handling
from tarsus.actions.hearing.taking_back import (
    close_mistaken_case,
    drop_mistaken_catch_up,
    go_on_with_catch_up,
    reopen_case,
    undo_handling,
)
from tarsus.actions.roll_call.transponders import record_perch_weight
from tarsus.actions.telling import Told


def _open_case(told: Told, values: Values) -> Wrote:
    case = open_case(about=values["about"], bird_ids=values["birds"], by=told.by, at=told.happened_at)
    return Wrote(rows={"case": case})


def _sign(told: Told, values: Values) -> Wrote:
    holds = sign_reason(
        ruled=values["ruled"],
        exhibit_id=values["exhibit"],
        for_day=values["for_day"],
        reason=values["reason"],
        by=told.by,
        bird_id=values["bird"],
    )
    said = "Signed by both: it holds." if holds else "It holds once the other of vet and lead has signed too."
    return Wrote(said=(said,))


def _keep_catch_up(told: Told, values: Values) -> Wrote:
    kept = keep_catch_up(
        exhibit_id=values["exhibit"],
        planned_for=values["planned_for"],
        chosen={one["bird"]: one["why"] for one in values["birds"]},
        limits=values["limits"] or {},
        by=told.by,
    )
    return Wrote(rows={"catch_up": kept})


CARE: Final[dict[str, Bound]] = {
    "handling": Bound(write_handling, undo_handling, action=record_handling),
    "weighed": fact("weighed", record_weighing, plain=True),
    "perch_weight": fact("perch_weight", record_perch_weight),
    "health_check": fact("health_check", record_health_check, plain=True),
    "next_day_check": fact("next_day_check", check_next_day),
    "case_opened": Bound(_open_case, close_mistaken_case, action=open_case),
    "case_note": fact("case_note", note_in_case),
    "case_closed": spell("case_closed", close_case, on="", deed=False, take_back=reopen_case),
    "reason_signed": Bound(_sign, action=sign_reason),
    "catch_up_kept": Bound(_keep_catch_up, drop_mistaken_catch_up, action=keep_catch_up),
    "catch_up_dropped": spell("catch_up_dropped", drop_catch_up, on="", deed=False),
    "not_handled": fact("not_handled", tell_not_handled),
    "catch_up_finished": spell(
        "catch_up_finished", finish_catch_up, on="", deed=False, take_back=go_on_with_catch_up
    ),
    "forecast": fact("forecast", note_forecast),
}
