"""What a sheet says of a bird's fate: nobody is dead or gone by a cell that does not say so."""

from __future__ import annotations

from datetime import date

import pytest

from tarsus.core.marks.lettering import WADER
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.tables.choices import Choices
from tarsus.tables.columns import columns_of, field_of
from tarsus.tables.dates import PartialDate
from tarsus.tables.import_plan import ImportPlan, plan_import
from tarsus.tables.known import RegisterKnown
from tarsus.tables.reading import read_table

TODAY = date(2026, 6, 11)
LOOK = "taken as living; look whether that is so"
ENGLISH = ("Bird", "Species", "Aviary", "Bands")
DUTCH = ("Naam", "Soort", "Verblijf", "Ringen")
GERMAN = ("Vogel", "Art", "Voliere", "Ringe")


def plan_of(
    headings: tuple[str, ...],
    *rows: tuple[str, ...],
    known: RegisterKnown | None = None,
    before: tuple[str, ...] = ENGLISH,
    **said: object,
) -> ImportPlan:
    lines = [(*before, *headings)]
    lines += [(f"B{n}", "Ruff", "Lagoon", "m/Y", *row) for n, row in enumerate(rows)]
    contents = "\n".join(";".join(line) for line in lines).encode()
    sheet = read_table(contents, "park.csv", lambda heading: bool(field_of(heading)))
    known = known or RegisterKnown()
    writing = Choices.of({"letters": "wader", "species": {"Ruff": "leg"}, **said}).writing(
        TODAY, known.palette, WADER
    )
    return plan_import(sheet, columns_of(sheet, {}, TODAY), writing, known)


def how(plan: ImportPlan) -> str:
    """The fate of the one bird of a plan; empty where it lives here."""
    assert not plan.refused, plan.refused
    (bird,) = plan.birds
    return bird.fate.how


def looked_at(plan: ImportPlan) -> str:
    return " | ".join(one.text for one in plan.remarks)


NOTHING = ("", "-", "--", "—", "none", "None", "no", "n/a", "N/A", "alive", "not yet", "never", "nein")


@pytest.mark.parametrize("cell", NOTHING)
@pytest.mark.parametrize("heading", ["Died", "Departed", "Went to", "Moved to"])
def test_a_cell_without_an_entry_tells_of_no_death_and_no_departure(heading: str, cell: str) -> None:
    plan = plan_of((heading, "Sex"), (cell, "F"))
    assert how(plan) == ""
    assert plan.birds[0].fate.went_to == ""
    assert not plan.remarks


@pytest.mark.parametrize("heading", ["to", "nach", "naar", "moved to"])
def test_a_dash_is_no_place_that_a_bird_went_to(heading: str) -> None:
    assert how(plan_of((heading, "Sex"), ("-", "F"))) == ""
    assert how(plan_of((heading, "Sex"), ("South Marsh", "F"))) == "departed"


@pytest.mark.parametrize(
    "cell",
    ["?", "unknown", "unbekannt", "sometime", "fox", "alive 2024-05-01", "not dead", "no, seen 3.4.2021"],
)
@pytest.mark.parametrize("heading", ["Died", "Departed"])
def test_what_tells_neither_of_a_day_nor_of_a_fate_is_a_living_bird_to_be_looked_at(
    heading: str, cell: str
) -> None:
    plan = plan_of((heading, "Sex"), (cell, "F"))
    assert how(plan) == ""
    assert f"'{cell}'" in looked_at(plan)
    assert LOOK in looked_at(plan)


def test_a_place_that_nobody_knows_is_kept_for_a_bird_that_left_and_looked_at_for_one_that_did_not() -> None:
    plan = plan_of(("Went to", "Sex"), ("unknown", "F"))
    assert how(plan) == ""
    assert LOOK in looked_at(plan)
    left = plan_of(("Departed", "Went to"), ("2024-05-06", "unknown"))
    assert (how(left), left.birds[0].fate.went_to) == ("departed", "unknown")
    assert LOOK not in looked_at(left)


