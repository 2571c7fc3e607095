"""A whole export, written in the background to a file that whoever asked for it fetches."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final
from uuid import UUID

from django.db import connections

from tarsus.actions.jobs import Outcome, Work, begin_job
from tarsus.queries.days import park_today
from tarsus.queries.exports import one_moment, rows_held, tables_held
from tarsus.tables.book_out import write_workbook
from tarsus.tables.writing import Table, json_text

KIND: Final = "export"
FORMS: Final = ("xlsx", "json")
_TELLS_EVERY_S: Final = 0.5


def begin_export(*, form: str, by: int) -> UUID:
    """Begin to write everything that the register holds, as of one moment, and answer at once.

    Args:
        form: one of `FORMS`.
        by: who asked for it, and alone may fetch it.

    Returns:
        The job's id.
    """
    assert form in FORMS, form
    name = f"tarsus-{park_today():%Y-%m-%d}.{form}"
    return begin_job(
        kind=KIND, title=f"Writing {name}", by=by, do=lambda work: _written(work, form=form, name=name)
    )


def _written(work: Work, *, form: str, name: str) -> Outcome:
    work.begins("Writing rows", rows_held())
    counted: dict[str, int] = {}
    with _told(work) as progress, one_moment():
        tables = (_counting(table, counted) for table in tables_held(park_today(), progress.step))
        if form == "json":
            with work.file.open("w", encoding="utf-8") as text:
                text.writelines(json_text(tables))
        else:
            with work.file.open("wb") as whole:
                write_workbook(tables, whole)
    return Outcome(f"{sum(counted.values())} rows of {len(counted)} tables.", file_name=name)


def _counting(table: Table, counted: dict[str, int]) -> Table:
    counted[table.name] = 0

    def rows() -> Iterator[object]:
        for row in table.rows:
            counted[table.name] += 1
            yield row

    return Table(table.name, table.headings, rows())  # type: ignore[arg-type]  # the very same rows


class _Progress:
    """Steps counted in one thread and told by another."""

    def __init__(self) -> None:
        self.steps = 0

    def step(self, more: int) -> None:
        self.steps += more


@contextmanager
def _told(work: Work) -> Iterator[_Progress]:
    """Tell how far it is from a thread with a connection of its own.

    The one that reads holds still at one moment: what it wrote of itself nobody would see, and it would be
    rolled back.
    """
    progress, over = _Progress(), threading.Event()

    def tell() -> None:
        told = 0
        try:
            while not over.wait(_TELLS_EVERY_S):
                now = progress.steps
                work.step(now - told)
                told = now
        finally:
            connections.close_all()

    teller = threading.Thread(target=tell, daemon=True, name=f"how far {work.job_id} is")
    teller.start()
    try:
        yield progress
    finally:
        over.set()
        teller.join()
