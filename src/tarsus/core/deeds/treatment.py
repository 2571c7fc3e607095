"""Deeds under the vet: what keepers are to do, body condition, treatments and their rechecks."""

from __future__ import annotations

from typing import Final

from tarsus.core.care import cautions
from tarsus.core.deeds.deed import LONGEST_REASON, Deed
from tarsus.core.deeds.fields import Field, Kind, flag, line, of, whole
from tarsus.core.deeds.rights import KEEPER, RECORDS, VET

_BIRD: Final = of(Kind.BIRD, "Bird", required=True)
_TREATMENT: Final = Field("treatment", Kind.TREATMENT, "Treatment", required=True)
LONGEST_SCALE: Final = 9
"""The top of the longest scale of body condition that is in use: 1 to 9. Common practice; 5 is usual."""

TREATMENT: Final = (
    Deed(
        "instruction",
        "Tell the keepers what to do",
        (
            of(Kind.CASE, "Case", required=True),
            line(
                "text",
                "What they are to do, or to leave",
                200,
                required=True,
                hint="Stands on the bird’s tile in the roll call until you say another or close the case.",
            ),
        ),
        "Keepers: {text}",
        (VET,),
        table="instruction",
        when="",
    ),
    Deed(
        "body_condition",
        "Body condition",
        (
            _BIRD,
            whole(
                "score", "Score", 1, LONGEST_SCALE, required=True, hint="1 is very thin, on the park’s scale."
            ),
            flag("in_hand", "Felt in the hand"),
            line("note", "Note", 200),
        ),
        "Body condition {score}[, {in_hand}][. {note}].",
        (KEEPER, RECORDS),
        offline=True,
        caution=cautions.WEIGH,
        table="bodycondition",
        when="moment",
    ),
    Deed(
        "treatment",
        "A treatment",
        (
            _BIRD,
            of(Kind.CASE, "Of the case"),
            line("what", "What is given or done", 200, required=True),
            line("dose", "How much, how often, until when", 120),
            whole("recheck_days", "Look again every", 1, 365, unit="days"),
            whole("rechecks", "How many times", 1, 60),
        ),
        "Treatment: {what}[, {dose}][. Looked at again {rechecks} times, every {recheck_days}].",
        (VET,),
        caution=cautions.MEDICINE,
        table="treatment",
    ),
    Deed(
        "treatment_rechecked",
        "A look at a bird under treatment",
        (
            _TREATMENT,
            flag("better", "It is better", initial="unsaid"),
            line("note", "How it is", 300, required=True),
        ),
        "Looked at under treatment[, {better}]: {note}.",
        (KEEPER,),
        offline=True,
        caution=cautions.MEDICINE,
        table="treatmentrecheck",
        when="moment",
    ),
    Deed(
        "treatment_ended",
        "End a treatment",
        (_TREATMENT, line("because", "Why", LONGEST_REASON, required=True)),
        "Treatment ended: {because}.",
        (VET,),
        table="treatmentended",
    ),
)
