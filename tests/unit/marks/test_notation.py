"""Marks as keepers write them: taken exactly, or refused with the part that is to blame."""

from __future__ import annotations

import pytest

from tarsus.core.errors import MalformedInput
from tarsus.core.marks.lettering import WADER, Lettering, lettering_from, undisputed
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.notation import parse_marks, parse_site
from tarsus.core.marks.noted import NotedBand, NotedMarks, UnclearMarks, UndecidedLetter
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.marks.shorthand import Notation
from tarsus.core.marks.wording import in_letters, in_words

ON_THE_LEG = Notation(level="leg")
ABOVE_THE_JOINT = Notation(level="tibia")
ON_THE_WING = Notation(level="wing")

METAL_LEFT_YELLOW_OVER_GREEN_RIGHT = Marks.of({"left leg": ["metal"], "right leg": ["yellow", "green"]})


@pytest.mark.parametrize(
    "written",
    [
        "m/YG",
        " M / yg ",
        "m/Y-G",
        "L: metal; R: yellow over green",
        "R: yellow over green; L: metal",
        "L. m, R. YG",
        "L:m/R:YG",
        "metal left, yellow/green right",
        "left metal right yellow green",
        "Metal left. Yellow over green right.",
        "Steel ring on its left leg, yellow over green on its right leg",
        "left leg m, right leg Y/G",
        "left tarsus m; right lower leg: green below yellow",
        "metal left and green under yellow right",
        "RIGHT: YELLOW OVER GREEN, LEFT: METAL",
    ],
)
def test_many_ways_of_writing_are_the_same_marks(written: str) -> None:
    assert parse_marks(written, ON_THE_LEG).as_marks() == METAL_LEFT_YELLOW_OVER_GREEN_RIGHT


@pytest.mark.parametrize("written", ["m/YG", "LT m RT YG", "left tibia m, right tibia Y/G", "UL: m UR: YG"])
def test_left_and_right_are_the_tibia_for_birds_banded_above_the_joint(written: str) -> None:
    marks = parse_marks(written, ABOVE_THE_JOINT).as_marks()
    assert marks == Marks.of({"left tibia": ["metal"], "right tibia": ["yellow", "green"]})


def test_a_comma_parts_above_the_joint_from_below_it() -> None:
    marks = parse_marks("m,-/YG,B", ABOVE_THE_JOINT).as_marks()
    assert marks == Marks.of(
        {"left tibia": ["metal"], "right tibia": ["yellow", "green"], "right leg": ["blue"]}
    )


def test_left_and_right_are_the_wings_for_birds_banded_there() -> None:
    assert parse_marks("O/-", ON_THE_WING) == NotedMarks.of(
        {"left wing": [NotedBand("orange")], "right wing": []}
    )
    assert parse_marks("RW: OB", ON_THE_LEG).as_marks() == Marks.of({"right wing": ["orange", "blue"]})


def test_bare_is_written_and_unseen_is_not() -> None:
    bare = parse_marks("m/-", ON_THE_LEG)
    unseen = parse_marks("m/not seen", ON_THE_LEG)
    assert bare.as_reading() == Reading.of({"left leg": ["metal"], "right leg": []})
    assert unseen.as_reading() == Reading.of({"left leg": ["metal"], "right leg": None})
    assert bare.as_marks() == unseen.as_marks()


@pytest.mark.parametrize("written", ["", "  ", "?", "unknown"])
def test_nothing_said_is_nothing_known(written: str) -> None:
    assert parse_marks(written, ON_THE_LEG) == NotedMarks()


@pytest.mark.parametrize("written", ["-", "–", "bare", "no bands", "unbanded"])
def test_an_unbanded_bird_is_bare_on_both_sides(written: str) -> None:
    assert parse_marks(written, ON_THE_LEG) == NotedMarks.of({"left leg": [], "right leg": []})


