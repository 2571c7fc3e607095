"""Deeds by which a bird is known: sex, transponder, natural marks, its mate."""

from __future__ import annotations

from typing import Final

from tarsus.core.care import cautions
from tarsus.core.deeds.deed import LONGEST_REASON, Deed
from tarsus.core.deeds.fields import Field, Kind, choice, flag, line, number, of, planned_day, text
from tarsus.core.deeds.rights import KEEPER, LEAD, RECORDS, VET
from tarsus.core.deeds.words import SAMPLE, SEX, SEX_KNOWN_BY

AT_THE_EXHIBIT: Final = (KEEPER, RECORDS)
_BIRD: Final = of(Kind.BIRD, "Bird", required=True)

IDENTITY: Final = (
    Deed(
        "sex_sample",
        "A sample for its sex",
        (
            _BIRD,
            choice("sample", "Sample", *SAMPLE, noun="sample", required=True, initial="feather"),
            line("label", "What stands on the tube", 60, required=True),
            of(Kind.BAND, "Band it wore"),
            line("laboratory", "Laboratory", 120, hint="Only where it is sent on the same day."),
        ),
        "Sample taken for its sex: {sample}, {label}[, {laboratory}].",
        (KEEPER,),
        caution=cautions.SAMPLE,
        table="sextest",
    ),
    Deed(
        "sex_finding",
        "Its sex",
        (
            _BIRD,
            choice("sex", "Sex", *SEX, required=True),
            choice(
                "known_by",
                "How it is known",
                *SEX_KNOWN_BY,
                noun="way of knowing a sex",
                required=True,
                initial="DNA",
            ),
            Field(
                "test",
                Kind.SEX_TEST,
                "The sample it answers",
                hint="DNA answers a sample where one waits for its result.",
            ),
        ),
        "{sex}, {known_by}.",
        (LEAD, RECORDS, VET),
        caution=cautions.SAMPLE,
        table="sexfinding",
    ),
    Deed(
        "sample_sent",
        "A sample goes to the laboratory",
        (
            Field("test", Kind.SEX_TEST, "Sample", required=True, column="-"),
            line("laboratory", "Laboratory", 120, required=True, column="-"),
        ),
        "Sample sent to {laboratory}.",
        AT_THE_EXHIBIT,
    ),
    Deed(
        "sample_unanswered",
        "The laboratory got no answer",
        (
            Field("test", Kind.SEX_TEST, "Sample", required=True, column="-"),
            line("why", "Why", 120, column="-"),
        ),
        "The laboratory got no answer from the sample[: {why}].",
        (LEAD, RECORDS, VET),
    ),
    Deed(
        "result_unplaced",
        "A result for no sample of ours",
        (
            line("label", "What the laboratory calls the sample", 60, required=True, column="-"),
            choice("sex", "Sex", *SEX, required=True, column="-"),
            line("laboratory", "Laboratory", 120, column="-"),
            line("note", "Where it stands", 200, column="-"),
        ),
        "A result for a sample that is not known: {label}, {sex}[, {laboratory}][. {note}].",
        (LEAD, RECORDS, VET),
    ),
    Deed(
        "result_placed",
        "Whose sample it was",
        (
            Field("question", Kind.FACT, "The laboratory's line", required=True, column="-"),
            Field("test", Kind.SEX_TEST, "It was the sample", required=True),
            line("because", "How it became known", LONGEST_REASON, required=True, column="-"),
        ),
        "The laboratory's result was of its sample: {because}.",
        (LEAD, RECORDS, VET),
        caution=cautions.SAMPLE,
        table="sexfinding",
    ),
    Deed(
        "visitor_story",
        "What visitors read of it",
        (
            _BIRD,
            text(
                "story",
                "Its story",
                600,
                column="text",
                hint="Anybody reads it: no person, no place, no illness. Empty: name, species and age.",
            ),
        ),
        "What visitors read of it[: {story}].",
        (LEAD,),
        table="story",
        when="",
    ),
    Deed(
        "transponder_given",
        "Its transponder",
        (_BIRD, line("number", "Number", 30, required=True), line("where", "Where it sits", 60)),
        "Transponder {number}[, {where}].",
        (LEAD, RECORDS, VET),
        caution=cautions.CHIP,
        table="transponder",
    ),
    Deed(
        "natural_mark",
        "A natural mark",
        (
            _BIRD,
            line("text", "By what it is told", 160, required=True),
            number("x", "Pin, from the left", 0, 100, unit="%", on_form=False),
            number("y", "Pin, from above", 0, 100, unit="%", on_form=False),
            line("photo", "Photo", 200, on_form=False),
            planned_day("review_on", "Look again by"),
        ),
        "Natural mark: {text}.",
        AT_THE_EXHIBIT,
        table="naturalmark",
    ),
    Deed(
        "natural_mark_reviewed",
        "A natural mark was looked at again",
        (
            Field("mark", Kind.NATURAL_MARK, "Natural mark", required=True, column="-"),
            flag("still_there", "It is still there", initial=True, column="-"),
            planned_day("next_on", "Look again by", column="-"),
        ),
        "Natural mark looked at[: {still_there}].",
        AT_THE_EXHIBIT,
        table="naturalmark",
    ),
    Deed(
        "pair_formed",
        "A pair",
        (
            Field("one", Kind.BIRD, "One", required=True, column="-"),
            Field("other", Kind.BIRD, "Its mate", required=True, column="-"),
        ),
        "A pair: {one} and {other}.",
        AT_THE_EXHIBIT,
        table="pair",
    ),
    Deed(
        "pair_parted",
        "The pair has parted",
        (
            Field("pair", Kind.PAIR, "Pair", required=True, column="-"),
            line("why", "Why", 120, required=True, column="why_ended"),
        ),
        "{pair}: parted, {why}.",
        AT_THE_EXHIBIT,
        table="pair",
    ),
)
