"""From ticks to what is told: a round where everybody has a tick, otherwise only who was seen.

A closed round makes everybody missed who was to be looked for and is not seen in it. So a day of a sheet is
one for those look-alike groups of which each bird that lived there that day is said to be seen or not seen;
of the others who was seen is told outside any round: that clears, and misses nobody.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from typing import Any, Final
from uuid import UUID

from tarsus.tables.list_cells import day_and_hour
from tarsus.tables.list_kinds import NOT_SEEN, SEEN
from tarsus.tables.list_known import ListBird, ListKnown
from tarsus.tables.list_said import Fact, Said, sighting_id, told_id
from tarsus.tables.rows import Refusal, Remark
from tarsus.tables.ticks import Tick

_ANOTHER_CALL: Final = timedelta(hours=3)
"""A roll call of the register so near to the sheet's is taken for the same one (ours)."""
_NAMED: Final = 3
Heard = Callable[[Collection[UUID]], Collection[UUID]]


@dataclass(frozen=True, slots=True)
class DayOfExhibit:
    """What a sheet tells of an exhibit and day: facts that the register has not, and their cells."""

    said: Said
    cells: tuple[tuple[int, str, str], ...]


@dataclass(slots=True)
class DaysTold:
    """All days of a sheet, ticks that cannot be told, and what nobody should overlook.

    `lines_before`: lines of which all that they tell was told before.
    """

    days: list[DayOfExhibit] = field(default_factory=list)
    refused: list[Refusal] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    lines_before: tuple[int, ...] = ()


@dataclass(slots=True)
class _Day:
    """The ticks of one exhibit and day."""

    exhibit: int
    day: date
    hour: time | None
    ticks: list[Tick] = field(default_factory=list)

    @property
    def when(self) -> str:
        return day_and_hour(self.day, self.hour)

    @property
    def seen(self) -> list[Tick]:
        return [tick for tick in self.ticks if tick.means == SEEN]

    def sighting(self, tick: Tick) -> UUID:
        return sighting_id(tick.bird.bird_id, self.when, self.exhibit)


def days_told(ticks: Iterable[Tick], known: ListKnown, heard: Heard, line: int) -> DaysTold:
    """What the ticks of a sheet tell, day by day of each exhibit.

    Args:
        ticks: of the sheet.
        known: the register.
        heard: which of some facts the register has.
        line: the line of headings, at which remarks about whole days stand.
    """
    told = DaysTold()
    days = _by_day(ticks, told)
    there = frozenset(heard([day.sighting(tick) for day in days for tick in day.seen]))
    withheld = _Withheld()
    rounds_there = frozenset(heard([key for day in days for key in _round_ids(day)]))
    for day in days:
        if not any(tick.written for tick in day.ticks):
            withheld.empty.append(day)
            continue
        _, started, closed = _round_ids(day)
        begun_only = started in rounds_there and closed not in rounds_there
        whole = _whole_groups(day, known, frozenset() if begun_only else there, withheld)
        said = _said(day, whole, known, there | rounds_there)
        if said.facts:
            cells = tuple((tick.line, tick.heading, tick.sheet) for tick in day.seen)
            told.days.append(DayOfExhibit(said, cells))
    told.remarks = withheld.remarks(known, line)
    new = {tick.line for day in days for tick in day.seen if day.sighting(tick) not in there}
    told.lines_before = tuple(sorted({tick.line for day in days for tick in day.seen} - new))
    return told


def _by_day(ticks: Iterable[Tick], told: DaysTold) -> list[_Day]:
    days: dict[tuple[int, date, time | None], _Day] = {}
    for tick in ticks:
        exhibit = tick.exhibit or tick.bird.exhibit_on(tick.day)
        if exhibit is not None:
            key = (exhibit, tick.day, tick.hour)
            days.setdefault(key, _Day(*key)).ticks.append(tick)
        elif tick.means == SEEN:
            reason = f"'{tick.written}' is of {tick.day}, when the bird lived in no exhibit"
            remedy = "say first since when it lives here, or name the exhibit in which it was seen"
            told.refused.append(Refusal(tick.line, tick.heading, reason, remedy, tick.sheet))
    return sorted(days.values(), key=lambda day: (day.day, day.hour or time(12), day.exhibit))