@pytest.mark.parametrize(
    ("heading", "cell", "fate", "day"),
    [
        ("Died", "3.4.2021", "died", date(2021, 4, 3)),
        ("Died", "x", "died", TODAY),
        ("Died", "yes", "died", TODAY),
        ("Died", "found dead", "died", TODAY),
        ("Died", "fox, 3.4.2021", "died", date(2021, 4, 3)),
        ("Died", "31.2.2021", "died", TODAY),
        ("Departed", "died 3.4.2021", "died", date(2021, 4, 3)),
        ("Departed", "x", "departed", TODAY),
        ("Sold", "to South Marsh, 5 May 2022", "departed", date(2022, 5, 5)),
        ("Died", "sold 2022-05-02", "departed", date(2022, 5, 2)),
        ("Departed", "sold May 2022", "departed", date(2022, 5, 1)),
        ("Departed", "sold 2022", "departed", date(2022, 1, 1)),
    ],
)
def test_a_day_a_yes_or_a_word_of_a_fate_tells_it(heading: str, cell: str, fate: str, day: date) -> None:
    plan = plan_of((heading, "Sex"), (cell, "F"))
    assert (how(plan), plan.birds[0].fate_on) == (fate, day)


@pytest.mark.parametrize("heading", ["Died", "Departed"])
def test_a_day_to_come_has_not_been(heading: str) -> None:
    plan = plan_of((heading, "Sex"), ("2026-12-01", "F"))
    assert how(plan) == ""
    assert f"'2026-12-01' lies in the future: {LOOK}" in looked_at(plan)


@pytest.mark.parametrize("heading", ["Present", "Alive", "Status"])
@pytest.mark.parametrize("cell", ["x", "X", "+"])
def test_a_tick_in_a_column_of_who_is_present_is_no_death(heading: str, cell: str) -> None:
    plan = plan_of((heading, "Sex"), (cell, "F"))
    assert how(plan) == ""
    assert "is no status that is known here" in looked_at(plan)


def test_a_status_in_which_a_word_may_mean_something_else_is_shown() -> None:
    plan = plan_of(("Status", "Sex"), ("transferred from Avon Park", "F"))
    assert "'transferred from Avon Park': taken as one that left; look whether that is so" in looked_at(plan)
    assert not looked_at(plan_of(("Status", "Died"), ("dead", "2021-04-03")))


@pytest.mark.parametrize(
    ("before", "heading", "note"),
    [
        (DUTCH, "Opmerking", "in quarantaine tot 3-4-2021"),
        (ENGLISH, "Remarks", "Mate †2019"),
        (ENGLISH, "Remarks", "not dead"),
        (ENGLISH, "Remarks", "nearly died 2020"),
        (ENGLISH, "Remarks", "not yet sold"),
        (ENGLISH, "Remarks", "dead tail feather"),
        (GERMAN, "Bemerkung", "Ring getauscht 2020"),
        (ENGLISH, "Remarks", "metal band swapped to right leg"),
        (ENGLISH, "Remarks", "bands exchanged 2020"),
        (ENGLISH, "Remarks", "transferred from Avon Park"),
        (ENGLISH, "Remarks", "no"),
        (ENGLISH, "Remarks", "gestorben 2020"),
    ],
)
def test_a_remark_that_is_not_of_this_birds_fate_leaves_it_living(
    before: tuple[str, ...], heading: str, note: str
) -> None:
    plan = plan_of((heading,), (note,), before=before)
    assert how(plan) == ""
    unspoken = note in ("in quarantaine tot 3-4-2021", "no")
    assert looked_at(plan) == ("" if unspoken else f"'{note}': {LOOK}")


@pytest.mark.parametrize(
    ("before", "heading", "note", "fate"),
    [
        (ENGLISH, "Remarks", "† 3.4.2021", "died"),
        (ENGLISH, "Remarks", "†2021-04-03", "died"),
        (GERMAN, "Bemerkung", "gestorben 3.4.2021", "died"),
        (DUTCH, "Opmerking", "verkocht 3.4.2021", "departed"),
        (ENGLISH, "Remarks", "sold 3.4.2021", "departed"),
    ],
)
def test_a_plain_word_of_the_files_language_tells_it_in_a_remark(
    before: tuple[str, ...], heading: str, note: str, fate: str
) -> None:
    plan = plan_of((heading,), (note,), before=before)
    assert (how(plan), plan.birds[0].fate_on) == (fate, date(2021, 4, 3))


