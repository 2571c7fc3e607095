"""The head of the presence calendar: a column a day, as high as the share seen; a hard day is hatched."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from tarsus.queries.presence_calendar import CalendarDay

STEP = 12
HIGH = 30
_HATCH = (
    '<defs><pattern id="hatched" width="4" height="4" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><path class="hatch-line" d="M0 0V4"/></pattern></defs>'
)


def ease_row(days: Sequence[CalendarDay]) -> SafeString:
    """The days as SVG; its text alternative names the hard ones."""
    columns = []
    for at, one in enumerate(days):
        if one.share is None:
            continue
        tall = max(1.0, one.share * (HIGH - 2))
        kind = "ease-hard" if one.hard else "ease-day"
        columns.append(
            f'<rect class="{kind}" x="{at * STEP + 1}" y="{HIGH - tall:.1f}" width="{STEP - 2}" '
            f'height="{tall:.1f}"/>'
        )
    hard = [f"{one.day:%-d %B}" for one in days if one.hard]
    said = f"hard on {', '.join(hard)}" if hard else "no hard day"
    label = escape(f"How many of the birds looked for were seen, a column a day: {said}.")
    wide = STEP * len(days)
    return mark_safe(  # numbers, dates and our own words only
        f'<svg class="plot ease" viewBox="0 0 {wide} {HIGH}" preserveAspectRatio="none" role="img" '
        f'aria-label="{label}">{_HATCH}{"".join(columns)}'
        f'<path class="axis" d="M0 {HIGH - 0.7}H{wide}"/></svg>'
    )
