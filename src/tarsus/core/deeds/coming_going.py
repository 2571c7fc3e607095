"""Deeds by which a bird comes, moves, is missed, goes and dies."""

from __future__ import annotations

from typing import Final

from tarsus.core.care import cautions
from tarsus.core.deeds.deed import LONGEST_REASON, Deed
from tarsus.core.deeds.fields import Field, Kind, choice, day_that_was, flag, line, of, planned_day, text
from tarsus.core.deeds.rights import KEEPER, LEAD, RECORDS, VET
from tarsus.core.deeds.words import (
    BAND_KIND,
    NOT_LOOKED_FOR,
    ORIGIN,
    PRECISION,
    SEX,
    SEX_KNOWN_BY,
    WHEREABOUTS,
)
from tarsus.core.marks.sites import SITES

OFFICE: Final = (LEAD, RECORDS)
AT_THE_EXHIBIT: Final = (KEEPER, RECORDS)
_BIRD: Final = of(Kind.BIRD, "Bird", required=True)

WHO_IT_IS: Final = (
    line("house_name", "Name", 60),
    line("number", "The park's own number", 40),
    day_that_was("hatched_on", "Hatched"),
    choice("hatched_precision", "How closely that is known", *PRECISION, initial="unknown"),
    choice("origin", "Origin", *ORIGIN, initial="unknown"),
    Field("dam", Kind.BIRD, "Mother"),
    Field("sire", Kind.BIRD, "Father"),
    Field("foster_dam", Kind.BIRD, "Foster mother"),
    Field("foster_sire", Kind.BIRD, "Foster father"),
    line("legal_mark", "Legal mark", 80),
    line("certificate", "Certificate", 80),
)

WORN: Final = (
    choice("site", "Where, the bird's own side", *SITES, required=True),
    choice("kind", "Kind of band", *BAND_KIND, noun="kind of band", required=True),
    Field("colour", Kind.COLOUR, "Colour", longest=30),
    line("engraving", "Engraving", 30),
    line("series", "Issued by", 20),
    line("size", "Size", 20),
    flag("temporary", "Temporary"),
    flag("certified", "Certified"),
)
"""A band as a newcomer wears it, from the body outward."""

