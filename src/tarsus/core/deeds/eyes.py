"""Deeds of practice: what somebody shares of it, until they take it back.

Decision 0050.
"""

from __future__ import annotations

from typing import Final

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import Field, Kind, flag, of
from tarsus.core.deeds.rights import KEEPER, RECORDS

EYES: Final = (
    Deed(
        "practice_sharing",
        "Share your practice",
        (
            flag(
                "on",
                "Whoever leads sees *ready* or *not yet*; your answers help to weigh your readings",
                column="-",
            ),
        ),
        "Sharing of practice was set.",
        (KEEPER, RECORDS),
        offline=True,
        final="set it the other way; off takes back all that was shared",
        when="",
        of_oneself=True,
    ),
    Deed(
        "practice_shared",
        "What practice shows",
        (
            of(Kind.EXHIBIT, "Exhibit", required=True),
            Field("lookalike", Kind.LOOKALIKE, "Of", required=True, longest=40),
            flag("ready", "Ready for it", on_form=False, apart=True, column="-"),
            Field(
                "answers",
                Kind.PARTS,
                "Latest answers",
                parts=(
                    Field("read", Kind.READING, "What was read", required=True),
                    Field("worn", Kind.MARKS, "What the bird wears", required=True),
                ),
                on_form=False,
                apart=True,
                column="-",
            ),
        ),
        "Practice with {lookalike} was shared.",
        (KEEPER, RECORDS),
        offline=True,
        final="switch the sharing of practice off",
        when="",
        of_oneself=True,
    ),
)
