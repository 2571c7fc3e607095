"""The relief keeper's brief of an exhibit, as the paper takes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from itertools import groupby

from django.db.models import Q

from tarsus.core.care.duty import Urgency
from tarsus.core.marks.marks import METAL
from tarsus.core.presence.advice import LOOK_AGAIN, SEARCH
from tarsus.core.words.looking_for import unseen_shortly
from tarsus.core.words.numbers import capital, in_a_row
from tarsus.core.words.since import KINDS, NewsLine, news_lines
from tarsus.paper.relief_brief import BriefBird, BriefCount, ReliefBrief
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.due_today import DutyLine, due_in_park
from tarsus.queries.exhibit_plan import plan_of, plan_on_paper, search_on
from tarsus.queries.flock import FlockBird, birds_everywhere
from tarsus.queries.nests import nest_page
from tarsus.queries.open_matters import OpenCase, forecast_for, open_cases
from tarsus.queries.park import colours_worn, park_face
from tarsus.queries.portraits import mfu
from tarsus.queries.presence import presence_of_park
from tarsus.queries.roll_today import pointed_at, short_counts
from tarsus.queries.shift_notes import NoteLeft, notes_open_to_all
from tarsus.queries.since import news_since
from tarsus.queries.unseen import Excused, Unseen, excused_birds, unseen_birds
from tarsus.records.models import Exhibit, Stay


def brief_of(exhibit_id: int, now: datetime, after: datetime) -> ReliefBrief | None:
    """What somebody needs who has not been in an exhibit for a while, or `None` where there is no such one.

    Args:
        exhibit_id: which exhibit.
        now: the moment of asking.
        after: news are told from then on.
    """
    exhibit = Exhibit.objects.filter(pk=exhibit_id).values_list("name", flat=True).first()
    if exhibit is None:
        return None
    zone = park_zone()
    day = day_of(now, zone)
    everywhere, presence = birds_everywhere(day), presence_of_park(now)
    birds = [bird for bird in everywhere if bird.exhibit_id == exhibit_id]
    here = {bird.bird_id: bird for bird in birds}
    short = short_counts(birds, presence, now)
    unseen = unseen_birds(birds, presence, now, pointed_at(short))
    due = due_in_park(now, everywhere, presence).pressing
    face = park_face()
    look_for = tuple(
        looked_for_on_paper(one, here) for one in unseen if one.advice in (SEARCH, LOOK_AGAIN) or one.by_count
    )
    vet = tuple(line for case in open_cases(here) for line in _case(case, here))
    drawn = [marks for one in (*look_for, *vet) for marks in one.marks]
    forecast, plan = forecast_for(day), plan_of(exhibit_id)
    return ReliefBrief(
        park=face.on_paper,
        exhibit=exhibit,
        day=f"{day:%A %-d %B %Y}",
        printed=f"{now.astimezone(zone):%-d %B %Y, %H:%M}",
        counts=_counts(birds),
        look_for=look_for,
        vet=vet,
        parts=(
            ("Short at the last count", tuple(f"{one.lookalike.capitalize()}: {one.says}" for one in short)),
            ("Due", tuple(_due(line) for line in due if _is_here(line, exhibit_id, here))),
            ("Keep away, do not catch", _away(exhibit_id, now)),
            ("Notes", tuple(map(_note, notes_open_to_all(exhibit_id, after)))),
            (f"New since {after.astimezone(zone):%-d %B}", _news(exhibit_id, after, now, here)),
            ("Not looked for", _excused(excused_birds(birds, presence))),
            ("Weather", (f"{forecast.high_c:g} °C forecast. {forecast.note}",) if forecast else ()),
        ),
        colours=colours_worn(face, drawn),
        metal_letter=face.letters[METAL],
        plan=plan_on_paper(plan, search_on(plan, unseen, exhibit_id, now)) if plan else None,
    )


def _counts(birds: Sequence[FlockBird]) -> tuple[BriefCount, ...]:
    flocks = groupby(sorted(birds, key=lambda bird: bird.lookalike), key=lambda bird: bird.lookalike)
    return tuple(
        BriefCount(name, sum(b.counted for b in flock), mfu(flock), sum(not b.counted for b in flock))
        for name, flock in ((name, list(own)) for name, own in flocks)
    )


def looked_for_on_paper(one: Unseen, here: Mapping[int, FlockBird]) -> BriefBird:
    """A bird that is looked for, as papers tell and draw it."""
    ever = one.last is not None
    told = unseen_shortly(one.unseen_days, one.max_unseen_days, "", ever_seen=ever)
    places = ", then ".join(place for place, _ in one.places)
    return BriefBird(
        name=one.portrait.name,
        said=f"{capital(told)}{'; ' if places else ''}{places}. {'; '.join(one.portrait.told)}".strip(),
        marks=(here[one.portrait.bird_id].marks,),
        urgent=one.advice == SEARCH,
    )


def _case(case: OpenCase, here: dict[int, FlockBird]) -> Iterable[BriefBird]:
    about = [bird for bird in case.bird_ids if bird in here]
    if not about:
        return
    asked = f" Keepers: {case.instruction}" if case.instruction else ""
    said = case.about if len(case.names) == 1 else f"one of these: {case.about}"
    yield BriefBird(
        in_a_row(case.names), f"{capital(said)}.{asked}", tuple(here[bird].marks for bird in about)
    )


def _is_here(line: DutyLine, exhibit_id: int, here: dict[int, FlockBird]) -> bool:
    return line.duty.bird in here if line.duty.bird is not None else line.duty.exhibit == exhibit_id


def _due(line: DutyLine) -> str:
    name = f"{line.portrait.name}: " if line.portrait and line.portrait.name not in line.duty.what else ""
    when = "" if line.duty.urgency is Urgency.SOON and line.duty.by is None else f" ({line.when})"
    return f"{name}{line.duty.what.rstrip('.')}{when}. {line.duty.why}".strip()


def _away(exhibit_id: int, now: datetime) -> tuple[str, ...]:
    nests = [nest for nest in nest_page(exhibit_id, now).nests if nest.to_on is None]
    return tuple(
        f"{nest.place or nest.name}: {nest.species.lower()}"
        f"{', ' + in_a_row(nest.names) if nest.names else ''}"
        f"{'; nobody is caught in this exhibit while it lasts' if nest.forbids_chase else ''}."
        for nest in nests
    )


def _note(note: NoteLeft) -> str:
    return f"{' '.join(note.text.split())} ({note.by}, {note.at.astimezone(park_zone()):%-d %b, %H:%M})"


def _news(exhibit_id: int, after: datetime, now: datetime, here: dict[int, FlockBird]) -> tuple[str, ...]:
    """News of the birds that live here, and of those that lived here until then."""
    # News goes by when it was written: an end that was told late is news of this exhibit too.
    ended = Q(to_on__gte=day_of(after, park_zone())) | Q(to_on__isnull=False, ended_at__gt=after)
    left = Stay.objects.filter(ended, exhibit_id=exhibit_id, taken_back_at__isnull=True).values_list(
        "bird_id", flat=True
    )
    ours = {*here, *left}
    return tuple(_news_line(line) for line in news_lines(n for n in news_since(after, now) if n.bird in ours))


def _news_line(line: NewsLine) -> str:
    names = [name for _, name in line.birds]
    told = in_a_row(names) if len(names) < 8 else f"{', '.join(names[:6])} and {len(names) - 6} more"
    words = f": {line.words}" if line.words else ""
    return f"{KINDS[line.kind]}: {told}{words} ({line.day:%-d %b})"


def _excused(excused: Iterable[Excused]) -> tuple[str, ...]:
    by_why = groupby(sorted(excused, key=lambda one: one.why), key=lambda one: one.why)
    return tuple(f"{capital(why)}: {in_a_row([one.portrait.name for one in own])}" for why, own in by_why)
