"""A run of letters that can be taken in two ways is asked about once; one without doubt is not."""

from __future__ import annotations

import pytest

from tarsus.core.marks.lettering import WADER
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.notation import parse_marks, undecided_runs
from tarsus.core.marks.noted import UnclearMarks
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.marks.runs import Runs, UndecidedRun, proposals
from tarsus.core.marks.shorthand import Notation

YELLOW_GREEN, LIME = ("yellow", "green"), ("lime",)
SHORT = {"yg": LIME, "zz": LIME, "zzz": ("mauve",)}


@pytest.mark.parametrize(
    ("run", "runs", "asked"),
    [
        ("YG", Runs(), ()),
        ("Y", Runs(most=0), ()),
        ("Y1", Runs(most=0), ()),
        ("YGW", Runs(), (("yellow", "green", "white"),)),
        ("YGW", Runs(most=3), ()),
        ("Yg", Runs(), (YELLOW_GREEN,)),
        ("Yg", Runs(small_letters=True), ()),
        ("yg", Runs(short=SHORT), (YELLOW_GREEN, LIME)),
        ("Yg", Runs(foreign=SHORT), (YELLOW_GREEN, LIME)),
        ("YG", Runs(foreign=SHORT), ()),
        ("ZZ", Runs(), ()),
        ("ZZ", Runs(short=SHORT), (LIME,)),
        ("ZZZ", Runs(short=SHORT), ()),
    ],
    ids=[
        "two bands",
        "one letter",
        "a number in it",
        "more bands than a leg has",
        "unless it may have three",
        "a small letter",
        "unless small ones stand for bands",
        "bands, or one colour's name cut short",
        "of another language",
        "and not in capitals",
        "nothing at all",
        "a colour's name cut short",
        "of a colour that the park has not",
    ],
)
def test_a_run_is_asked_about_where_there_is_doubt(
    run: str, runs: Runs, asked: tuple[tuple[str, ...], ...]
) -> None:
    assert proposals(run, runs, WADER, BUILT_IN) == asked


def test_every_doubtful_run_of_a_text_is_asked_and_what_is_plain_is_not() -> None:
    notation = Notation(level="leg", lettering=WADER, runs=Runs(short=SHORT))
    asked = undecided_runs("L: yg; R: R/zz", notation)
    assert [(one.run, one.proposals) for one in asked] == [("yg", (YELLOW_GREEN, LIME)), ("zz", (LIME,))]
    assert undecided_runs("L: metal; R: red over white", notation) == ()
    assert str(asked[0]).endswith("may be yellow over green or lime; say once which it is, such as yg=lime")
    with pytest.raises(UndecidedRun):
        parse_marks("L: m; R: yg", notation)


def test_what_the_park_said_of_a_run_is_how_it_is_read() -> None:
    said = Runs(said={"yg": LIME, "rob": ()}, short=SHORT)
    notation = Notation(level="leg", lettering=WADER, runs=said)
    assert undecided_runs("L: m; R: yg", notation) == ()
    read = parse_marks("L: m; R: yg", notation)
    assert read.as_marks() == Marks.of({"left leg": ["metal"], "right leg": ["lime"]})
    with pytest.raises(UnclearMarks, match="'rob' is not read in this file; write the colours in words"):
        parse_marks("L: m; R: rob", notation)
    assert said.colours_of("Yg") == LIME
    assert Runs(foreign=SHORT).colours_of("YG") == ()
