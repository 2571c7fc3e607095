"""The strip of a bird's days: full bar by reading, short bar with an eye by sight, hollow not sure.

A diamond over the day, in a lane of its own, is a visit: a machine knew its transponder, and nobody saw the
bird by that.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from tarsus.core.words.numbers import counted
from tarsus.queries.bird_strip import DayOfBird

STEP = 12
TOP = -12
HIGH = 62
FOOT = 44
VISIT = "Transponder read"
_WORDS = {
    "by reading": "by reading",
    "by sight": "by sight",
    "doubtful": "read, not surely",
    "inferred": "inferred",
    "missed": "looked for, unseen",
    "not looked for": "not called",
    "excused": "not looked for: nest, moult, off show",
}


def _bar(how: str, x: float, width: float) -> str:
    middle = x + width / 2
    match how:
        case "by reading":
            return f'<rect class="bar" x="{x:g}" y="8" width="{width:g}" height="{FOOT - 8}"/>'
        case "by sight":
            eye = f'<ellipse class="bar" cx="{middle:g}" cy="15" rx="{width / 2.6:.2f}" ry="4"/>'
            return f'<rect class="bar" x="{x:g}" y="23" width="{width:g}" height="{FOOT - 23}"/>{eye}'
        case "doubtful":
            inner = f'x="{x + 1:g}" y="9" width="{width - 2:g}" height="{FOOT - 10}"'
            return f'<rect class="bar-hollow" {inner}/>'
        case "inferred":
            inner = f'x="{x + 1:g}" y="24" width="{width - 2:g}" height="{FOOT - 25}"'
            return f'<rect class="bar-hollow" {inner}/>'
        case "missed":
            return f'<path class="bar-missed" d="M{x:g} {FOOT}v-8h{width:g}v8"/>'
        case "excused":
            return f'<path class="bar-excused" d="M{x - 2:g} {FOOT - 14}h{width + 4:g}"/>'
        case _:
            return f'<ellipse class="bar-none" cx="{middle:g}" cy="{FOOT - 3}" rx="1.8" ry="2"/>'


def _diamond(x: float, width: float) -> str:
    middle, half = x + width / 2, width / 2 + 0.5
    sides = f"M{middle:g} -11L{middle + half:g} -4L{middle:g} 3L{middle - half:g} -4z"
    return f'<path class="bar-visit" d="{sides}"/>'


def _shown(day: DayOfBird) -> str:
    """A day nobody looked for it: with a reason it is excused, without one nobody called."""
    return "excused" if day.how == "not looked for" and day.excused else day.how


def strip(days: Sequence[DayOfBird]) -> SafeString:
    """The strip as SVG; its text alternative counts the days of each kind."""
    wide = STEP * len(days)
    bars = "".join(_bar(_shown(day), at * STEP + 2, STEP - 4) for at, day in enumerate(days))
    bars += "".join(_diamond(at * STEP + 2, STEP - 4) for at, day in enumerate(days) if day.visited)
    number: Counter[str] = Counter(_shown(day) for day in days)
    said = ", ".join(f"{number[how]} {word}" for how, word in _WORDS.items() if number[how])
    visits = sum(day.visited for day in days)
    read = f" {VISIT} on {visits} {counted('day', visits)}." if visits else ""
    label = escape(f"The last {len(days)} days: {said}.{read}")
    return mark_safe(  # numbers and our own words only
        f'<svg class="plot strip" viewBox="0 {TOP} {wide} {HIGH}" preserveAspectRatio="none" role="img" '
        f'aria-label="{label}">{bars}<path class="axis" d="M0 {FOOT}H{wide}"/></svg>'
    )


def key_of_strip() -> list[tuple[SafeString, str]]:
    """Each mark of the strip beside its words."""
    frame = 'class="plot key" viewBox="0 6 10 40" preserveAspectRatio="none" aria-hidden="true"'
    marks = [(mark_safe(f"<svg {frame}>{_bar(how, 1, 8)}</svg>"), word) for how, word in _WORDS.items()]
    above = frame.replace("0 6 10 40", "0 -24 10 40")
    return [*marks, (mark_safe(f"<svg {above}>{_diamond(1, 8)}</svg>"), f"{VISIT.lower()}: a visit")]


def spans_of(days: Sequence[DayOfBird]) -> list[tuple[str, DayOfBird, DayOfBird]]:
    """Runs of days with a reason not to look, as reason, first and last day."""
    found: list[tuple[str, DayOfBird, DayOfBird]] = []
    for day in days:
        if not day.excused:
            continue
        if found and found[-1][0] == day.excused and (day.day - found[-1][2].day).days == 1:
            found[-1] = (day.excused, found[-1][1], day)
        else:
            found.append((day.excused, day, day))
    return found
