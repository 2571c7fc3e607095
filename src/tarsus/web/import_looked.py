"""A look at a long file is made in the background as well, and kept until its page has shown it.

It is shown once: whoever then adds a bird that the file names comes back to a new look. It is in the memory
of this process alone: where it is not there any more, the page looks for itself. What is brought in is looked
at anew.
"""

from __future__ import annotations

import json
from typing import Final
from uuid import UUID

from django.urls import reverse

from tarsus.actions.imports import planned
from tarsus.actions.jobs import Outcome, Work, begin_job
from tarsus.actions.lists import planned_list
from tarsus.tables.import_plan import ImportPlan
from tarsus.tables.list_asked import ListPlan
from tarsus.web.import_draft import Draft
from tarsus.web.import_jobs import IMPORT

LONG: Final = 100_000
"""Bytes from which a file is looked at in the background: some thousand lines."""
_MOST: Final = 2
_KEPT: Final[dict[str, ImportPlan | ListPlan]] = {}


def look_later(draft: Draft, by: int) -> UUID:
    """Look at every line in the background; the job's id. Its page leads back to the look."""

    def look(work: Work) -> Outcome:
        plan = _plan(draft, work)
        while len(_KEPT) >= _MOST:
            _KEPT.pop(next(iter(_KEPT)))
        _KEPT[_key(draft)] = plan
        return Outcome(
            "Every line was looked at; nothing is written yet.", f"{reverse('import-look')}?looked=1"
        )

    return begin_job(kind=IMPORT, title=f"Looking at {draft.name}", by=by, do=look)


def is_looked_at(draft: Draft) -> bool:
    """Whether a look at this very file, as it is said to be written, waits to be shown."""
    return _key(draft) in _KEPT


def take_look(draft: Draft) -> ImportPlan | ListPlan | None:
    """The look that waits to be shown, if there is one; it does not wait any more."""
    return _KEPT.pop(_key(draft), None)


def forget_looks() -> None:
    """Forget what was kept: something was written, or a file came anew."""
    _KEPT.clear()


def _plan(draft: Draft, work: Work) -> ImportPlan | ListPlan:
    work.begins("Reading the file", 0)
    sheet, columns = draft.table()
    work.begins("Looking at the lines", len(sheet.rows))
    if draft.kind is not None:
        return planned_list(sheet, columns, draft.kind, draft.choices, work.step)
    return planned(sheet, columns, draft.choices, work.step)


def _key(draft: Draft) -> str:
    said = {"columns": draft.columns, "choices": draft.choices.as_mapping(), "sheet": draft.sheet}
    return f"{draft.digest} {json.dumps(said, sort_keys=True)}"