COMING_GOING: Final = (
    Deed(
        "bird_added",
        "A new bird",
        (
            of(Kind.SPECIES, "Species", required=True),
            *WHO_IT_IS,
            line("owner", "Owned by, if not by this park", 120),
            line("holder", "Held by, if not by this park", 120),
            Field("exhibit", Kind.EXHIBIT, "Lives in", column="-"),
        ),
        "Written into the register: {species}[, in {exhibit}].",
        OFFICE,
        table="bird",
    ),
    Deed(
        "bird_changed",
        "Name, number, hatching",
        (Field("bird", Kind.BIRD, "Bird", required=True, column="-"), *WHO_IT_IS),
        "Changed[: name {house_name}][, number {number}][, hatched {hatched_on}][, {origin}].",
        OFFICE,
        table="bird",
        partial=True,
        final="write what is right; what it was stays readable",
        when="",
    ),
    Deed(
        "arrival",
        "A bird arrives",
        (
            _BIRD,
            line("came_from", "From", 120, required=True),
            of(Kind.EXHIBIT, "Lives in", required=True),
            flag("on_loan", "On loan"),
            line("papers", "Papers", 120),
        ),
        "Arrived from {came_from}, in {exhibit}[, {on_loan}][, papers {papers}].",
        OFFICE,
        caution=cautions.HYGIENE,
        table="arrival",
    ),
    Deed(
        "birds_come",
        "Birds come",
        (
            line("came_from", "From", 120, required=True),
            of(Kind.EXHIBIT, "Live in first", required=True),
            flag("on_loan", "On loan"),
            line("papers", "Papers", 120),
            Field(
                "newcomers",
                Kind.PARTS,
                "Birds",
                required=True,
                parts=(
                    of(Kind.SPECIES, "Species", required=True),
                    line("house_name", "Name", 60),
                    line("number", "The park's own number", 40),
                    choice("sex", "Sex", *SEX, initial="U"),
                    choice("known_by", "How it is known", *SEX_KNOWN_BY, noun="way of knowing a sex"),
                    day_that_was("hatched_on", "Hatched"),
                    choice("hatched_precision", "How closely that is known", *PRECISION),
                    choice("origin", "Origin", *ORIGIN),
                    line("owner", "Owned by, if not by this park", 120),
                    Field("worn", Kind.PARTS, "Bands that it wears", parts=WORN),
                ),
                column="-",
                on_form=False,
            ),
        ),
        "Birds came from {came_from}, into {exhibit}[, {on_loan}][, papers {papers}].",
        OFFICE,
        caution=cautions.HYGIENE,
        table="arrival",
        page="birds-come",
    ),
    Deed(
        "quarantine_released",
        "Release from quarantine",
        (
            _BIRD,
            flag(
                "without_marks",
                "Marks were kept for it, and it goes without them",
                hint="Only where marks that were kept at the desk are not on it yet.",
                column="-",
            ),
            line("note", "Note", 300),
        ),
        "Released from quarantine[: {note}][. {without_marks}].",
        (VET,),
        caution=cautions.HYGIENE,
        table="quarantinerelease",
        asks_twice=True,
    ),
    Deed(
        "moved",
        "It lives elsewhere now",
        (
            Field("came", Kind.BIRDS, "Birds that came", required=True, column="-"),
            Field(
                "would_not",
                Kind.PARTS,
                "Would not come",
                parts=(of(Kind.BIRD, required=True), line("why", "Why", 200)),
                column="-",
                on_form=False,
            ),
            Field("to_exhibit", Kind.EXHIBIT, "To", required=True),
            Field("from_exhibit", Kind.EXHIBIT, "From", on_form=False),
            line("because", "Why", 200),
        ),
        "Moved[ from {from_exhibit}] to {to_exhibit}[: {because}].",
        AT_THE_EXHIBIT,
        offline=True,
        caution=cautions.MOVE,
        table="move",
    ),
    Deed(
        "whereabouts",
        "Where it is not known to be",
        (
            _BIRD,
            choice("state", "It is", *WHEREABOUTS, noun="state", required=True),
            Field("exhibit", Kind.EXHIBIT, "Found in, where it has no home any more"),
            line("note", "How", 300),
        ),
        "{state}[ in {exhibit}][: {note}].",
        AT_THE_EXHIBIT,
        offline=True,
        caution=cautions.SEARCH,
        table="missing",
        when="moment",
    ),
    Deed(
        "presumed_dead",
        "Presume it dead",
        (_BIRD, line("note", "Why", 300, required=True)),
        "Presumed dead: {note}.",
        (LEAD, VET, RECORDS),
        table="missing",
        asks_twice=True,
    ),
    Deed(
        "not_looked_for",
        "Not looked for",
        (
            of(Kind.BIRD, "Bird"),
            Field("exhibit", Kind.EXHIBIT, "Or everybody in", instead_of="bird"),
            choice("why", "Why", *NOT_LOOKED_FOR, required=True),
            planned_day("to_on", "Until"),
            line("note", "Note", 200),
        ),
        "Not looked for, {why}[ until {to_on}][: {note}].",
        AT_THE_EXHIBIT,
        table="notlookedfor",
    ),
    Deed(
        "looked_for_again",
        "Look for it again",
        (Field("spell", Kind.NOT_LOOKED_FOR, "Not looked for", required=True, column="-"),),
        "Looked for again.",
        AT_THE_EXHIBIT,
        table="notlookedfor",
    ),
    Deed(
        "departure",
        "A bird leaves",
        (
            _BIRD,
            line("went_to", "To", 120, required=True),
            flag("stays_ours", "It is lent and stays ours"),
            line("papers", "Papers that travel with it", 120),
        ),
        "Left for {went_to}[, {stays_ours}][, papers {papers}].",
        OFFICE,
        table="departure",
        asks_twice=True,
    ),
    Deed(
        "owner_changed",
        "Owner or holder",
        (
            _BIRD,
            line("owner", "Owned by", 120, hint="Left empty: this park."),
            line("holder", "Held by", 120, hint="Left empty: this park."),
        ),
        "Owned by [{owner}], held by [{holder}].",
        OFFICE,
        table="ownership",
    ),
    Deed(
        "death",
        "A dead bird was found",
        (
            of(Kind.BIRD, "Bird", hint="Left empty where nobody can tell: which stays open."),
            of(Kind.SPECIES, "Species, where the bird is not known", instead_of="bird"),
            of(Kind.EXHIBIT, "Exhibit", required=True),
            line("found_by", "Found by", 120, required=True, initial="me"),
            line("carcase_label", "What stands on the bag", 60),
            flag("post_mortem_asked", "A post-mortem is asked for"),
            line("circumstances", "What was seen", 400),
            flag("euthanised", "Put down by the vet"),
        ),
        "Found dead by {found_by} in {exhibit}[: {circumstances}][. {post_mortem_asked}][. {euthanised}].",
        AT_THE_EXHIBIT,
        offline=True,
        caution=cautions.CARCASE,
        table="death",
        when="moment",
        asks_twice=True,
    ),
    Deed(
        "carcase_named",
        "Which bird died",
        (
            of(Kind.DEATH, "Carcase", "death", required=True),
            _BIRD,
            line("because", "How it became known", LONGEST_REASON, required=True),
        ),
        "A carcase was known as its own: {because}.",
        AT_THE_EXHIBIT,
        caution=cautions.CARCASE,
        table="carcasenamed",
        asks_twice=True,
    ),
    Deed(
        "post_mortem",
        "The post-mortem's answer",
        (
            of(Kind.DEATH, "Carcase", "death", required=True),
            text("answer", "What was found, or that nothing was", required=True),
            line("by_whom", "By whom", 120),
        ),
        "Post-mortem: {answer}[ ({by_whom})]",
        (VET, RECORDS),
        table="postmortem",
    ),
)
