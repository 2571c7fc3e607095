"""Which reports there are, who may ask for each, and how one is made: of now, or as known on a past day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from tarsus.core.deeds.rights import KEEPER, LEAD, RECORDS, VET, VIEWER
from tarsus.core.errors import WrongValue
from tarsus.core.reports.compared import compared
from tarsus.core.reports.report import Report
from tarsus.queries.days import day_ends, park_zone
from tarsus.queries.inventory import month_days
from tarsus.queries.once import asking
from tarsus.queries.park_reports.asked import Asked
from tarsus.queries.park_reports.bands_lost import bands_lost
from tarsus.queries.park_reports.catch_ups import catch_ups
from tarsus.queries.park_reports.deaths import deaths
from tarsus.queries.park_reports.duties_done import duties_done
from tarsus.queries.park_reports.inventory import inventory
from tarsus.queries.park_reports.presence import presence
from tarsus.queries.park_reports.unseen import unseen
from tarsus.queries.park_reports.weights import weights
from tarsus.records.standing import as_known_by

LONGEST: Final = timedelta(days=366)
"""So many days one report covers at the most; a presence of ten years is nobody's question."""

EARLIEST: Final = date(1900, 1, 1)
"""No register has a day before it, and calendars end."""


@dataclass(frozen=True, slots=True)
class ReportKind:
    """One report: what it tells, who may ask for it, and whether it is of one month only.

    `of_park`: it tells the whole park's figures, whichever exhibit is asked about.
    """

    name: str
    title: str
    tells: str
    roles: tuple[str, ...]
    make: Callable[[Asked], Report]
    month: bool = False
    of_park: bool = False


REPORTS: Final = {
    kind.name: kind
    for kind in (
        ReportKind(
            "inventory",
            "Inventory of a month",
            "What was here, came, went and is here, by species and sex, so that it balances.",
            (VIEWER,),
            inventory,
            month=True,
            of_park=True,
        ),
        ReportKind(
            "presence",
            "Presence",
            "On how many days each bird was looked for, seen and missed.",
            (VIEWER,),
            presence,
        ),
        ReportKind(
            "unseen",
            "Who was unseen when",
            "Each run of days on which a bird was looked for and not seen, and how it ended.",
            (VIEWER,),
            unseen,
        ),
        ReportKind(
            "catch-ups",
            "Catch-ups",
            "What was planned for each bird, and what became of it.",
            (KEEPER, RECORDS),
            catch_ups,
        ),
        ReportKind(
            "weights",
            "Weights",
            "Each weighing, against the bird's own usual weight.",
            (KEEPER, VET, RECORDS),
            weights,
        ),
        ReportKind(
            "deaths",
            "Deaths",
            "Found when and by whom, how old, and what the post-mortem said.",
            (KEEPER, VET, RECORDS),
            deaths,
        ),
        ReportKind(
            "bands-lost",
            "Bands lost",
            "By kind and colour, and for how long such bands were worn.",
            (KEEPER, RECORDS),
            bands_lost,
        ),
        ReportKind(
            "duties-done",
            "Duties done",
            "The deeds by which duties are settled: what, of which bird, by whom.",
            (LEAD, VET, RECORDS),
            duties_done,
        ),
    )
}


def span_asked(first: date | None, last: date | None, known: date | None, today: date) -> tuple[date, date]:
    """The span of a report, whole and in order; what is left out is the month before this one.

    Raises:
        WrongValue: days that no register has, in the wrong order, too many, or still to come.
    """
    before = today.replace(day=1) - timedelta(days=1)
    begins = first or (last or before).replace(day=1)
    if begins < EARLIEST:
        raise WrongValue("first", f"no report begins before {EARLIEST:%Y}; choose a later day")
    if begins > today:
        raise WrongValue("first", f"{begins:%-d %B %Y} is still to come; choose an earlier day")
    ends = last or min(today, month_days(begins)[1])
    if ends < begins:
        raise WrongValue("last", f"{ends:%-d %B %Y} is before {begins:%-d %B %Y}; exchange the two days")
    if ends - begins > LONGEST:
        raise WrongValue("last", f"a report covers {LONGEST.days} days at the most; choose fewer")
    if known is not None and not EARLIEST <= known <= today:
        remedy = (
            "is still to come; choose an earlier day or none" if known > today else "is before any register"
        )
        raise WrongValue("known", f"{known:%-d %B %Y} {remedy}")
    return begins, ends


def report_of(kind: ReportKind, asked: Asked, known_on: date | None = None) -> Report:
    """Make a report.

    Args:
        kind: which.
        asked: the span, the exhibit and the moment of asking; days that are still to come are cut off.
        known_on: a past day; then it is told as it was known at the end of that day, with what is different
            now beside each row. `None` is what is known now.

    Assumes:
        What was known is what was written by then: names, species, limits and settings are told as they are
        now.

    Source:
        docs/decisions/0034-what-was-known-then.md.
    """
    if known_on is None:
        with asking():
            return kind.make(asked)
    moment = day_ends(known_on, park_zone())
    asked = replace(asked, now=min(asked.now, moment - timedelta(seconds=1)))
    with as_known_by(moment), asking():
        then = kind.make(asked)
    with asking():
        now = kind.make(asked)
    return compared(then, now, known_on)
