"""Hand-written sheets with what parks write: nothing of it is understood wrongly in silence."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

import pytest

from tarsus.core.marks.lettering import WADER
from tarsus.core.marks.palette import BUILT_IN
from tarsus.tables.choices import Choices
from tarsus.tables.columns import columns_of, field_of
from tarsus.tables.dates import PartialDate
from tarsus.tables.import_plan import ImportPlan, plan_import
from tarsus.tables.known import RegisterKnown
from tarsus.tables.park_words import LANGUAGES, language, short_forms
from tarsus.tables.questions import Question
from tarsus.tables.reading import read_table

SHEETS = Path(__file__).parent / "sheets"
TODAY = date(2026, 6, 11)
RUFF = {"Ruff": "leg"}


def plan_of(
    name: str, known: RegisterKnown | None = None, letters: str = "wader", **said: object
) -> ImportPlan:
    sheet = read_table((SHEETS / name).read_bytes(), name, lambda heading: bool(field_of(heading)))
    choices = Choices.of({"letters": letters, "species": RUFF, **said})
    known = known or RegisterKnown(female_side="left", male_side="right")
    return plan_import(sheet, columns_of(sheet, {}, TODAY), choices.writing(TODAY, BUILT_IN, WADER), known)


def asked(plan: ImportPlan) -> dict[str, Question]:
    return {one.about: one for one in plan.questions}


def marks(plan: ImportPlan) -> dict[str, Mapping[str, list[str]]]:
    return {bird.name: bird.marks.as_marks().as_mapping() for bird in plan.birds}


def test_a_run_that_may_abbreviate_a_colour_is_asked_once_with_every_reading() -> None:
    plan = plan_of("abbreviations.csv")
    ways = {about: (one.field, one.lines, one.proposals) for about, one in asked(plan).items()}
    assert ways == {
        "gn": ("marks", (2, 10), (("green", "black"), ("green",))),
        "sw": ("marks", (3,), (("grey", "white"), ("black",))),
        "BK": ("marks", (4,), (("blue", "pink"), ("black",))),
        "BL": ("marks", (5,), (("blue", "lime"), ("blue",), ("black",))),
        "Gr": ("marks", (6,), (("green", "red"), ("green",), ("grey",))),
        "WYG": ("marks", (8,), (("white", "yellow", "green"),)),
        "yg": ("marks", (9,), (("yellow", "green"),)),
    }
    assert [bird.name for bird in plan.birds] == ["Teasel"]
    assert plan.held_up == (2, 3, 4, 5, 6, 8, 9, 10)
    assert not plan.refused


def test_a_files_own_letters_leave_an_abbreviation_in_doubt_all_the_same() -> None:
    plan = plan_of("abbreviations.csv", letters="B=blue")
    assert asked(plan)["BL"].proposals == (("blue", "lime"), ("blue",), ("black",))


def test_answers_hold_for_the_whole_file_and_one_that_is_not_given_leaves_its_lines_out() -> None:
    said = {
        "gn": "green",
        "SW": "black",
        "bk": "blue,pink",
        "BL": "-",
        "gr": "grey",
        "wyg": "white,yellow,green",
    }
    plan = plan_of("abbreviations.csv", runs=said, small_letters=True)
    assert not plan.questions
    told = marks(plan)
    assert told["Samphire"]["right leg"] == told["Dock"]["right leg"] == ["green"]
    assert told["Kelp"]["left leg"] == ["black"]
    assert told["Sedge"]["right leg"] == ["blue", "pink"]
    assert told["Marram"]["right leg"] == ["grey", "yellow"]
    assert told["Orache"]["right leg"] == ["yellow", "green"]
    assert [(one.line, one.reason) for one in plan.refused] == [(5, "'BL' is not read in this file")]


# IEC 60757, Code for designation of colours: the two letters of each colour that a band may have.
IEC_60757 = {"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green"}
IEC_60757 |= {"BU": "blue", "VT": "purple", "GY": "grey", "WH": "white", "PK": "pink"}


@pytest.mark.parametrize(("code", "colour"), IEC_60757.items())
def test_every_code_of_the_standard_for_colours_is_taken_for_an_abbreviation(code: str, colour: str) -> None:
    assert colour in short_forms(("en",))[code.casefold()]


def test_a_bird_that_died_or_left_comes_in_as_one_that_does_not_live_here() -> None:
    plan = plan_of("gone.csv")
    assert not plan.refused
    fates = {bird.name: (bird.fate.how, bird.fate_on) for bird in plan.birds if not bird.living}
    assert fates == {
        "Kelp": ("died", TODAY),
        "Sedge": ("died", date(2023, 4, 3)),
        "Thrift": ("departed", date(2024, 5, 6)),
        "Marram": ("departed", date(2022, 5, 2)),
    }
    assert {bird.name: bird.fate.went_to for bird in plan.birds}["Thrift"] == "South Marsh"
    warned = {(one.line, one.field): one.text for one in plan.remarks}
    assert "the day is not told" in warned[3, "Died"]
    assert "taken as one that left" in warned[6, "Remarks"]
    assert "taken as living; look whether that is so" in warned[7, "Remarks"]
    assert "'in moult' is no status that is known here" in warned[10, "Status"]
    assert warned[11, "Died"] == (
        "'sometime' is no date and says nothing that is known here: taken as living; look whether that is so"
    )


def test_remarks_about_bands_are_shown_to_be_looked_at() -> None:
    warned = {one.line: one.text for one in plan_of("gone.csv").remarks if "look at its bands" in one.text}
    assert warned == {
        8: "'bands on wrong leg': look at its bands",
        9: "'lost left band': look at its bands",
    }
    assert all(bird.living for bird in plan_of("gone.csv").birds if bird.name in ("Burdock", "Orache"))


def test_names_alike_but_for_case_article_or_punctuation_are_asked_once() -> None:
    plan = plan_of("exhibits.csv")
    lagoon, reed = plan.questions
    assert lagoon.lines == (2, 3, 4, 5)
    assert lagoon.proposals == (("Lagoon",), ("Lagoon", "lagoon", "LAGOON", "The Lagoon"))
    assert reed.lines == (6, 7)
    assert not plan.birds
    one = plan_of(
        "exhibits.csv",
        exhibits={"lagoon": "Lagoon", "LAGOON": "Lagoon", "The Lagoon": "Lagoon", "Reed-House": "Reed House"},
    )
    assert one.new_exhibits == ("Lagoon", "Reed House")
    assert not one.questions
    names = ("Lagoon", "lagoon", "LAGOON", "The Lagoon", "Reed House", "Reed-House")
    apart = plan_of("exhibits.csv", exhibits={name: name for name in names})
    assert apart.new_exhibits == names


def test_an_exhibit_of_the_register_is_meant_whatever_its_case_and_asked_for_an_article() -> None:
    known = RegisterKnown(exhibits={"Lagoon": (), "Reed House": ()})
    plan = plan_of("exhibits.csv", known)
    assert [(one.lines, one.proposals[0]) for one in plan.questions] == [
        ((5,), ("Lagoon",)),
        ((7,), ("Reed House",)),
    ]
    assert [bird.exhibit for bird in plan.birds] == ["Lagoon", "Lagoon", "Lagoon", "Reed House"]


def test_a_temporary_colour_band_is_no_cable_tie() -> None:
    plan = plan_of("exhibits.csv", exhibits={"Reed-House": "Reed House", "lagoon": "Lagoon"})
    (band,) = next(bird for bird in plan.birds if bird.name == "Teasel").marks.at("left leg") or ()
    assert (band.band, band.tie, band.temporary) == ("green", False, True)
    assert any("temporary green on the left leg is to come off again" in one.text for one in plan.remarks)


WORN = {"left leg": ["metal"], "right leg": ["yellow", "green"]}
OTHER = {"left leg": ["pale blue"], "right leg": ["metal"]}


@pytest.mark.parametrize(
    ("name", "hatched"),
    [
        ("francais.csv", (PartialDate(date(2019, 4, 15), "about"), PartialDate(date(2020, 2, 3)))),
        ("espanol.csv", (PartialDate(date(2020, 4, 3)), PartialDate(date(2018, 10, 15), "about"))),
        ("nederlands.csv", (PartialDate(date(2019, 4, 15), "about"), PartialDate(date(2020, 3, 3)))),
        ("nihongo.csv", (PartialDate(date(2019, 5, 3)), PartialDate(date(2018, 4, 15), "about"))),
    ],
)
def test_a_park_may_write_in_its_own_language(name: str, hatched: tuple[PartialDate, PartialDate]) -> None:
    plan = plan_of(name)
    assert not plan.refused
    first, second = plan.birds[:2]
    assert [bird.sex for bird in (first, second)] == ["F", "M"]
    assert [bird.marks.as_marks().as_mapping() for bird in (first, second)] == [WORN, OTHER]
    assert (first.hatched, second.hatched) == hatched


def test_a_german_sheet_with_decimal_commas_and_seasons() -> None:
    plan = plan_of("deutsch.csv")
    birds = {bird.name: bird for bird in plan.birds}
    assert {name: bird.sex for name, bird in birds.items()} == {
        "Salzkraut": "F",
        "Segge": "F",
        "Strandnelke": "M",
        "Ampfer": "U",
    }
    assert birds["Salzkraut"].marks.as_marks().as_mapping() == WORN
    assert str(birds["Salzkraut"].hatched) == "about 2019-04"
    assert birds["Segge"].hatched is None, "a hatch date that is none keeps no bird out"
    assert birds["Strandnelke"].fate_on == date(2021, 5, 12)
    assert asked(plan)["sw"].proposals == (("grey", "white"), ("black",))
    warned = {one.line: one.text for one in plan.remarks if one.line != 5}
    assert "no day of the calendar: recorded as not known" in warned[4]
    assert "look at its bands" in warned[6]


def test_yellow_green_in_japanese_may_be_one_band_or_two_and_is_asked() -> None:
    assert asked(plan_of("nihongo.csv"))["黄緑"].lines == (4,)


def test_no_word_of_a_language_means_two_things_in_one_section() -> None:
    for code in LANGUAGES:
        for section, words in language(code).sections.items():
            if section in ("short", "remarks", "others", "band_trouble"):
                continue
            said = [word for spellings in words.values() for word in spellings]
            assert len(said) == len(set(said)), (code, section, [w for w in said if said.count(w) > 1])
            assert all(word == word.lower() for word in said), (code, section)
