"""Template words for birds: their drawing, their marks in words, counts and chances."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Final

from django import template
from django.utils import timezone
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from tarsus.core.marks.noted import Level, NotedBand, NotedMarks
from tarsus.core.marks.wording import in_words
from tarsus.core.words.looking_for import advice_said, how_long_unseen, still_here_said, unseen_shortly
from tarsus.core.words.numbers import capital, counted, in_hundred, one_reading_in, per_cent, plural
from tarsus.core.words.plan import minutes_told

register = template.Library()

_LEVEL: Final[dict[str, Level]] = {"legs": "leg", "tall": "tibia", "wings": "tibia", "told": "leg"}
_BANDED: Final = {"legs": "leg", "tall": "tibia", "wings": "wing"}


def marks_in_words(marks: Mapping[str, Sequence[str] | None], form: str) -> str:
    """A bird's marks in words; where its kind is banded, a bare side is told too."""
    told: dict[str, list[NotedBand]] = {}
    if form in _BANDED:
        told = {f"{side} {_BANDED[form]}": [] for side in ("left", "right")}
    for site, bands in marks.items():
        if bands:
            told[site] = [NotedBand(band) for band in bands]
    return in_words(NotedMarks.of(told), _LEVEL[form]) or "wears no bands"


@register.filter
def words_of(bird: Any) -> str:
    """The marks of anything that has `marks` and a `form`."""
    return marks_in_words(bird.marks, bird.form)


@register.simple_tag
def band_drawing(bird: Any, at: str = "close", **more: Any) -> SafeString:
    """The drawing of anything that has `marks` and a `form`, its words inside for where no script runs."""
    marks = {site: bands if bands is None else list(bands) for site, bands in dict(bird.marks).items()}
    said: dict[str, Any] = {"form": bird.form, "at": at, "marks": plain(marks)}
    for name in ("flags", "pins"):
        if value := getattr(bird, name, None):
            said[name] = plain(value)
    for name in ("facing", "active", "look"):
        if value := getattr(bird, name, ""):
            said[name] = value
    if getattr(bird, "reading", False):
        said["reading"] = True
    attributes = format_html_join(
        "",
        ' {}="{}"',
        ((name, "" if value is True else value) for name, value in {**said, **more}.items() if value),
    )
    return format_html("<band-drawing{}>{}</band-drawing>", attributes, marks_in_words(marks, bird.form))


def plain(value: Any) -> str:
    """A value as an attribute carries it."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


@register.filter
def chance(value: float | None) -> str:
    """A chance for people, in whole per cent."""
    return "" if value is None else per_cent(value)


@register.filter
def in_minutes(value: float) -> str:
    """Minutes in whole ones."""
    return minutes_told(value)


@register.filter
def in_100(value: float) -> str:
    """How often in a hundred times."""
    return in_hundred(value)


@register.filter
def day_of(moment: datetime | None) -> str:
    """The hour for today and yesterday with that word, otherwise the date and the hour."""
    if moment is None:
        return ""
    here = timezone.localtime(moment)
    days = (timezone.localdate() - here.date()).days
    if days == 0:
        return f"today, {here:%H:%M}"
    if days == 1:
        return f"yesterday, {here:%H:%M}"
    year = "" if here.year == timezone.localdate().year else f" {here.year}"
    return f"{here.day} {here:%B}{year}, {here:%H:%M}"


register.filter("plural", plural)
register.filter("one_reading_in", one_reading_in)
register.filter("counted", counted)


@register.inclusion_tag("web/advice.html")
def advice_mark(advice: str, by_count: Any = False, unseen: bool = True) -> dict[str, Any]:
    """The advice on a bird with its mark: *Search, look now*."""
    return {"said": advice_said(advice, unseen=unseen, by_count=bool(by_count))}


@register.filter
def how_long(bird: Any) -> str:
    """How long a bird was not seen, for anything with `unseen_days` and `last`."""
    return capital(how_long_unseen(bird.unseen_days, ever_seen=bird.last is not None))


@register.filter
def unseen_in_short(bird: Any) -> str:
    """How long, the limit, and the likeliest place: *7 days, limit 4 · alder stand*."""
    days, limit = bird.unseen_days, bird.max_unseen_days
    place = bird.places[0][0] if bird.places else ""
    return unseen_shortly(days, limit, place, ever_seen=bird.last is not None)


@register.filter
def here(bird: Any) -> str:
    """How likely it is still here, for anything with `still_here` and `by_count`."""
    return still_here_said(bird.still_here, bird.by_count)
