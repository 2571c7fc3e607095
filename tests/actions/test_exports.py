"""A whole export in the background: it is of one moment, and tells how far it is meanwhile."""

from __future__ import annotations

import time
from pathlib import Path
from uuid import uuid4

import pytest

from tarsus.actions.exports import _told
from tarsus.actions.jobs import Work
from tarsus.queries.exports import one_moment
from tarsus.records.models import Exhibit, Job
from wendlebrook import build

pytestmark = pytest.mark.django_db(transaction=True)
LONGEST_S = 60


def test_how_far_it_is_is_told_while_the_register_is_read_as_of_one_moment(
    transactional_db: None, tmp_path: Path, settings: object
) -> None:
    settings.HOME = tmp_path  # type: ignore[attr-defined]  # pytest-django's settings
    park = build()
    job = Job.objects.create(id=uuid4(), kind="export", title="Writing park.json", by_id=park.actors.corin)
    work, until = Work(job.pk), time.monotonic() + LONGEST_S
    work.begins("Writing rows", 100)
    with _told(work) as progress, one_moment():
        assert Exhibit.objects.count() == 2
        progress.step(40)
        while work._done < 40:
            assert time.monotonic() < until, "nothing is told"
            time.sleep(0.01)
    job.refresh_from_db()
    assert (job.done, job.steps) == (40, 100)
