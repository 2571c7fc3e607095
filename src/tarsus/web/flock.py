"""The page of one flock."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString

from tarsus.core.marks.sites import SITES
from tarsus.core.words.clarity_said import how_known, named_wrongly_said
from tarsus.queries.clarity import FlockClarity
from tarsus.queries.colour_sight import ColourSight
from tarsus.queries.flock_page import FlockPage, NoSuchFlock, flock_page
from tarsus.queries.once import asked_at
from tarsus.queries.portraits import Portrait
from tarsus.queries.presence_calendar import presence_calendar
from tarsus.web.access import VIEWER, may
from tarsus.web.plots.calendar import ease_row
from tarsus.web.plots.clarity import clarity_map, key_of_map
from tarsus.web.plots.strip import key_of_strip, strip
from tarsus.web.plots.vision import Swatch, vision_row
from tarsus.web.templatetags.birds import chance


@may(VIEWER)
def flock(request: HttpRequest, exhibit_id: int, lookalike: str) -> HttpResponse:
    """One flock: who is mistaken for whom, who they are, and how their colours are seen."""
    try:
        page = flock_page(exhibit_id, lookalike, asked_at())
    except NoSuchFlock as refusal:
        raise Http404(str(refusal)) from None
    clarity = page.clarity
    told = {
        "page": page,
        "sights": [sight_row(sight, page.letters) for sight in page.sights],
        "birds": sorted(page.birds, key=_stacks),
        "map": clarity_map(
            [clarity.names[i] for i in page.together],
            [[clarity.confused[i][j] for j in page.together] for i in page.together],
            _worst_in_words(page),
        )
        if clarity
        else "",
        "key_of_map": key_of_map(),
        **(_clarity_said(clarity) if clarity else {}),
    }
    return render(request, "web/flock.html", told)


@may(VIEWER)
def days(request: HttpRequest, exhibit_id: int, lookalike: str) -> HttpResponse:
    """The presence calendar of one flock."""
    try:
        page = presence_calendar(exhibit_id, lookalike, asked_at())
    except NoSuchFlock as refusal:
        raise Http404(str(refusal)) from None
    told = {
        "page": page,
        "ease": ease_row(page.days),
        "groups": [(name, [(row, strip(row.days)) for row in rows]) for name, rows in page.groups],
        "key_of_strip": key_of_strip(),
    }
    return render(request, "web/flock_calendar.html", told)


def _clarity_said(clarity: FlockClarity) -> dict[str, str]:
    return {
        "wrongly": named_wrongly_said(clarity.named_wrongly),
        "known": how_known(
            clarity.sureness,
            clarity.left_in_doubt,
            clarity.misnamed,
            worst=(len(clarity.worst), clarity.share_of_worst),
            drawn=clarity.uncertainty if clarity.drawn else None,
        ),
    }


def _stacks(bird: Portrait) -> tuple[object, ...]:
    """Birds by what they wear, the left side first: those alike there stand together."""
    return (*(tuple(bird.marks.get(site) or ()) for site in SITES), bird.name)


def _worst_in_words(page: FlockPage) -> str:
    """The clarity map in one sentence, for those who do not see it."""
    worst = page.clarity.worst if page.clarity else ()
    pairs = ", ".join(f"{pair.one.name} and {pair.other.name} {chance(pair.chance)}" for pair in worst)
    return f"Who is mistaken for whom among {len(page.birds)} birds. Most often: {pairs or 'nobody'}."


def sight_row(sight: ColourSight, letters: dict[str, str]) -> tuple[str, SafeString, str]:
    """Eyes, their row of swatches, and what draws together in words."""
    swatches = [
        Swatch(name, letters.get(name, "?"), seen, is_dark(seen))
        for name, seen in zip(sight.names, sight.seen, strict=True)
    ]
    pairs = [f"{sight.names[i]} and {sight.names[j]}" for i, j in sight.together]
    said = ", ".join(pairs) if pairs else "all apart"
    return sight.eyes, vision_row(swatches, sight.together, f"{sight.eyes}: {said}"), said


def is_dark(hexed: str) -> bool:
    """Whether a letter on this colour is better read in white (WCAG 2.2, relative luminance)."""
    parts = [int(hexed[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    r, g, b = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b < 0.1833
