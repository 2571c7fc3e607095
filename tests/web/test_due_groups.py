"""Several jobs of one kind are one line, with the deed that settles each of them."""

from __future__ import annotations

from datetime import date

import pytest
from django.template import Context
from django.template.loader import get_template
from django.test import RequestFactory

from tarsus.core.care.duty import Duty, Urgency
from tarsus.queries.due_days import by_day_and_kind
from tarsus.queries.due_today import DutyLine
from tarsus.records.models import Person

TODAY = date(2026, 6, 12)


def as_seen_by(role: str, kind: str, number: int) -> str:
    """The line of so many jobs of one kind, as one role reads it."""
    jobs = [
        Duty(kind, at, None, f"Bird {at}", "", "", None, Urgency.SOON, "", False, "") for at in range(number)
    ]
    (day,) = by_day_and_kind([DutyLine(duty, None, "", "", "") for duty in jobs], TODAY)
    request = RequestFactory().get("/")
    request.user = Person(role=role)
    page = get_template("web/due_day.html").template.render(Context({"day": day, "request": request}))
    return " ".join(page.split())


@pytest.mark.parametrize(
    ("kind", "role", "word"),
    [
        ("release from quarantine", "vet", "Release"),
        ("natural mark to review", "keeper", "Look"),
        ("weigh", "lead", "Weigh"),
    ],
)
def test_a_line_of_several_jobs_carries_their_deed_for_whoever_may(kind: str, role: str, word: str) -> None:
    page = as_seen_by(role, kind, 2)
    assert f'<b class="btn">{word}</b></summary>' in page
    assert page.count('<div class="one-due">') == 2


def test_whoever_may_not_has_no_key_and_reads_who_can() -> None:
    page = as_seen_by("keeper", "release from quarantine", 2)
    assert '<b class="btn">' not in page
    assert page.count("the vet can") == 2


def test_a_single_job_has_its_own_button_and_no_second_one() -> None:
    page = as_seen_by("vet", "release from quarantine", 1)
    assert '<b class="btn">' not in page
    assert page.count(">Release</a>") == 1
