"""A bird's weights over time, with its usual weight and the vet's percentages where they are known."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from itertools import pairwise

from django.utils import timezone
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from tarsus.core.words.numbers import whole
from tarsus.queries.bird_page import Weight
from tarsus.web.plots.labels import FOOT, LEFT, RIGHT, TOP, Label, Segment, free_label

CLOSE = (-5, 15)
"""How far over and under a line the foot of its word stands."""


@dataclass(frozen=True)
class Reference:
    """A bird's own usual weight and the weights at which the vet wants to be asked."""

    usual_g: float
    prompt_g: float
    alarm_g: float


@dataclass(frozen=True)
class _Frame:
    """Where a moment and a weight lie on the drawing."""

    first: float
    last: float
    low: float
    high: float

    def x(self, at: datetime) -> float:
        span = max(1.0, self.last - self.first)
        return LEFT + 8 + (at.timestamp() - self.first) / span * (RIGHT - LEFT - 16)

    def y(self, weight_g: float) -> float:
        return FOOT - (weight_g - self.low) / (self.high - self.low) * (FOOT - TOP)


def _step(span: float) -> float:
    """A round step that gives three to six lines."""
    rough = span / 4
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * n for n in (1, 2, 5, 10) if power * n >= rough)


def _frame(weights: Sequence[Weight], reference: Reference | None) -> tuple[_Frame, float]:
    values = [weight.weight_g for weight in weights]
    if reference:
        values += [reference.usual_g, reference.alarm_g]
    low, high = min(values), max(values)
    spread = max(high - low, 0.04 * high)
    step = _step(spread)
    low, high = math.floor((low - 0.1 * spread) / step) * step, math.ceil((high + 0.1 * spread) / step) * step
    first, last = weights[0].at.timestamp(), weights[-1].at.timestamp()
    return _Frame(first, last, max(0.0, low), high), step


def _round_weights(frame: _Frame, step: float) -> list[float]:
    """The weights that have a line of the grid."""
    return [frame.low + n * step for n in range(int((frame.high - frame.low) / step + 1e-9) + 1)]


def _grid(frame: _Frame, step: float) -> str:
    lines = []
    for value in _round_weights(frame, step):
        y = frame.y(value)
        lines.append(f'<path class="grid" d="M{LEFT} {y:.1f}H{RIGHT}"/>')
        lines.append(f'<text x="{LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{value:g}</text>')
    return "".join(lines)


def _limits(heights: Sequence[float], labels: Sequence[Label]) -> str:
    usual, prompt, alarm = heights
    return (
        f'<path class="usual" d="M{LEFT} {usual:.1f}H{RIGHT}"/>'
        f'<path class="limit" d="M{LEFT} {prompt:.1f}H{RIGHT}M{LEFT} {alarm:.1f}H{RIGHT}"/>'
        + "".join(label.drawn() for label in labels)
    )


def _limit_labels(reference: Reference, frame: _Frame, lines: Sequence[Segment]) -> tuple[Label, ...]:
    """What stands beside the three level lines: the usual weight, and how far under it the vet asks."""
    labels = [
        free_label(f"usual {whole(reference.usual_g)} g", _beside(frame.y(reference.usual_g)), lines, ())
    ]
    for grams in (reference.prompt_g, reference.alarm_g):
        under = f"−{whole(100 * (1 - grams / reference.usual_g))} %"
        places = sorted(_beside(frame.y(grams), CLOSE), key=_to_the_left)
        labels.append(free_label(under, places, lines, labels, "limit-word"))
    return tuple(labels)


def _to_the_left(place: tuple[float, float, str]) -> int:
    return place[2] != "start"


def _beside(y: float, off: Sequence[float] = (*CLOSE, -20, 30)) -> list[tuple[float, float, str]]:
    """Where the word for a level line may stand: over it or under it, at either end, or between."""
    ends = ((RIGHT, "end"), (LEFT + 4, "start"), ((LEFT + RIGHT) / 2, "middle"))
    return [(x, y + by, anchor) for by in off for x, anchor in ends]


def _over_and_under(x: float, y: float, *, falling: bool) -> list[tuple[float, float, str]]:
    """Where the figure of a dot may stand: under it where the weight fell, else over it; or further off."""
    under, over = [y + 18, y + 34, y + 50], [y - 9, y - 25, y - 41]
    return [(min(x, RIGHT), at, "end") for at in ((*under, *over) if falling else (*over, *under))]