@pytest.mark.parametrize(
    ("written", "bands"),
    [
        ("m WB20417/-", [NotedBand("metal", engraving="WB20417")]),
        ("m(WB 20417)/-", [NotedBand("metal", engraving="WB 20417")]),
        ("metal no. AX 20417/-", [NotedBand("metal", engraving="AX 20417")]),
        ("m20417/-", [NotedBand("metal", engraving="20417")]),
        ("Y(A7)/-", [NotedBand("yellow", engraving="A7")]),
        ("Y(tie)G/-", [NotedBand("yellow", tie=True), NotedBand("green")]),
        ("yellow cable tie/-", [NotedBand("yellow", tie=True)]),
        ("YG(tie, worn)/-", [NotedBand("yellow"), NotedBand("green", tie=True, condition="worn")]),
        (
            "closed metal over red(faded)/-",
            [NotedBand("metal", closed=True), NotedBand("red", condition="faded")],
        ),
    ],
)
def test_what_is_noted_beside_a_band_stays_with_it(written: str, bands: list[NotedBand]) -> None:
    assert list(parse_marks(written, ON_THE_LEG).at("left leg") or ()) == bands


@pytest.mark.parametrize(
    ("written", "part", "remedy"),
    [
        ("L m R YG", "L m R YG", "colon after each side"),
        ("Lm/RYG", "Lm / RYG", "'L: m; R: YG'"),
        ("LT m RT YG", "LT", "'left tibia' or 'left tarsus'"),
        ("YG", "YG", "name the sides"),
        ("Y/G/R", "Y / G / R", "name the sides"),
        ("m,-/YG", "m , - / YG", "on both sides"),
        ("L: m; R: red and blue", "and", "write 'over'"),
        ("m/blu", "blu", "did you mean 'blue'?"),
        ("m/YG tie", "tie", "Y(tie)G"),
        ("red worn blue left", "worn", "after its band"),
        ("R: YG R: m", "R", "in one place"),
        ("left metal right", "right", "write '-'"),
        ("m/Y~G", "~", "leave it out"),
        ("m/YGBRW", "YGBRW", "at most 4"),
        ("WB20417/YG", "WB20417", "in brackets"),
        ("m(lost)/Y", "lost", "leave out a band"),
        ("m(tie)/Y", "tie", "colour of the cable tie"),
        ("left upper lower leg: m", "left upper lower leg", "one site"),
        ("Y over/m", "over", "leave it out"),
        ("Y over green under red/m", "under", "between all bands"),
        ("m(A1)(A2)/Y", "A2", "keep one"),
        (": m", ":", "after the side"),
    ],
)
def test_unclear_marks_are_refused_by_the_part_that_is_to_blame(written: str, part: str, remedy: str) -> None:
    with pytest.raises(UnclearMarks) as refused:
        parse_marks(written, ON_THE_LEG)
    assert refused.value.part == part
    assert remedy in refused.value.remedy


def test_the_whole_leg_and_the_tarsus_are_not_confounded_above_the_joint() -> None:
    with pytest.raises(UnclearMarks, match="whole leg or the tarsus"):
        parse_marks("left leg m, right leg YG", ABOVE_THE_JOINT)


def test_the_t_of_lt_is_what_the_park_says_it_is() -> None:
    tarsus = Notation(level="tibia", t_means="tarsus")
    assert parse_marks("LT m RT YG", tarsus).as_marks() == METAL_LEFT_YELLOW_OVER_GREEN_RIGHT


def test_a_band_without_its_colour_is_a_reading_but_no_record() -> None:
    seen = parse_marks("m/?G", ON_THE_LEG)
    assert seen.as_reading() == Reading.of({"left leg": ["metal"], "right leg": ["?", "green"]})
    with pytest.raises(UnclearMarks, match="right leg without its colour"):
        seen.as_marks()


