"""What writes the deeds of signing in."""

from __future__ import annotations

from typing import Final

from tarsus.actions.hearing.bound import Bound, Values, Wrote, spell
from tarsus.actions.settings.second_step import end_own_second_step, reset_second_step, set_second_step
from tarsus.actions.settings.sessions import end_own_sessions, end_sessions
from tarsus.actions.telling import Told


def _set_second_step(told: Told, values: Values) -> Wrote:
    return Wrote(shown_once=" ".join(set_second_step(by=told.by, **values)))


SIGNING_IN: Final[dict[str, Bound]] = {
    "second_step_set": Bound(_set_second_step, action=set_second_step),
    "second_step_off": spell("second_step_off", end_own_second_step, on="", deed=False),
    "second_step_reset": spell("second_step_reset", reset_second_step, on="", deed=False),
    "own_sessions_ended": spell("own_sessions_ended", end_own_sessions, on="", deed=False),
    "sessions_ended": spell("sessions_ended", end_sessions, on="", deed=False),
}
