"""A cell that is not understood is asked once for all that are alike, and read as was said from then on."""

from __future__ import annotations

from datetime import date

import pytest

from tarsus.core.errors import UnknownWord
from tarsus.core.marks.lettering import WADER
from tarsus.tables.choices import Choices
from tarsus.tables.columns import columns_of, field_of
from tarsus.tables.import_plan import ImportPlan, plan_import
from tarsus.tables.known import RegisterKnown, SpeciesKnown
from tarsus.tables.questions import Question
from tarsus.tables.reading import read_table

TODAY = date(2026, 6, 11)
RUFF = SpeciesKnown("Ruff", "legs", "ruff", ("left leg", "right leg"))
KNOWN = RegisterKnown(species=(RUFF,), exhibits={"Reed House": ()})
FILE = """Bird,Species,Sex,Aviary,Left,Right,Hatched,Arrived,Ring no.
Kelp,Ruff,hane,Reed House,metal,rad over yellow,2019,,WB 1
Sedge,Ruff,Hane,Reed House,yellow over rad,metal,2019,,WB 2
Thrift,Roff,F,Reed House,metal,green,2019,31.2.2021,WB 3
Dock,Ruff,F,Red House,metal,blue,spring-ish,,WB 4
Reed,Ruff,F,Reed House,metal,white,2019,,WB 5
"""


def plan_of(text: str = FILE, known: RegisterKnown = KNOWN, **cells: dict[str, str]) -> ImportPlan:
    sheet = read_table(text.encode(), "park.csv", lambda heading: bool(field_of(heading)))
    said = {subject.replace("_", " "): answers for subject, answers in cells.items()}
    choices = Choices.of(Choices("wader", cells=said).as_mapping())
    return plan_import(
        sheet, columns_of(sheet, {}, TODAY), choices.writing(TODAY, known.palette, WADER), known
    )


def asked(plan: ImportPlan) -> dict[tuple[str, str], Question]:
    return {(one.field, one.about): one for one in plan.questions if one.kind == "cell"}


def test_each_cell_is_asked_once_with_its_lines_and_the_nearest_that_is_known() -> None:
    told = asked(plan_of())
    assert {key: one.lines for key, one in told.items()} == {
        ("sex", "hane"): (2, 3),
        ("marks", "rad"): (2, 3),
        ("species", "Roff"): (4,),
        ("arrived", "31.2.2021"): (4,),
        ("exhibit", "Red House"): (5,),
        ("hatched", "spring-ish"): (5,),
    }
    assert told["sex", "hane"].proposals == (("F",), ("M",), ("?",))
    assert told["marks", "rad"].proposals[0] == ("red",)
    assert told["species", "Roff"].proposals == (("Ruff",),)
    assert told["exhibit", "Red House"].proposals == (("Reed House",), ("Red House",))
    assert told["arrived", "31.2.2021"].proposals == (("2021-02",), ("2021",), ("-",))
    assert told["marks", "rad"].say == '--cell "marks:rad=red"'
    assert not any(one.pressing for one in told.values())


def test_an_answer_holds_for_every_line_that_is_alike_and_nothing_is_asked_again() -> None:
    plan = plan_of(
        sex={"hane": "M"},
        marks={"rad": "red"},
        species={"Roff": "Ruff"},
        exhibit={"Red House": "Reed House"},
        arrived={"31.2.2021": "2021-02"},
        hatched={"spring-ish": "-"},
    )
    assert not plan.refused
    assert not plan.questions
    kelp, sedge, thrift, dock, _ = plan.birds
    assert (kelp.sex, sedge.sex) == ("M", "M")
    assert kelp.marks.as_marks().as_mapping()["right leg"] == ["red", "yellow"]
    assert sedge.marks.as_marks().as_mapping()["left leg"] == ["yellow", "red"]
    assert (thrift.species.name, thrift.arrived, dock.exhibit) == ("Ruff", date(2021, 2, 1), "Reed House")
    assert (dock.hatched, dock.note) == (None, "hatched: spring-ish")


def test_an_exhibit_may_be_said_to_be_another_one() -> None:
    plan = plan_of(exhibit={"Red House": "Red House"})
    assert ("exhibit", "Red House") not in asked(plan)
    assert plan.new_exhibits == ("Red House",)


def test_an_answer_changes_no_other_word_and_is_not_read_again_for_another() -> None:
    text = "Bird,Species,Aviary,Left,Right,Sex\nKelp,Ruff,Reed House,metal,rad over radd,F\n"
    plan = plan_of(text, marks={"rad": "radd", "radd": "red"})
    assert [one.about for one in asked(plan).values()] == ["radd"]
    plan = plan_of(text, marks={"rad": "yellow", "radd": "red"})
    assert plan.birds[0].marks.as_marks().as_mapping()["right leg"] == ["yellow", "red"]


@pytest.mark.parametrize("mark", ["red over ?", "yellow over red over", "red and blue", "(red"])
def test_marks_whose_words_are_known_are_asked_about_whole(mark: str) -> None:
    text = f"Bird,Species,Aviary,Left,Right,Sex\nKelp,Ruff,Reed House,metal,{mark},F\n"
    told = asked(plan_of(text))
    assert list(told) == [("marks", mark)]
    assert told["marks", mark].proposals == ()


def test_a_number_on_a_band_is_that_birds_own_and_asked_of_no_other() -> None:
    text = "Bird,Species,Aviary,Left,Right,Sex\nKelp,Ruff,Reed House,metal,blorg77 over red,F\n"
    plan = plan_of(text)
    assert [one.field for one in plan.refused] == ["Right"]
    assert not asked(plan)


def test_a_line_that_went_in_is_the_same_line_whatever_is_said_of_its_cells() -> None:
    first = plan_of(sex={"hane": "M"})
    before = frozenset(bird.digest for bird in first.birds)
    again = plan_of(known=RegisterKnown((RUFF,), KNOWN.exhibits, rows_in=before))
    assert 6 in again.in_before
    assert plan_of(
        known=RegisterKnown((RUFF,), KNOWN.exhibits, rows_in=before), sex={"hane": "M"}
    ).in_before == tuple(bird.line for bird in first.birds)


def test_what_is_said_of_no_field_is_refused() -> None:
    with pytest.raises(UnknownWord, match="sexx"):
        plan_of(sexx={"hane": "M"})
