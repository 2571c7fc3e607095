"""Deeds of eyes: a photograph that comes with its sighting; practice that somebody shares.

Decision 0050.
"""

from __future__ import annotations

from typing import Final

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import Field, Kind, flag, line, of
from tarsus.core.deeds.rights import KEEPER, RECORDS

LARGEST_PICTURE: Final = 1_400_000
"""Characters of a picture as a phone sends it, in base64: 1 MB. It has made it smaller before."""

EYES: Final = (
    Deed(
        "photograph",
        "A photograph of its legs",
        (
            Field("sighting", Kind.SIGHTING, "Sighting", required=True),
            flag("own_camera", "by the phone's own camera", on_form=False),
            Field("taps", Kind.DOCUMENT, "What was tapped", required=True, on_form=False),
            Field(
                "picture",
                Kind.PICTURE,
                "Picture",
                required=True,
                longest=LARGEST_PICTURE,
                column="-",
                on_form=False,
            ),
        ),
        "The photograph that it was read from came with it.",
        (KEEPER, RECORDS),
        offline=True,
        table="photograph",
        final="remove the picture",
        when="moment",
        page="roll-call",
    ),
    Deed(
        "photograph_removed",
        "Remove a photograph",
        (
            Field("photograph", Kind.FACT, "Photograph", required=True),
            line("because", "Why", 300, required=True),
        ),
        "A photograph was removed: {because}",
        (KEEPER, RECORDS),
        table="photographremoved",
        asks_twice=True,
        final="it is gone; take another",
        when="",
    ),
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