@dataclass(slots=True)
class _Withheld:
    """What a sheet says of birds that were not seen and is not told, with the reason."""

    incomplete: dict[tuple[int, str], list[tuple[str, ListBird]]] = field(
        default_factory=lambda: defaultdict(list)
    )
    called: dict[int, list[str]] = field(default_factory=lambda: defaultdict(list))
    empty: list[_Day] = field(default_factory=list)

    def remarks(self, known: ListKnown, line: int) -> list[Remark]:
        said = [
            f"{known.exhibit_name(exhibit)}, {group}: on {_days(len(where))} not every bird that lived there "
            f"is said to be seen or not ({_such_as(where)}); who was seen is told, nobody as not seen"
            for (exhibit, group), where in self.incomplete.items()
        ]
        said += [
            f"{known.exhibit_name(exhibit)}: on {_days(len(days))} ({', '.join(days[:_NAMED])}) the register "
            "has a roll call of its own; who was seen is told beside it, nobody as not seen"
            for exhibit, days in self.called.items()
        ]
        if self.empty:
            first = ", ".join(str(day.day) for day in self.empty[:_NAMED])
            said.append(f"{_days(len(self.empty))} ({first}) without any sign: nothing is told of them")
        return [Remark(line, "", text) for text in said]


def _days(number: int) -> str:
    return f"{number} day" if number == 1 else f"{number} days"


def _such_as(where: list[tuple[str, ListBird]]) -> str:
    return ", ".join(f"{bird.name or bird.number} on {when}" for when, bird in where[:_NAMED])


def _whole_groups(
    day: _Day, known: ListKnown, there: Collection[UUID], withheld: _Withheld
) -> Mapping[str, tuple[ListBird, ...]]:
    """The look-alike groups that were called as a whole that day, each with who was not seen.

    One of which some were told before outside a round (`there`) has none: it would miss whom they saw.
    """
    means = {tick.bird.bird_id: tick.means for tick in day.ticks}
    another = _called_besides(day, known)
    whole: dict[str, tuple[ListBird, ...]] = {}
    for group, birds in known.roll(day.exhibit, day.day).items():
        missed = tuple(bird for bird in birds if means.get(bird.bird_id) == NOT_SEEN)
        open_ones = [bird for bird in birds if means.get(bird.bird_id) not in (SEEN, NOT_SEEN)]
        alone = any(day.sighting(tick) in there for tick in day.seen if tick.bird in birds)
        if not open_ones and not alone and not another:
            whole[group] = missed
        elif missed and another:
            withheld.called[day.exhibit].append(day.when)
        elif missed and open_ones:
            withheld.incomplete[day.exhibit, group].append((day.when, open_ones[0]))
    return whole


def _called_besides(day: _Day, known: ListKnown) -> bool:
    own, at = _round_ids(day)[0], known.moment(day.day, day.hour)
    rounds = known.rounds.get((day.exhibit, day.day), {})
    return any(
        one != own and (day.hour is None or abs(begun - at) < _ANOTHER_CALL) for one, begun in rounds.items()
    )


def _round_ids(day: _Day) -> tuple[UUID, UUID, UUID]:
    """The id of a day's round, and those of its beginning and its closing."""
    own = told_id("ticks", day.exhibit, day.when)
    return own, told_id(own, "started"), told_id(own, "closed")


def _said(
    day: _Day, whole: Mapping[str, tuple[ListBird, ...]], known: ListKnown, there: Collection[UUID]
) -> Said:
    at = known.moment(day.day, day.hour)
    own, started, closed = _round_ids(day)
    about: dict[str, Any] = {"at": at, "round": str(own)}
    facts: list[tuple[UUID, Fact]] = []
    if whole:
        facts.append((started, {"kind": "round_started", **about, "exhibit": day.exhibit}))
    for tick in day.seen:
        within = about if tick.bird.lookalike in whole else {"at": at}
        fact = {"kind": "sighting", **within, "exhibit": day.exhibit, "bird": tick.bird.bird_id}
        facts.append((day.sighting(tick), {**fact, "how": "by sight"}))
    named = {tick.bird.lookalike for tick in day.seen}
    for group in sorted(whole.keys() - named):
        # Without a name and without a count a group was not called: that nobody was seen is a count of none.
        facts.append(
            (told_id(own, "none", group), {"kind": "count", **about, "lookalike": group, "counted": 0})
        )
    if whole:
        facts.append((closed, {"kind": "round_closed", **about}))
    new = [(key, fact) for key, fact in facts if key not in there]
    return Said(
        known.exhibit_name(day.exhibit),
        _words(day, whole),
        (day.exhibit, day.when),
        tuple(fact for _, fact in new),
        ids=tuple(key for key, _ in new),
    )


def _words(day: _Day, whole: Mapping[str, tuple[ListBird, ...]]) -> str:
    said = f"{day.when}: {len(day.seen)} seen"
    if not whole:
        return said
    missed = [bird.name or bird.number for birds in whole.values() for bird in birds]
    named = ", ".join(missed[:_NAMED]) + (" …" if len(missed) > _NAMED else "")
    not_seen = f"{len(missed)} not seen ({named})" if missed else "nobody unseen"
    return f"{said}, {not_seen}; a round of {' and '.join(sorted(whole))}"
