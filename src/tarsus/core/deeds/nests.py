"""Deeds of nests and broods."""

from __future__ import annotations

from typing import Final

from tarsus.core.care import cautions
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import Field, Kind, choice, day_that_was, flag, line, of, whole
from tarsus.core.deeds.rights import KEEPER, RECORDS
from tarsus.core.deeds.words import BAND_KIND, NEST_EVENT
from tarsus.core.marks.sites import SITES

_NEST: Final = of(Kind.NEST, "Nest", required=True)

NESTS: Final = (
    Deed(
        "nest_begun",
        "A new nest",
        (
            of(Kind.EXHIBIT, "Exhibit", required=True),
            line("name", "What you call it", 60, required=True, hint="Such as: reed edge 2"),
            of(Kind.SPECIES, "Of", required=True),
            of(Kind.PAIR, "Pair"),
            of(Kind.PLACE, "Where"),
            flag("forbids_chase", "No catching in this exhibit while it lasts", initial=True),
        ),
        "Nest {name} in {exhibit}[, {pair}].",
        (KEEPER,),
        caution=cautions.NEST,
        table="nest",
    ),
    Deed(
        "nest_event",
        "What was found at a nest",
        (
            _NEST,
            Field("event", Kind.CHOICE, "Found", required=True, choices=NEST_EVENT, column="kind"),
            whole("amount", "How many", 0, 40),
            line("note", "Note", 300),
        ),
        "{nest}: {event}[, {amount}][. {note}].",
        (KEEPER,),
        offline=True,
        caution=cautions.NEST,
        table="nestevent",
    ),
    Deed(
        "bird_from_nest",
        "A chick is banded",
        (
            Field("nest", Kind.NEST, "Nest", required=True),
            day_that_was(
                "hatched_on",
                "Hatched",
                hint="Left empty: the day on which the nest's chicks hatched by the record.",
                column="-",
            ),
            line("house_name", "Name", 60, column="-"),
            line("number", "The park's own number", 40, column="-"),
            choice("site", "Band put on, the bird's own side", *SITES, column="-"),
            choice("what", "Kind of band", *BAND_KIND, noun="kind of band", column="-"),
            Field("colour", Kind.COLOUR, "Colour", longest=30, hint="Left empty for metal.", column="-"),
            line("engraving", "Engraving", 30, column="-"),
            line("size", "Size", 20, column="-"),
            flag("temporary", "Temporary", column="-"),
        ),
        "From the nest {nest}[, hatched {hatched_on}][; band: {what} on the {site}][, {colour}].",
        (KEEPER, RECORDS),
        caution=cautions.CHICK_BAND,
        table="nestevent",
    ),
    Deed(
        "nest_ended",
        "A nest is over",
        (Field("nest", Kind.NEST, "Nest", required=True, column="-"),),
        "{nest} is over.",
        (KEEPER,),
        table="nest",
    ),
)
