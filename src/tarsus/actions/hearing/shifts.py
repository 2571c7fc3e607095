"""What writes the deeds between shifts."""

from __future__ import annotations

from typing import Final

from tarsus.actions.hearing.bound import Bound, Values, Wrote, fact
from tarsus.actions.shifts import leave_note, refuse_unseen
from tarsus.actions.telling import Told


def _seen(_told: Told, values: Values) -> Wrote:
    refuse_unseen(until=values["until"])
    return Wrote()


SHIFTS: Final[dict[str, Bound]] = {
    "shift_note": fact("shift_note", leave_note),
    "today_seen": Bound(_seen, action=refuse_unseen),
}
