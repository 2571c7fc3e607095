"""What is due, put together by day and kind."""

from __future__ import annotations

from datetime import date

from tarsus.core.care.duty import Duty, Urgency
from tarsus.queries.due_days import by_day_and_kind
from tarsus.queries.due_today import DutyLine, due_in_words

TODAY = date(2026, 6, 12)


def line(kind: str, what: str, urgency: Urgency, by: date | None = None) -> DutyLine:
    duty = Duty(kind, None, None, what, what, "", by, urgency, "", False, "")
    return DutyLine(duty, None, "", due_in_words(duty, TODAY), "")


def test_what_is_due_stands_by_day_then_by_kind_the_most_urgent_first() -> None:
    lines = [
        line("weigh", "Weigh Tansy.", Urgency.TODAY),
        line("order bands", "Order orange colour bands, size 4.", Urgency.SOON),
        line("health check", "Check Dock.", Urgency.SOON, date(2026, 6, 16)),
        line("order bands", "Order green colour bands, size 4.", Urgency.SOON),
        line("weigh", "Weigh Reed.", Urgency.SOON, date(2026, 8, 1)),
        line("weigh", "Weigh Sedge.", Urgency.NOW, date(2026, 6, 2)),
    ]
    days = by_day_and_kind(lines, TODAY)
    assert [(day.title, [kind.title for kind in day.kinds]) for day in days] == [
        ("Overdue", ["Weigh"]),
        ("Today", ["Weigh"]),
        ("By 19 June", ["Health check"]),
        ("Soon", ["Order bands: 2", "Weigh"]),
    ]
    assert days[3].kinds[0].about == "orange, size 4, green, size 4"
    assert days[0].kinds[0].about == "Weigh Sedge · since 2 Jun"
    assert days[1].kinds[0].about == "Weigh Tansy", "the heading says today"


def test_no_job_is_lost_on_the_way() -> None:
    lines = [line("weigh", f"Weigh {n}.", Urgency(n % 3), None) for n in range(9)]
    told = [one for day in by_day_and_kind(lines, TODAY) for kind in day.kinds for one in kind.lines]
    assert sorted(one.duty.what for one in told) == sorted(one.duty.what for one in lines)