@pytest.mark.parametrize(
    ("heading", "cell"),
    [
        ("Died", "3/4/2021"),
        ("Departed", "3/4/2021"),
        ("Died", "fox 3/4/2021"),
        ("Status", "dead 3/4/2021"),
        ("Remarks", "sold 3/4/2021"),
    ],
)
def test_a_day_of_death_or_departure_that_may_be_two_is_asked_and_never_another_day(
    heading: str, cell: str
) -> None:
    plan = plan_of(("Arrived", heading), ("2020-01-02", cell), ("2020-01-02", ""))
    assert [bird.line for bird in plan.birds] == [3]
    assert [(one.line, one.field) for one in plan.refused] == [(2, heading)]
    (asked,) = plan.questions
    assert (asked.kind, asked.lines, asked.pressing) == ("dates", (2,), False)
    assert asked.proposals == (("day first",), ("month first",))
    for order, day in (("day first", date(2021, 4, 3)), ("month first", date(2021, 3, 4))):
        told = plan_of(("Arrived", heading), ("2020-01-02", cell), slashes=order)
        assert [bird.fate_on for bird in told.birds] == [day]
        assert not told.questions


@pytest.mark.parametrize("heading", ["Died", "Departed"])
def test_a_files_own_days_of_death_and_departure_tell_which_way_round_it_writes(heading: str) -> None:
    plan = plan_of((heading, "Hatched"), ("4/23/2022", "3/4/2021"))
    assert plan.birds[0].hatched == PartialDate(date(2021, 3, 4))
    assert not plan.questions


@pytest.mark.parametrize("cell", ["3/4/2021", "3/4/21", "3-4-2021?"])
def test_a_hatch_date_that_may_be_two_is_asked_and_keeps_its_year_and_its_words_till_then(cell: str) -> None:
    plan = plan_of(("Hatched", "Remarks"), (cell, "shy"))
    (bird,) = plan.birds
    assert bird.hatched == PartialDate(date(2021, 1, 1), "year")
    assert bird.note == f"shy; hatched: {cell}"
    assert "recorded as 2021" in looked_at(plan)
    (asked,) = plan.questions
    assert (asked.kind, asked.field, asked.lines, asked.pressing) == ("dates", "hatched", (2,), False)
    told = plan_of(("Hatched", "Remarks"), (cell, "shy"), slashes="month first")
    assert told.birds[0].hatched is not None
    assert told.birds[0].hatched.day == date(2021, 3, 4)
    assert told.birds[0].note == "shy"
    assert not told.questions


def test_a_line_that_went_in_is_asked_about_no_more() -> None:
    first = plan_of(("Hatched", "Sex"), ("3/4/2021", "F"))
    known = RegisterKnown(rows_in=frozenset(bird.digest for bird in first.birds))
    again = plan_of(("Hatched", "Sex"), ("3/4/2021", "F"), known=known)
    assert again.in_before == (2,)
    assert not again.questions


def test_a_palettes_own_names_are_its_own_whatever_they_mean_in_another_language() -> None:
    palette = Palette.of(
        {**BUILT_IN.as_mapping(), "violet": "#7f00ff", "rosa": "#ffc0cb", "rose gold": "#b76e79"}
    )
    known = RegisterKnown(palette=palette)
    for told, worn in (
        ("violet over red", ["violet", "red"]),
        ("Violet over pink", ["violet", "pink"]),
        ("rosa over pink", ["rosa", "pink"]),
        ("rose gold over lila", ["rose gold", "purple"]),
    ):
        plan = plan_of(("Left leg",), (told,), known=known, before=("Bird", "Species", "Aviary", "Right leg"))
        assert not plan.refused, plan.refused
        assert plan.birds[0].marks.as_marks().as_mapping()["left leg"] == worn
