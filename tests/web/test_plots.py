"""Plots as text: what stands where, and what is said of it."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from itertools import pairwise

import pytest

from tarsus.core.care.weight_told import Yardstick, judged
from tarsus.core.care.weights import WeightLimits
from tarsus.queries.bird_page import Weight
from tarsus.web.plots.clarity import OFTEN, clarity_map, radius
from tarsus.web.plots.vision import Swatch, vision_row
from tarsus.web.plots.weight import Reference, weight_plot


def weights(*grams: float) -> list[Weight]:
    return [
        Weight(datetime(2026, month + 1, 3, 7, tzinfo=UTC), g, "in hand", False, False)
        for month, g in enumerate(grams)
    ]


@pytest.mark.parametrize("last", [3360.0, 3364.0, 3368.0, 3372.0, 3380.0, 3300.0])
@pytest.mark.parametrize("before", [3340.0, 3400.0])
def test_the_usual_and_the_last_weight_never_print_over_each_other(before: float, last: float) -> None:
    svg = weight_plot(weights(3350.0, before, last), reference=Reference(3368.0, 3200.0, 3031.0))
    usual, now = labels_of(svg)
    apart = max(usual[0], now[0]) - min(usual[1], now[1])
    assert abs(usual[2] - now[2]) >= 13 or apart >= 0


def labels_of(svg: str) -> list[tuple[float, float, float, str]]:
    """Left end, right end, foot and text of each strong label, a sign taken for 6.5 wide."""
    found = re.findall(r'class="strong" x="([\d.]+)" y="([\d.]+)" text-anchor="(\w+)">([^<]+)<', svg)
    assert len(found) == 2
    boxes = []
    for x, y, anchor, text in found:
        wide = 6.5 * len(text)
        left = float(x) - {"start": 0, "middle": wide / 2, "end": wide}[anchor]
        boxes.append((left, left + wide, float(y), text))
    return boxes


@pytest.mark.parametrize(
    "grams", [(103, 104, 102, 104, 103), (104, 104, 104, 104), (110, 96, 110, 95), (94, 99, 105, 110)]
)
def test_no_label_lies_on_the_weights_or_on_a_limit(grams: tuple[float, ...]) -> None:
    svg = weight_plot(weights(*grams), reference=Reference(104.0, 98.8, 93.6))
    trace = [
        tuple(map(float, at.split())) for at in svg.split('class="trace" d="M')[1].split('"')[0].split("L")
    ]
    levels = [float(y) for y in re.findall(r'class="(?:usual|limit)" d="M44 ([\d.]+)H', svg)]
    levels += [float(y) for y in re.findall(r"H384M44 ([\d.]+)H384", svg)]
    assert len(levels) == 3
    for left, right, foot, text in labels_of(svg):
        top = foot - 9
        assert [level for level in levels if top < level < foot] == []
        for (x1, y1), (x2, y2) in pairwise(trace):
            for step in range(201):
                px, py = x1 + (x2 - x1) * step / 200, y1 + (y2 - y1) * step / 200
                assert not (left < px < right and top < py < foot + 1), f"{text} lies on the trace"


@pytest.mark.parametrize("grams", [(318, 321, 319, 316, 315), (3350, 3400, 3364), (104, 104, 104, 104)])
@pytest.mark.parametrize("usual", [1.0, 1.004, 1.011, 0.993])
def test_no_label_lies_on_a_line_of_the_grid(grams: tuple[float, ...], usual: float) -> None:
    own = usual * grams[0]
    svg = weight_plot(weights(*grams), reference=Reference(own, own * 0.95, own * 0.9))
    grid = [float(y) for y in re.findall(r'class="grid" d="M44 ([\d.]+)H', svg)]
    feet = re.findall(r'class="(?:strong|limit-word)" x="[\d.]+" y="([\d.]+)"[^>]*>([^<]+)<', svg)
    assert [words for _, words in feet][1:3] == ["−5 %", "−10 %"]
    for foot, words in feet:
        assert [line for line in grid if float(foot) - 9 < line < float(foot)] == [], words


def test_the_usual_weight_is_rounded_as_the_sentence_beside_it_has_it() -> None:
    svg = weight_plot(weights(315.0), reference=Reference(318.5, 302.6, 286.7))
    assert "usual 319 g" in svg
    assert "Usual 319 g." in svg
    assert judged(315.0, False, Yardstick(318.5, (), 0), WeightLimits()).sentence.endswith("usual 319 g.")


def test_a_heavier_bird_stands_higher_and_a_later_one_further_right() -> None:
    svg = weight_plot(weights(300.0, 340.0, 320.0))
    dots = [(float(x), float(y)) for x, y in re.findall(r'class="dot" cx="([\d.]+)" cy="([\d.]+)"', svg)]
    (x1, light), (x2, heavy), (x3, middle) = dots
    assert x1 < x2 < x3
    assert heavy < middle < light


def test_a_single_weight_is_a_plot_too() -> None:
    svg = weight_plot(weights(312.5))
    assert "312.5 g" in svg
    assert "nan" not in svg


def test_weights_of_the_moult_are_hollow_across_new_year_too() -> None:
    # Moult from November to February: January and February are in it, March is not.
    svg = weight_plot(weights(300.0, 301.0, 302.0), months=(11, 2))
    assert re.findall(r'class="(dot(?: hollow)?)"', svg) == ["dot hollow", "dot hollow", "dot"]


def test_a_row_of_the_map_is_the_bird_there_and_a_column_the_name_it_was_given() -> None:
    svg = clarity_map(["Sedge", "Kelp", "Dock"], [[0, 0.04, 0], [0, 0, 0], [0.002, 0, 0]], "words")
    dots = re.findall(r'class="(dot(?: worst)?)" cx="([\d.]+)" cy="([\d.]+)"', svg)
    (often, x1, y1), (seldom, x2, y2) = dots
    assert (often, seldom) == ("dot worst", "dot")
    assert float(x1) - float(x2) == pytest.approx(18, rel=0, abs=1e-9), (
        "Kelp stands one column right of Sedge"
    )
    assert float(y2) - float(y1) == pytest.approx(36, rel=0, abs=1e-9), "Dock is two rows below Sedge"


def test_the_area_of_a_dot_is_how_often() -> None:
    assert radius(0.02) ** 2 / radius(0.005) ** 2 == pytest.approx(4, rel=1e-12, abs=0)
    assert radius(0.9) == radius(0.5), "it never leaves its cell"
    assert OFTEN < 0.01


def test_joined_colours_never_share_a_line_they_would_overlap_on() -> None:
    swatches = [Swatch(f"c{i}", "X", "#123456", dark=True) for i in range(5)]
    svg = vision_row(swatches, [(0, 2), (1, 3), (3, 4)], 'red & "green"')
    joins = re.findall(r'class="join" d="M(\d+) (\d+)H(\d+)"', svg)
    by_line: dict[str, list[tuple[int, int]]] = {}
    for first, y, last in joins:
        by_line.setdefault(y, []).append((int(first), int(last)))
    assert len(joins) == 3
    for spans in by_line.values():
        for (_, ends), (begins, _) in zip(sorted(spans), sorted(spans)[1:], strict=False):
            assert ends < begins
    assert "red &amp; &quot;green&quot;" in svg
