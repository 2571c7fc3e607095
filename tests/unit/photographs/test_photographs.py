"""Photographs against cases worked out another way, and their pieces against published values."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest

from published_checks import published
from tarsus.core.documents.photograph import answer_photograph, parse_photograph, photograph_as_document
from tarsus.core.errors import UnknownKey, UnknownWord, WrongValue
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.photographs.colours import colourings, photographed
from tarsus.core.photographs.light import CAT16, DAYLIGHT_DUV, SRGB_TO_XYZ, planckian, under, white
from tarsus.core.photographs.pixels import linear, metal_cast, tapped
from tarsus.core.photographs.renderings import renderings

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it misses a plotting library that nothing here needs
    import colour

CASES = published("photograph_cases")
PALETTE = CASES["palette"]


@pytest.mark.parametrize("case", CASES["cases"], ids=lambda case: case["name"])
def test_a_photograph_tells_what_plain_loops_over_every_light_tell(case: dict[str, Any]) -> None:
    asked = {
        key: case[key]
        for key in ("mean", "metal", "bands", "birds", "reader", "worn", "camera")
        if key in case
    }
    told = photograph_as_document(answer_photograph(parse_photograph({"palette": PALETTE, **asked})))
    for row, chances in zip(told["bands"], case["chances"], strict=True):
        np.testing.assert_allclose(list(row.values()), chances, rtol=0, atol=1e-9)
    if case["metal"] is not None:
        cast = metal_cast(np.array(case["metal"], dtype=float))
        assert cast is not None
        np.testing.assert_allclose(cast, case["cast"], rtol=0, atol=1e-12)
    if "candidates" in case:
        found = {one["id"]: one["p"] for one in told["candidates"]}
        assert found == pytest.approx(case["candidates"], abs=2e-5)
        assert told["none_of_these"] == pytest.approx(case["none_of_these"], abs=1e-5)
        assert sum(found.values()) + told["none_of_these"] == pytest.approx(1.0, abs=1e-9)


def test_the_adaptation_is_the_published_one() -> None:
    # CAT16's matrix: Li et al. 2017, Color Res. Appl. 42(6):703-718, as the colour library carries it.
    np.testing.assert_array_equal(CAT16, colour.adaptation.CHROMATIC_ADAPTATION_TRANSFORMS["CAT16"])
    # A patch under a warm light, by the library's von Kries transform.
    sheet = white(300.0, 0.0)
    patch = np.array([0.5, 0.2, 0.3])
    here = under(sheet[None], patch)[0]
    there = colour.adaptation.matrix_chromatic_adaptation_VonKries(
        SRGB_TO_XYZ @ np.ones(3), SRGB_TO_XYZ @ sheet, transform="CAT16"
    )
    expected = np.linalg.solve(SRGB_TO_XYZ, there @ (SRGB_TO_XYZ @ patch))
    np.testing.assert_allclose(here, expected, rtol=1e-9, atol=1e-12)


def test_a_glowing_body_has_krysteks_colour() -> None:
    # Krystek 1985 at 2856 K (illuminant A): u, v = .25589, .34962, as printed in tables of the method.
    np.testing.assert_allclose(planckian(2856.0), [0.25589, 0.34962], rtol=0, atol=5e-6)


def test_daylight_lies_where_the_standard_puts_it() -> None:
    # CIE 015:2018: daylight of 6504 K has x, y = .31271, .32912; the middle of our casts is that light.
    sheet = white(153.75, 0.0032)
    xyz = SRGB_TO_XYZ @ sheet
    x, y = xyz[:2] / xyz.sum()
    assert (x, y) == (pytest.approx(0.31271, abs=5e-4), pytest.approx(0.32912, abs=5e-4))


@pytest.mark.parametrize(
    ("light", "kelvin", "published_xy"),
    [
        ("D50", 5003, (0.34567, 0.35850)),
        ("D55", 5503, (0.33242, 0.34743)),
        ("D65", 6504, (0.31272, 0.32903)),
        ("D75", 7504, (0.29902, 0.31485)),
    ],
)
def test_daylights_have_the_standards_chromaticities(
    light: str, kelvin: float, published_xy: tuple[float, float]
) -> None:
    # CIE 015, table of illuminants (2 degree observer): the spectra that the benchmark lights its bands with,
    # and the line along which our casts are laid out, so far beside the glowing body as daylight lies.
    shape = colour.SpectralShape(380, 780, 5)
    eye = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values
    xyz = colour.SDS_ILLUMINANTS[light].copy().align(shape).values @ eye
    np.testing.assert_allclose(xyz[:2] / xyz.sum(), published_xy, rtol=0, atol=5e-5)
    ours = SRGB_TO_XYZ @ white(1e6 / kelvin, DAYLIGHT_DUV)
    np.testing.assert_allclose(ours[:2] / ours.sum(), published_xy, rtol=0, atol=1e-3)


def test_what_the_benchmark_calls_nearest_is_nearest_by_the_published_differences() -> None:
    # Sharma, Wu & Dalal 2005, table 1 (source in the file). The core's own is tested in test_colours.py.
    check = published("ciede2000_pairs")
    for pair in check["pairs"]:
        told = float(colour.delta_E(pair["one"], pair["other"], method="CIE 2000"))
        assert told == pytest.approx(pair["difference"], abs=check["tolerance"])


def test_codes_are_decoded_as_the_standard_says() -> None:
    # IEC 61966-2-1, through the colour library; ColorChecker's published sRGB (2005) as codes.
    codes = np.array(
        [[115, 82, 68], [194, 150, 130], [98, 122, 157], [243, 242, 242], [52, 52, 52]], dtype=float
    )
    np.testing.assert_allclose(linear(codes), colour.models.eotf_sRGB(codes / 255), rtol=0, atol=1e-12)


CHECKER = [
    "#735244",
    "#c29682",
    "#627a9d",
    "#576c43",
    "#8580b1",
    "#67bdaa",
    "#d67e2c",
    "#505ba6",
    "#c15a63",
    "#5e3c6c",
    "#9dbc40",
    "#e0a32e",
    "#383d96",
    "#469449",
    "#af363c",
    "#e7c71f",
    "#bb5695",
    "#0885a1",
]
"""The 18 coloured patches of the ColorChecker as its maker published them in sRGB (2005; from memory)."""


@pytest.mark.parametrize("light", ["A", "D50", "D75", "FL2"])
def test_patches_under_another_light_are_named_right_when_seen_together(light: str) -> None:
    # The checker's published colours, re-rendered by the colour library's CAT16 from D65 to a published
    # illuminant, half of the way, as a camera's white balance leaves it.
    names = {f"patch {at}": value for at, value in enumerate(CHECKER)}
    there = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"][light]
    daylight = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    half = (np.asarray(there) + np.asarray(daylight)) / 2
    matrix = colour.adaptation.matrix_chromatic_adaptation_VonKries(
        colour.xy_to_XYZ(daylight), colour.xy_to_XYZ(half), transform="CAT16"
    )

    def shown(light_of: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
        cast = np.clip(np.linalg.solve(SRGB_TO_XYZ, matrix @ (SRGB_TO_XYZ @ light_of)), 0, 1)
        return np.asarray(colour.models.eotf_inverse_sRGB(cast) * 255)

    looks = renderings(Palette.of(names))
    patches = [np.array([int(v[i : i + 2], 16) for i in (1, 3, 5)], dtype=float) for v in CHECKER[6:10]]
    grey = np.repeat(shown(np.full(3, 0.18))[None], 4, axis=0)
    photo = photographed(looks, tapped([shown(linear(p))[None] for p in patches], grey, 0.18))
    assert [photo.names[at] for at in photo.chances.argmax(axis=1)] == [f"patch {at}" for at in range(6, 10)]


def test_bands_help_each_other_and_are_not_independent() -> None:
    case = next(case for case in CASES["cases"] if case["name"].startswith("no metal"))
    looks = renderings(Palette.of(PALETTE))
    bands = [np.array(band, dtype=float) for band in case["bands"]]
    both = photographed(looks, tapped(bands, None, case["mean"]))
    alone = photographed(looks, tapped(bands[:1], None, case["mean"]))
    assert np.abs(both.chances[0] - alone.chances[0]).max() > 0.02
    joint = dict(colourings(both))
    assert sum(joint.values()) == pytest.approx(1.0)
    product = {pair: both.chances[0][pair[0]] * both.chances[1][pair[1]] for pair in joint}
    assert max(abs(joint[pair] - product[pair]) for pair in joint) > 0.01
    for at in (0, 1):
        row = np.zeros(len(PALETTE))
        for pair, share in joint.items():
            row[pair[at]] += share
        np.testing.assert_allclose(row, both.chances[at], rtol=0, atol=5e-4)


def test_a_colour_known_to_fade_is_known_when_faded() -> None:
    looks = renderings(BUILT_IN)
    knowing = renderings(BUILT_IN, {"purple": "#c9a7c9"})
    old = 0.7 * linear(np.array([0x6A, 0x2A, 0x92], dtype=float)) + 0.3 * linear(
        np.array([0xC9, 0xA7, 0xC9], dtype=float)
    )
    pixels = [np.asarray(colour.models.eotf_inverse_sRGB(old) * 255)[None]]
    grey = np.full((4, 3), 118.0)
    at = BUILT_IN.names.index("purple")
    before = photographed(looks, tapped(pixels, grey, 0.2)).chances[0][at]
    after = photographed(knowing, tapped(pixels, grey, 0.2)).chances[0][at]
    assert after > before


@pytest.mark.parametrize(
    ("bands", "metal", "doubts"),
    [
        ([[[200, 30, 30]], [[20, 60, 200]]], [[120, 121, 119]] * 3, []),
        ([[[44, 10, 10]], [[20, 60, 200]]], [[120, 121, 119]] * 3, ["too dark"]),
        ([[[250, 30, 30], [249, 30, 30]], [[20, 60, 200]]], [[120, 121, 119]] * 3, ["clipped"]),
        ([[[200, 30, 30]], [[20, 60, 200]]], None, ["no metal tapped"]),
        ([[[200, 30, 30]], [[20, 60, 200]]], [[251, 252, 250]] * 9, ["metal burnt out"]),
        ([[[200, 30, 30]], [[20, 60, 200]]], [[9, 8, 9]] * 9, ["too dark"]),
        ([[[200, 30, 30]], [[20, 60, 200]]], [[200, 120, 60]] * 3, ["strong coloured light"]),
        ([[[200, 30, 30]]], [[120, 121, 119]] * 3, ["tap all bands"]),
    ],
)
def test_what_may_mislead_is_said(bands: list[Any], metal: list[Any] | None, doubts: list[str]) -> None:
    told = answer_photograph(parse_photograph({"mean": 0.2, "bands": bands, "metal": metal}))
    assert list(told.doubts) == doubts


@pytest.mark.parametrize(
    ("change", "refusal", "said"),
    [
        ({"mean": 2}, WrongValue, "mean: "),
        ({"bands": []}, WrongValue, "bands: has 0 bands"),
        ({"bands": [[[1, 2]]]}, WrongValue, "bands[0][0]: "),
        ({"bands": [[[1, 2, 256]]]}, WrongValue, "bands[0][0][2]: "),
        ({"metal": []}, WrongValue, "metal: has 0 pixels"),
        ({"light": 3}, UnknownKey, "'light' is no key"),
        ({"camera": {"exponent": 0}}, WrongValue, "camera.exponent: "),
        ({"camera": {"ageing": [1]}}, WrongValue, "camera.ageing: has 1 weights; give 6"),
        ({"camera": {"ageing_of": {"rod": [1] * 6}}}, UnknownKey, "'rod' is no key"),
        ({"camera": {"ageing_of": {"red": [1]}}}, WrongValue, "camera.ageing_of.red: has 1 weights; give 6"),
        ({"camera": {"ageing": [0] * 6}}, WrongValue, "camera.ageing: gives no way of ageing a weight"),
        ({"worn": {"left leg": [0]}}, WrongValue, "birds: is missing beside 'worn'"),
        ({"worn": {"left leg": [1]}, "birds": []}, WrongValue, 'worn["left leg"][0]: 1 is no tapped band'),
        ({"worn": {"left leg": [0, 0]}, "birds": []}, WrongValue, "a band sits in one place"),
        ({"worn": {"left leg": ["red"]}, "birds": []}, UnknownWord, "'red' is no word for a band"),
        ({"worn": {"left log": [0]}, "birds": []}, UnknownWord, "did you mean 'left leg'?"),
        ({"worn": {}, "birds": []}, WrongValue, "worn: names no site"),
    ],
)
def test_what_cannot_be_is_refused_by_its_place(change: dict[str, Any], refusal: type, said: str) -> None:
    with pytest.raises(refusal) as told:
        parse_photograph({"mean": 0.2, "bands": [[[200, 30, 30]]], **change})
    assert said in str(told.value)
