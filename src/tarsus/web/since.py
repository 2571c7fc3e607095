"""Since you were here: what is new, the notes of the last shifts, and that one has seen them."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from tarsus.core.words.since import KINDS, news_in_short, news_lines
from tarsus.paper.relief_brief import relief_brief
from tarsus.queries.days import day_begins, park_zone
from tarsus.queries.exhibit_page import exhibits_now
from tarsus.queries.relief_brief import brief_of
from tarsus.queries.shift_notes import notes_left
from tarsus.queries.since import LONGEST, looked_until, news_since
from tarsus.web.access import VIEWER, may, may_tell, person_id
from tarsus.web.papers import paper
from tarsus.web.telling import done

FURTHEST: Final = timedelta(days=366)


@may(VIEWER)
def since(request: HttpRequest) -> HttpResponse:
    """All that is new since this person looked, or since a day of their choice, by kind."""
    now = timezone.now()
    looked = looked_until(person_id(request), now)
    chosen = _day(request.GET.get("from", ""), now)
    after = chosen or looked
    # Of a day that was chosen everything is told, one's own deeds too: it is a paper for somebody else.
    lines = news_lines(news_since(after, now, None if chosen else person_id(request)))
    told = {
        "after": after,
        "until": now,
        "chosen": chosen is not None,
        "short": news_in_short(lines),
        "kinds": [(title, [line for line in lines if line.kind == kind]) for kind, title in KINDS.items()],
        "notes": notes_left(person_id(request), now),
        "exhibits": [one for one in exhibits_now(now) if one.on_roll],
    }
    return render(request, "web/since.html", told)


@may_tell("today_seen")
@require_POST
def seen(request: HttpRequest) -> HttpResponse:
    """Say that what was new until the page was made has been seen."""
    done(request, "today_seen", {"until": request.POST.get("until", "")}, "Seen until now.")
    return redirect("today")


@may(VIEWER)
def brief(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """The relief keeper's brief of one exhibit as a PDF; news from a fortnight back, or from a chosen day."""
    now = timezone.now()
    asked = brief_of(exhibit_id, now, _day(request.GET.get("from", ""), now) or now - LONGEST)
    if asked is None:
        raise Http404("no such exhibit")
    name = f"brief-{exhibit_id}-{timezone.localdate():%Y-%m-%d}.pdf"
    return paper(relief_brief(asked), name)


def _day(said: str, now: datetime) -> datetime | None:
    """The beginning of a day that was asked for, within a year; none where none was."""
    try:
        day = date.fromisoformat(said)
    except ValueError:
        return None
    begins = day_begins(day, park_zone())
    return min(max(begins, now - FURTHEST), now)
