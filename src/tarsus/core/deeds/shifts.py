"""Deeds between one shift and the next: what is left for whoever comes, and that somebody saw what came.

Decision 0042.
"""

from __future__ import annotations

from typing import Final

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import Field, Kind, moment_that_was, of, text
from tarsus.core.deeds.rights import KEEPER, RECORDS, VIEWER

SHIFTS: Final = (
    Deed(
        "shift_note",
        "Shift note",
        (
            text("text", "What the next keeper should know", 1000, required=True),
            of(Kind.EXHIBIT, "About the exhibit"),
            Field(
                "people",
                Kind.PEOPLE,
                "For",
                column="-",
                hint="It stands on their Today until they have seen it. Nobody chosen: for whoever comes.",
            ),
        ),
        "Shift note[ for {people}][, {exhibit}]: {text}",
        (KEEPER, RECORDS),
        offline=True,
        table="shiftnote",
        when="",
    ),
    Deed(
        "today_seen",
        "Seen",
        (moment_that_was("until", "All that was written down until", required=True, on_form=False),),
        "Looked at what was new.",
        (VIEWER,),
        final="look at it again under Since you were here, from any day",
        when="",
        page="since",
        of_oneself=True,
    ),
)
