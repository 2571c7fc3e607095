"""The one table that binds every declared deed to what writes it."""

from __future__ import annotations

from typing import Final

from tarsus.actions.hearing.bands import BANDS
from tarsus.actions.hearing.bound import Bound, Values, Wrote
from tarsus.actions.hearing.care import CARE
from tarsus.actions.hearing.coming_going import COMING_GOING
from tarsus.actions.hearing.eyes import EYES
from tarsus.actions.hearing.identity import IDENTITY
from tarsus.actions.hearing.nests import MONTHS, NESTS
from tarsus.actions.hearing.roll_call import ROLL_CALL
from tarsus.actions.hearing.settings import SETTINGS
from tarsus.actions.hearing.shifts import SHIFTS
from tarsus.actions.hearing.signing_in import SIGNING_IN
from tarsus.actions.hearing.taking_back import earlier_deed, withdraw
from tarsus.actions.hearing.treatment import TREATMENT
from tarsus.actions.telling import Told
from tarsus.core.deeds.register import DEEDS


def _withdrawn(told: Told, values: Values) -> Wrote:
    earlier = earlier_deed(values["corrects"])
    put_right = BOUND[earlier.kind].take_back if earlier.kind in BOUND else None
    return Wrote(
        withdraw(told=told, fact_id=values["corrects"], because=values["because"], put_right=put_right)
    )


BOUND: Final[dict[str, Bound]] = {
    "withdrawn": Bound(_withdrawn, action=withdraw),
    **ROLL_CALL,
    **COMING_GOING,
    **IDENTITY,
    **BANDS,
    **CARE,
    **TREATMENT,
    **NESTS,
    **MONTHS,
    **SHIFTS,
    **EYES,
    **SETTINGS,
    **SIGNING_IN,
}
if BOUND.keys() != DEEDS.keys():
    raise ImportError(f"deeds without a writer, or the other way: {sorted(BOUND.keys() ^ DEEDS.keys())}")
