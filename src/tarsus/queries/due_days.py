"""What is due, by day and kind: *Order bands: 4* is one line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from tarsus.core.care.duty import Urgency
from tarsus.core.words.due import due_title
from tarsus.queries.due_today import DutyLine

WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class DueKind:
    """Jobs of one kind that are due together."""

    kind: str
    title: str
    about: str
    lines: tuple[DutyLine, ...]


@dataclass(frozen=True, slots=True)
class DueDay:
    """Jobs that are due on the same day, or as good as the same."""

    title: str
    kinds: tuple[DueKind, ...]


def by_day_and_kind(lines: Iterable[DutyLine], today: date) -> tuple[DueDay, ...]:
    """Put jobs together by when they are due, then by kind; the most urgent first in both.

    Args:
        lines: jobs, the most urgent first.
        today: the day of asking.
    """
    told = sorted(lines, key=lambda line: _when(line, today)[0])
    days = groupby(told, key=lambda line: _when(line, today))
    return tuple(DueDay(title, _kinds(tuple(own))) for (_, title), own in days)


def _when(line: DutyLine, today: date) -> tuple[int, str]:
    duty = line.duty
    if duty.by is not None and duty.by < today:
        return 0, "Overdue"
    if duty.urgency in (Urgency.NOW, Urgency.TODAY) or duty.by == today:
        return 1, "Today"
    if duty.by is not None and duty.by <= today + WEEK:
        return 2, f"By {today + WEEK:%-d %B}"
    return 3, "Soon"


def _kinds(lines: tuple[DutyLine, ...]) -> tuple[DueKind, ...]:
    kinds = list(dict.fromkeys(line.duty.kind for line in lines))
    return tuple(_kind(kind, tuple(line for line in lines if line.duty.kind == kind)) for kind in kinds)


def _kind(kind: str, lines: tuple[DutyLine, ...]) -> DueKind:
    if len(lines) > 1:
        about = ", ".join(dict.fromkeys(_about(line) for line in lines))
    else:
        when = lines[0].when if lines[0].when.startswith(("by ", "since ")) else ""
        about = " · ".join(word for word in (_about(lines[0]), when) if word)
    return DueKind(kind, due_title(kind, len(lines)), about, lines)


def _about(line: DutyLine) -> str:
    """The bird, or what else the job is about, in a word or two."""
    if line.portrait:
        return line.portrait.name
    told = line.duty.what.rpartition("answer: ")[2]
    return told.removeprefix("Order ").replace(" colour bands", "").rstrip(".")
