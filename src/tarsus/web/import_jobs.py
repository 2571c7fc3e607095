"""A long file is brought in in the background: the page may be closed, and shows how far it is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final
from uuid import UUID

from django.urls import reverse

from tarsus.actions.imports import Brought, bring_in
from tarsus.actions.jobs import Outcome, Work, begin_job
from tarsus.actions.lists import ListBrought, bring_list_in
from tarsus.core.words.numbers import counted
from tarsus.tables.rows import Sheet

IMPORT: Final = "import"
AT_ONCE: Final = 500
"""Lines that are brought in while the page waits; with more it is a job."""
_LOOKING: Final = "Looking at the lines"
_WRITING: Final = "Writing them into the register"


def bring_birds_later(*, sheet: Sheet, file_name: str, by: int, **said: Any) -> UUID:
    """Bring birds in in the background, the whole file or nothing; the job's id.

    Args:
        sheet: the table.
        file_name: what it is called.
        by: in whose name.
        said: what else `bring_in` takes.
    """

    def bring(work: Work) -> Outcome:
        done = bring_in(
            sheet=sheet,
            file_name=file_name,
            by=by,
            progress=_heard(work, _LOOKING, len(sheet.rows), _WRITING),
            ends=lambda brought: work.ends(birds_told(brought)),
            **said,
        )
        return birds_told(done)

    return begin_job(kind=IMPORT, title=f"Bringing in {file_name}", by=by, do=bring)


def tell_list_later(*, sheet: Sheet, file_name: str, by: int, **said: Any) -> UUID:
    """Tell a list in the background; a killed server leaves whole lines, and the list goes on from there.

    Args:
        sheet: the table.
        file_name: what it is called.
        by: in whose name.
        said: what else `bring_list_in` takes.
    """

    def tell(work: Work) -> Outcome:
        done = bring_list_in(
            sheet=sheet,
            file_name=file_name,
            by=by,
            progress=_heard(work, "Looking at each line, then telling it", 2 * len(sheet.rows), ""),
            **said,
        )
        return list_told(done)

    return begin_job(kind=IMPORT, title=f"Bringing in {file_name}", by=by, do=tell)


def birds_told(brought: Brought) -> Outcome:
    """How an import of birds ended."""
    said = _so_many("bird", len(brought.birds), "brought in")
    return Outcome(said, reverse("import-told", args=[brought.batch_id]))


def list_told(brought: ListBrought) -> Outcome:
    """How an import of a list ended."""
    said = _so_many(brought.plan.kind.told_by, brought.told, "told")
    return Outcome(said, reverse("import-told", args=[brought.batch_id]))


def _so_many(what: str, number: int, done: str) -> str:
    return f"{number} {counted(what, number)} {'was' if number == 1 else 'were'} {done}."


def _heard(work: Work, doing: str, lines: int, then: str) -> Callable[[int], None]:
    """Tell the job of each line, and when all were heard what comes after."""
    work.begins(doing, lines)
    left = lines

    def heard(more: int) -> None:
        nonlocal left
        left -= more
        work.step(more)
        if left == 0 and then:
            work.begins(then, 0)

    return heard