def _in_moult(day: date, months: tuple[int | None, int | None]) -> bool:
    start, end = months
    if start is None or end is None:
        return False
    return start <= day.month <= end if start <= end else day.month >= start or day.month <= end


def _shade(frame: _Frame, moults: Sequence[tuple[date, date | None]]) -> str:
    """A shaded stretch for each moult, as far as it lies within the plot."""
    first_shown, last_shown = (
        datetime.fromtimestamp(at, tz=timezone.get_current_timezone()) for at in (frame.first, frame.last)
    )
    stretches = []
    for first, last in moults:
        begins = max(timezone.make_aware(datetime.combine(first, time.min)), first_shown)
        ends = timezone.make_aware(datetime.combine(last, time.max)) if last else last_shown
        left, right = frame.x(begins), frame.x(min(ends, last_shown))
        if right > left:
            stretches.append(
                f'<rect class="moult" x="{left:.1f}" y="{TOP}" width="{right - left:.1f}" '
                f'height="{FOOT - TOP}"/>'
                f'<text x="{left - 3:.1f}" y="{FOOT - 5}" text-anchor="end">moult</text>'
            )
    return "".join(stretches)


def _point(frame: _Frame, weight: Weight, months: tuple[int | None, int | None]) -> str:
    x, y = frame.x(weight.at), frame.y(weight.weight_g)
    moult = weight.moulting or _in_moult(timezone.localdate(weight.at), months)
    kind = "dot hollow" if moult else "dot"
    return f'<circle class="{kind}" cx="{x:.1f}" cy="{y:.1f}" r="3.6"/>'


def weight_plot(
    weights: Sequence[Weight],
    months: tuple[int | None, int | None] = (None, None),
    reference: Reference | None = None,
    moults: Sequence[tuple[date, date | None]] = (),
) -> SafeString:
    """The weights as SVG, oldest first; moults are shaded, and hollow dots were taken in one.

    Args:
        weights: at least one.
        months: first and last month of the species' moult.
        reference: the bird's own usual weight, where it is known.
        moults: first day and, if it is over, last day of each moult that somebody wrote down.
    """
    frame, step = _frame(weights, reference)
    trace = "L".join(f"{frame.x(w.at):.1f} {frame.y(w.weight_g):.1f}" for w in weights)
    dots = "".join(_point(frame, weight, months) for weight in weights)
    first, last = weights[0], weights[-1]
    x, y = frame.x(last.at), frame.y(last.weight_g)
    points = [(frame.x(w.at), frame.y(w.weight_g)) for w in weights]
    lines = list(pairwise(points)) + [((px - 4, py), (px + 4, py)) for px, py in points]
    lines += [((LEFT, frame.y(g)), (RIGHT, frame.y(g))) for g in _round_weights(frame, step)]
    limits = ""
    standing: tuple[Label, ...] = ()
    if reference:
        heights = [frame.y(g) for g in (reference.usual_g, reference.prompt_g, reference.alarm_g)]
        lines += [((LEFT, height), (RIGHT, height)) for height in heights]
        standing = _limit_labels(reference, frame, lines)
        limits = _limits(heights, standing)
    falling = len(weights) > 1 and weights[-2].weight_g > last.weight_g
    now = free_label(f"{last.weight_g:g} g", _over_and_under(x, y, falling=falling), lines, standing).drawn()
    dates = f'<text x="{LEFT}" y="212">{timezone.localdate(first.at):%b %Y}</text>'
    if len(weights) > 1:
        dates += f'<text x="{RIGHT}" y="212" text-anchor="end">{timezone.localdate(last.at):%b %Y}</text>'
    axis = f'<path class="axis" d="M{LEFT} {TOP}V{FOOT}H{RIGHT}"/>'
    usual = f" Usual {whole(reference.usual_g)} g." if reference else ""
    label = escape(
        f"{len(weights)} weights from {timezone.localdate(first.at):%B %Y} to "
        f"{timezone.localdate(last.at):%B %Y}; the last {last.weight_g:g} g.{usual}"
    )
    return mark_safe(  # numbers and our own words only
        f'<svg class="plot" viewBox="0 0 390 218" role="img" aria-label="{label}">'
        f"{_shade(frame, moults)}{_grid(frame, step)}{limits}"
        f'<path class="trace" d="M{trace}"/>{dots}{now}{axis}{dates}</svg>'
    )
