"""What a page asks of the register is bounded by counting, and does not grow with the history behind it.

Nothing is kept here between pages: a test runs inside a transaction. `benchmarks/pages.py` measures time.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.db import connection, transaction
from django.db.models.sql import compiler
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tarsus.demo.loaded import LoadedPark, load_park
from tarsus.demo.species import AVOCET
from tarsus.demo.wendlebrook import part_of_park
from tarsus.records.models import Person

TODAY = date(2026, 6, 12)
DAYS = 20
GROWTH = 1.15
MOST = {
    "/": 140,
    "/birds/{bird}/": 147,
    "/exhibits/{exhibit}/": 80,
    "/flocks/{exhibit}/avocet/": 25,
    "/catch-up/": 10,
    "/catch-up/{exhibit}/": 90,
    "/exhibits/{exhibit}/pack.json": 85,
    "/in-hand/pack.json": 100,
}
"""Pages, and how often each may ask."""


@dataclass(frozen=True)
class Work:
    """What one page asked: questions, and rows that came as answers."""

    questions: int
    rows: int


@pytest.mark.django_db
def test_no_page_asks_for_more_with_four_times_the_history(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: datetime(2026, 6, 12, 6, 30, tzinfo=UTC))
    short, long = _work_behind(DAYS), _work_behind(4 * DAYS)
    # A question more is asked where there is something to ask about: a treatment, a case.
    often = {page: work.questions for page, work in long.items() if work.questions > MOST[page]}
    asked = {
        p: (short[p].questions, work.questions)
        for p, work in long.items()
        if _grown(short[p].questions, work.questions)
    }
    came = {p: (short[p].rows, work.rows) for p, work in long.items() if _grown(short[p].rows, work.rows)}
    assert (often, asked, came) == ({}, {}, {})


def _grown(before: int, now: int) -> bool:
    return now > GROWTH * before


def _work_behind(days: int) -> dict[str, Work]:
    """The work of each page in a park with so many days of history, which is gone afterwards."""
    with transaction.atomic():
        park = load_park(part_of_park(TODAY, (AVOCET,), days=days))
        found = _work_of_pages(park)
        transaction.set_rollback(True)
    return found


def _work_of_pages(park: LoadedPark) -> dict[str, Work]:
    client = Client()
    client.force_login(Person.objects.get(login="hesper"), "django.contrib.auth.backends.ModelBackend")
    named = {"exhibit": park.exhibits["Shingle Aviary"], "bird": park.birds["Sedge"]}
    found = {}
    for page in MOST:
        address = page.format(**named)
        assert client.get(address).status_code == 200, address  # the first visit notes the session
        with CaptureQueriesContext(connection) as asked, counted_rows() as rows:
            client.get(address)
        assert rows[0], f"{page}: no rows were counted"
        found[page] = Work(len(asked), rows[0])
    return found


@contextmanager
def counted_rows() -> Iterator[list[int]]:
    """How many rows come out of the database until the end of the block."""
    rows, before = [0], compiler.cursor_iter

    def counting(*told: Any) -> Iterator[Any]:
        for some in before(*told):
            rows[0] += len(some)
            yield some

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(compiler, "cursor_iter", counting)
        yield rows