def test_a_column_for_one_site_holds_its_bands_alone() -> None:
    assert parse_site("Y/G", "right tibia", ABOVE_THE_JOINT).as_marks() == Marks.of(
        {"right tibia": ["yellow", "green"]}
    )
    assert parse_site("-", "left wing", ON_THE_LEG) == NotedMarks.of({"left wing": []})
    assert parse_site(" ? ", "left wing", ON_THE_LEG) == NotedMarks()
    with pytest.raises(UnclearMarks, match="names a site in the column of the left leg"):
        parse_site("right: YG", "left leg", ON_THE_LEG)


def test_a_disputed_letter_is_asked_for_and_never_guessed() -> None:
    with pytest.raises(UndecidedLetter) as asked:
        parse_marks("m/BY", Notation(lettering=undisputed()))
    assert asked.value.letter == "B"
    assert asked.value.claimants == ("blue", "black", "brown")


def test_letters_that_one_colour_alone_claims_need_no_asking() -> None:
    marks = parse_marks("m/ROYW", Notation(lettering=undisputed())).as_marks()
    assert marks.at("right leg") == ("red", "orange", "yellow", "white")


def test_a_park_may_mean_black_by_b() -> None:
    park = Notation(lettering=lettering_from(["B=black", "D=blue"]))
    assert parse_marks("m/BDY", park).as_marks().at("right leg") == ("black", "blue", "yellow")
    assert parse_marks("m/BDY", Notation(lettering=lettering_from(["B=brown", "D=green"]))).as_marks().at(
        "right leg"
    ) == ("brown", "green", "yellow")


def test_two_letters_that_differ_by_case_alone_are_kept_apart() -> None:
    park = Notation(lettering=Lettering.of({"blue": "B", "black": "b"}))
    assert parse_marks("m/Bb", park).as_marks().at("right leg") == ("blue", "black")


def test_a_string_of_letters_that_can_be_cut_in_two_ways_is_refused() -> None:
    park = Notation(lettering=Lettering.of({"blue": "D", "green": "G", "black": "DG"}))
    with pytest.raises(UnclearMarks, match="may be"):
        parse_marks("m/DG", park)


@pytest.mark.parametrize(
    ("pairs", "said"),
    [
        (["B"], "write it as B=black"),
        (["B=teal"], "'teal' is no colour of the palette"),
        (["B=black", "B=blue"], "B stands for black and blue"),
        (["B=black", "N=black"], "black is given two letters"),
        (["B2=black"], "'B2' is no letter"),
    ],
)
def test_letters_that_cannot_be_are_refused(pairs: list[str], said: str) -> None:
    with pytest.raises(MalformedInput, match=said):
        lettering_from(pairs)


def test_the_default_letters_are_the_published_ones() -> None:
    # International Wader Study Group, describing combinations: N black, W white, R red, O orange, Y yellow, G
    # green, L lime, B blue, P pale blue, m metal; additional K light pink, V purple, U brown, S grey.
    published = {
        "N": "black",
        "W": "white",
        "R": "red",
        "O": "orange",
        "Y": "yellow",
        "G": "green",
        "L": "lime",
        "B": "blue",
        "P": "pale blue",
        "m": "metal",
        "K": "pink",
        "V": "purple",
        "U": "brown",
        "S": "grey",
    }
    assert dict(WADER.band_of) == published
    assert set(BUILT_IN.names) | {"metal"} == set(published.values())


def test_marks_are_told_in_words_and_letters() -> None:
    marks = Marks.of({"left tibia": ["metal"], "right tibia": ["yellow", "green"]})
    assert in_words(marks, "tibia") == "metal on the left, yellow over green on the right"
    assert in_words(marks, "leg") == "metal on the left tibia, yellow over green on the right tibia"
    assert in_letters(marks, level="tibia") == "m/YG"
    assert in_letters(marks, level="leg") == "left tibia: m; right tibia: YG"
    assert in_letters(Marks.of({"left leg": ["lime", "metal"], "right leg": ["red", "blue"]})) == (
        "left: Lm; right: RB"
    )
