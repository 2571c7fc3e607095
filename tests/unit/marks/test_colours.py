"""Colours: how far apart, through whose eyes, and which are taken for which."""

from __future__ import annotations

import math
import warnings
from typing import Any

import numpy as np
import pytest

from published_checks import published
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.colour_difference import difference, differences, lab_difference
from tarsus.core.marks.colour_vision import ColourVision, seen_colour, seen_palette
from tarsus.core.marks.confusability import SCALE, confusability
from tarsus.core.marks.palette import BUILT_IN, Palette

RED_AND_ORANGE = Palette.of({"red": "#c8102e", "orange": "#f27d00"})
RED_FADED = Palette.of({"red": "#e0866a", "orange": "#f27d00"})
EXACT = {"rtol": 1e-9, "atol": 1e-12}


@pytest.fixture(scope="module")
def colour_science() -> Any:
    """A second colour library, written by other people."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it says on import that plotting is not installed
        import colour
    return colour


def channels(hexed: str) -> np.ndarray:
    return np.array([int(hexed[at : at + 2], 16) for at in (1, 3, 5)]) / 255


def test_the_published_pairs_differ_as_printed() -> None:
    # Source: Sharma, Wu & Dalal 2005, table 1 (in the file).
    check = published("ciede2000_pairs")
    assert len(check["pairs"]) == 34
    for pair in check["pairs"]:
        found = lab_difference(tuple(pair["one"]), tuple(pair["other"]))
        assert found == pytest.approx(pair["difference"], rel=0, abs=check["tolerance"])


def test_another_library_finds_the_palette_as_far_apart(colour_science: Any) -> None:
    # Source: the colour-science library's sRGB to CIE L*a*b* and CIEDE2000.
    labs = [colour_science.XYZ_to_Lab(colour_science.sRGB_to_XYZ(channels(h))) for _, h in BUILT_IN.colours]
    others = [[float(colour_science.delta_E(a, b, method="CIE 2000")) for b in labs] for a in labs]
    # The libraries round the white point of daylight differently in the fourth digit; white against pale
    # blue is worst, .031.
    np.testing.assert_allclose(differences(BUILT_IN, BUILT_IN), others, rtol=0, atol=0.05)


@pytest.mark.parametrize(("deficiency", "theirs"), [
    ("protan", "Protanomaly"), ("deutan", "Deuteranomaly"), ("tritan", "Tritanomaly"),
])  # fmt: skip
def test_deficient_eyes_see_as_the_published_matrices_say(
    colour_science: Any, deficiency: str, theirs: str
) -> None:
    # Source: Machado, Oliveira & Fernandes 2009 (in the file), and the copy that colour-science ships.
    rows = [m for m in published("machado_matrices")["matrices"] if m["deficiency"] == deficiency]
    assert len(rows) == 11
    for row in rows:
        matrix = np.array(row["matrix"])
        copy = colour_science.CVD_MATRICES_MACHADO2010[theirs][row["severity"]]
        np.testing.assert_allclose(matrix, copy, rtol=0, atol=5e-7)
        eyes = ColourVision(deficiency, row["severity"])
        for _, hexed in BUILT_IN.colours:
            linear = np.clip(matrix @ colour_science.models.eotf_sRGB(channels(hexed)), 0, 1)
            expected = np.clip(colour_science.models.eotf_inverse_sRGB(linear), 0, 1)
            # A colour of eight bits a channel is right to half a step.
            np.testing.assert_allclose(channels(seen_colour(hexed, eyes)), expected, rtol=0, atol=0.501 / 255)


def test_between_two_published_severities_sight_is_between() -> None:
    quarter = channels(seen_colour("#0b7038", ColourVision("protan", 0.25)))
    low, high = (channels(seen_colour("#0b7038", ColourVision("protan", s))) for s in (0.2, 0.3))
    assert np.all((quarter - low) * (quarter - high) <= 1e-12)


def test_normal_eyes_see_the_palette_as_it_is() -> None:
    assert seen_palette(BUILT_IN, ColourVision("deutan", 0.0)) == BUILT_IN


def test_eyes_that_nobody_has_are_refused() -> None:
    with pytest.raises(UnknownWord, match="did you mean 'deutan'"):
        ColourVision("deuton", 0.5)
    with pytest.raises(WrongValue, match="give 0 to 1"):
        ColourVision("deutan", 1.5)


@pytest.mark.parametrize("colour", [0.0066, 0.0268, 0.3, 0.9])
def test_new_bands_are_misread_as_often_as_the_reader_says(colour: float) -> None:
    table = confusability(BUILT_IN, colour)
    np.testing.assert_allclose(table.sum(axis=1), 1.0, **EXACT)
    assert 1 - np.diagonal(table).mean() == pytest.approx(colour, rel=1e-9, abs=0)


def test_a_nearer_colour_is_the_likelier_mistake_by_the_exponential_of_the_difference() -> None:
    table = confusability(BUILT_IN, 0.02)
    yellow, lime, black = (BUILT_IN.names.index(name) for name in ("yellow", "lime", "black"))
    to_lime, to_black = (difference(BUILT_IN.hex_of("yellow"), BUILT_IN.hex_of(n)) for n in ("lime", "black"))
    assert table[yellow, lime] / table[yellow, black] == pytest.approx(
        math.exp((to_black - to_lime) / SCALE), rel=1e-9, abs=0
    )


def test_when_only_red_fades_only_red_is_read_worse() -> None:
    """Two colours, so that the whole table can be worked by hand; the table is not symmetric."""
    table = confusability(RED_AND_ORANGE, 0.02, looks=RED_FADED)
    odds_new = 0.02 / 0.98
    apart = difference("#c8102e", "#f27d00")
    faded_to_red, faded_to_orange = difference("#e0866a", "#c8102e"), difference("#e0866a", "#f27d00")
    odds_faded = odds_new * math.exp((apart + faded_to_red - faded_to_orange) / SCALE)
    expected = [[1 / (1 + odds_faded), odds_faded / (1 + odds_faded)], [0.02, 0.98]]
    np.testing.assert_allclose(table, expected, **EXACT)
    assert table[0, 1] > 5 * table[1, 0]


def test_a_red_that_faded_to_orange_is_hardly_read_as_red() -> None:
    gone = Palette.of({"red": "#f27d00", "orange": "#f27d00"})
    table = confusability(RED_AND_ORANGE, 0.02, looks=gone)
    assert table[0, 1] > 0.3
    assert table[1, 0] == pytest.approx(0.02, rel=1e-9, abs=0)


def test_red_and_green_are_mixed_up_by_deficient_eyes() -> None:
    normal = confusability(BUILT_IN, 0.01)
    deficient = confusability(BUILT_IN, 0.01, vision=ColourVision("deutan", 1.0))
    green, brown = BUILT_IN.names.index("green"), BUILT_IN.names.index("brown")
    assert deficient[green, brown] > 3 * normal[green, brown]
    assert 1 - np.diagonal(deficient).mean() > 0.01


def test_a_palette_of_one_colour_cannot_be_misread() -> None:
    assert confusability(Palette.of({"red": "#c8102e"}), 0.3).tolist() == [[1.0]]
