"""Deeds of bands and of the drawer they come from."""

from __future__ import annotations

from typing import Final

from tarsus.core.care import cautions
from tarsus.core.deeds.deed import LONGEST_REASON, Deed
from tarsus.core.deeds.fields import Field, Kind, choice, flag, line, of, whole
from tarsus.core.deeds.rights import KEEPER, LEAD, RECORDS
from tarsus.core.deeds.words import BAND_KIND, CONDITION, WHY_OFF
from tarsus.core.marks.sites import SITES

OFFICE: Final = (LEAD, RECORDS)
_COLOUR: Final = Field("colour", Kind.COLOUR, "Colour", longest=30, hint="Left empty for metal.", column="-")
MOST_BANDS: Final = 100_000

BANDS: Final = (
    Deed(
        "band_on",
        "Band fitted",
        (
            of(Kind.BIRD, "Bird", required=True),
            choice("site", "Where, the bird's own side", *SITES, required=True),
            whole(
                "place",
                "Place on that site",
                0,
                20,
                hint="0 is nearest the body; empty: outermost.",
                column="-",
            ),
            choice(
                "what",
                "Kind of band",
                *BAND_KIND,
                required=True,
                initial="colour",
                noun="kind of band",
                column="kind",
            ),
            _COLOUR,
            line("engraving", "Engraving", 30),
            line("series", "Issued by", 20),
            line("size", "Size", 20),
            flag("temporary", "Temporary"),
            flag("certified", "Certified"),
            flag("came_with_it", "It came with the bird"),
            line("note", "Note", 200),
        ),
        "[{colour} ]{what}[ {engraving}] on the {site}[, {temporary}][, {came_with_it}].",
        OFFICE,
        caution=cautions.FIT_BAND,
        table="band",
    ),
    Deed(
        "band_off",
        "Band removed",
        (
            Field("band", Kind.BAND, "Band", required=True, column="-"),
            choice("why", "Why", *WHY_OFF, required=True, column="why_off"),
            line("note", "Note", 200),
        ),
        "{band} off, {why}[: {note}].",
        OFFICE,
        caution=cautions.CLOSED_BAND,
        table="band",
    ),
    Deed(
        "band_never_worn",
        "Band entered wrongly",
        (
            Field("band", Kind.BAND, "Band", required=True, column="-"),
            line(
                "because", "Why it was a mistake", LONGEST_REASON, required=True, column="taken_back_because"
            ),
        ),
        "{band} was never on it: {because}.",
        OFFICE,
        table="band",
        final="write the band down anew",
        when="",
    ),
    Deed(
        "band_checked",
        "Band check",
        (
            of(Kind.BAND, "Band", required=True),
            Field(
                "conditions",
                Kind.CHOICES,
                "Condition",
                noun="condition of a band",
                required=True,
                choices=tuple((word, word) for word in CONDITION),
                column="-",
            ),
            flag("in_hand", "In the hand"),
            line("note", "Note", 200),
        ),
        "{band}: {conditions}[. {note}].",
        (KEEPER, RECORDS),
        offline=True,
        caution=cautions.TIGHT_BAND,
        table="bandcheck",
    ),
    Deed(
        "band_owner_named",
        "Owner of a found band",
        (
            Field("found", Kind.BAND_FOUND, "Band that was found", required=True),
            of(Kind.BAND, "Band of the record", required=True),
            line("because", "How it became known", LONGEST_REASON, required=True),
        ),
        "A band that was found was its {band}: {because}.",
        (KEEPER, RECORDS),
        table="bandownernamed",
    ),
    Deed(
        "marks_kept",
        "Save marks for a bird",
        (
            of(Kind.BIRD, "Bird", required=True),
            of(Kind.MARKS, required=True, on_form=False),
            line("because", "Why", 200),
        ),
        "Marks saved for its next handling[: {because}].",
        (LEAD,),
        caution=cautions.FIT_BAND,
        table="plannedmarks",
        when="",
        page="marking-desk",
    ),
    Deed(
        "marks_dropped",
        "Cancel saved marks",
        (Field("planned", Kind.PLANNED_MARKS, "Saved marks", required=True, column="-"),),
        "Saved marks are cancelled.",
        (LEAD,),
        table="plannedmarks",
        final="keep the marks anew",
        when="",
    ),
    Deed(
        "stock_changed",
        "Delivery, or bands taken",
        (
            choice(
                "what",
                "Kind of band",
                *BAND_KIND,
                required=True,
                initial="colour",
                noun="kind of band",
                column="kind",
            ),
            _COLOUR,
            line("size", "Size", 20, required=True),
            whole(
                "by_amount",
                "How many more",
                -MOST_BANDS,
                MOST_BANDS,
                required=True,
                hint="With a minus: fewer.",
                column="-",
            ),
            line("because", "Why", 120, required=True, hint="Delivery, count, broken …", column="-"),
        ),
        "{by_amount} [{colour} ]{what}, size {size}: {because}.",
        OFFICE,
        table="stock",
        when="",
        page="stock",
    ),
    Deed(
        "stock_counted",
        "Counted on the shelf",
        (
            Field("stock", Kind.STOCK, "Bands", required=True, column="-"),
            whole("counted", "There are", 0, MOST_BANDS, required=True, column="-"),
        ),
        "{stock}: counted, {counted} are there.",
        OFFICE,
        table="stock",
        when="",
    ),
    Deed(
        "stock_order_below",
        "Order below",
        (
            Field("stock", Kind.STOCK, "Bands", required=True, column="-"),
            whole("least", "Order below", 0, 30_000, required=True, column="order_below"),
        ),
        "{stock}: order below {least}.",
        OFFICE,
        table="stock",
        final="set another number",
        when="",
    ),
    Deed(
        "metal_series_added",
        "A run of metal bands",
        (
            line("series", "Issued by", 20, required=True),
            line("prefix", "Prefix", 20),
            whole("first", "First number", 0, 2_000_000_000, required=True),
            whole("last", "Last number", 0, 2_000_000_000, required=True),
            line("size", "Size", 20, required=True),
        ),
        "Metal bands {series}[ {prefix}] {first} to {last}, size {size}.",
        OFFICE,
        table="metalseries",
        final="a number that was issued stays issued",
    ),
)
