"""Deeds of the roll call: rounds, counts, sightings, what was noticed."""

from __future__ import annotations

from typing import Final

from tarsus.core.deeds.deed import LONGEST_REASON, Deed
from tarsus.core.deeds.fields import Field, Kind, choice, flag, line, number, of, text, whole
from tarsus.core.deeds.rights import KEEPER, RECORDS
from tarsus.core.deeds.words import BAND_KIND, HOW, SIDE

CALLED_BY: Final = (KEEPER, RECORDS)
MOST: Final = 10_000
_ROUND: Final = of(Kind.ROUND, "Round", required=True, column="round_id")
_EXHIBIT: Final = of(Kind.EXHIBIT, "Exhibit", required=True)
_CANDIDATES: Final = Field(
    "candidates",
    Kind.PARTS,
    "Candidates",
    parts=(of(Kind.BIRD, required=True), number("chance", "Chance", 0, 1, required=True)),
    on_form=False,
    about=False,
)

ROLL_CALL: Final = (
    Deed(
        "round_started",
        "Start a roll call",
        (_ROUND, Field("exhibit", Kind.EXHIBIT, "Exhibit", required=True, column="-")),
        "Roll call begun in {exhibit}.",
        CALLED_BY,
        offline=True,
        table="roundstarted",
        when="moment",
        page="roll-call",
    ),
    Deed(
        "round_closed",
        "Close a roll call",
        (_ROUND,),
        "Roll call closed.",
        CALLED_BY,
        offline=True,
        table="roundclosed",
        when="moment",
        page="roll-call",
    ),
    Deed(
        "round_not_done",
        "A roll call that was not done",
        (
            _ROUND,
            Field("exhibit", Kind.EXHIBIT, "Exhibit", required=True, column="-"),
            Field("lookalike", Kind.LOOKALIKE, "Only these", longest=40),
            line("because", "Why not", LONGEST_REASON, required=True),
        ),
        "Roll call in {exhibit}[, {lookalike},] not done: {because}.",
        CALLED_BY,
        offline=True,
        table="roundnotdone",
        when="moment",
        page="roll-call",
    ),
    Deed(
        "count",
        "A count",
        (
            _ROUND,
            Field("lookalike", Kind.LOOKALIKE, "Of", required=True, longest=40),
            whole("counted", "Counted", 0, MOST, required=True),
        ),
        "Counted {counted} {lookalike}.",
        CALLED_BY,
        offline=True,
        table="count",
        when="moment",
        page="roll-call",
    ),
    Deed(
        "group",
        "Birds in view together",
        (
            _ROUND,
            of(Kind.ID, "Group", "group", required=True),
            of(Kind.PLACE, "Where"),
            whole("size", "How many", 1, MOST, required=True),
            flag("flew", "They flew"),
        ),
        "{size} in view together[, {place}].",
        CALLED_BY,
        offline=True,
        table="group",
        when="moment",
        page="roll-call",
    ),
    Deed(
        "sighting",
        "A bird was seen",
        (
            of(Kind.ROUND, "Round", column="round_id", on_form=False),
            _EXHIBIT,
            of(Kind.BIRD, "Bird"),
            Field("lookalike", Kind.LOOKALIKE, "Of", longest=40, on_form=False),
            choice("how", "How it was named", *HOW, initial="by sight", noun="way of naming a bird"),
            of(Kind.READING, on_form=False),
            _CANDIDATES,
            number("none_of_these", "None of these", 0, 1, on_form=False),
            of(Kind.ID, "Group", "group", on_form=False),
            whole("position", "Place among them", 0, MOST, on_form=False),
            of(Kind.PLACE, "Where"),
        ),
        "Seen {how} in {exhibit}[, {place}].",
        CALLED_BY,
        offline=True,
        table="sighting",
        when="moment",
    ),
    Deed(
        "report",
        "What a visitor told of a bird",
        (
            text("said", "What was told: what, where, when", 500, required=True),
            line("told_by", "Who told it", 120, initial="a visitor"),
            Field("birds", Kind.BIRDS, "Whom it may be about", column="-"),
            of(Kind.EXHIBIT, "In which exhibit, if in one"),
            of(Kind.PLACE, "Where there"),
            of(Kind.READING, on_form=False),
            _CANDIDATES,
            number("none_of_these", "None of these", 0, 1, on_form=False),
        ),
        "Reported[ by {told_by}]: {said}.",
        CALLED_BY,
        offline=True,
        table="report",
        when="moment",
    ),
    Deed(
        "report_answered",
        "What a look after a report found",
        (
            of(Kind.REPORT, "Report", "report", required=True),
            line("found", "What the look found", LONGEST_REASON, required=True),
        ),
        "Looked after a report: {found}.",
        CALLED_BY,
        offline=True,
        table="reportanswered",
        when="moment",
    ),
    Deed(
        "withdrawn",
        "It was a mistake",
        (
            Field("corrects", Kind.FACT, "What", required=True, column="withdraws"),
            line("because", "Why it was a mistake", LONGEST_REASON, required=True),
        ),
        "A mistake: {because}.",
        CALLED_BY,
        offline=True,
        table="withdrawal",
        final="a withdrawal cannot be withdrawn: tell the fact again",
        when="",
    ),
    Deed(
        "concern",
        "Something is wrong with a bird",
        (
            of(Kind.SIGHTING, "Sighting", on_form=False),
            Field("birds", Kind.BIRDS, "Which, or all that it may be", required=True, column="-"),
            Field("seen", Kind.WORDS, "What was seen", longest=60),
            choice("side", "Side", *SIDE),
            text("note", "In words", 500),
            flag("tell_vet", "Tell the vet"),
        ),
        "Concern: {seen}[, {side}][. {note}][. {tell_vet}].",
        CALLED_BY,
        offline=True,
        table="concern",
        when="moment",
    ),
    Deed(
        "band_found",
        "A band was found",
        (
            _EXHIBIT,
            of(Kind.PLACE, "Where"),
            Field(
                "what",
                Kind.CHOICE,
                "Kind of band",
                noun="kind of band",
                required=True,
                choices=tuple((word, word) for word in BAND_KIND),
                column="kind",
            ),
            Field("colour", Kind.COLOUR, "Colour", longest=30, column="-"),
            line("engraving", "Engraving", 30),
            line("note", "Note", 300),
        ),
        "Band found in {exhibit}: [{colour} ]{what}[, {engraving}].",
        CALLED_BY,
        offline=True,
        table="bandfound",
    ),
    Deed(
        "note",
        "A note",
        (
            of(Kind.BIRD, "About the bird"),
            of(Kind.EXHIBIT, "About the exhibit"),
            of(Kind.ROUND, "About the round", column="round_id", on_form=False),
            text("text", "Note", required=True),
        ),
        "{text}",
        CALLED_BY,
        offline=True,
        table="note",
    ),
)
