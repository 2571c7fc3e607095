"""What writes the deeds under the vet."""

from __future__ import annotations

from typing import Final

from tarsus.actions.care.treatment import (
    end_treatment,
    instruct,
    order_treatment,
    recheck_treatment,
    record_body_condition,
)
from tarsus.actions.hearing.bound import Bound, fact

TREATMENT: Final[dict[str, Bound]] = {
    "instruction": fact("instruction", instruct),
    "body_condition": fact("body_condition", record_body_condition),
    "treatment": fact("treatment", order_treatment),
    "treatment_rechecked": fact("treatment_rechecked", recheck_treatment),
    "treatment_ended": fact("treatment_ended", end_treatment),
}
