"""A page that asks twice is answered once; nothing is kept beyond it."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tarsus.queries.days import park_zone
from tarsus.queries.once import asking, once
from tarsus.records.models import Park
from wendlebrook import build

pytestmark = pytest.mark.django_db


def test_while_a_page_is_made_a_question_is_asked_of_the_register_once() -> None:
    build()
    with CaptureQueriesContext(connection) as asked, asking():
        assert park_zone() is park_zone()
    assert len(asked) == 1


def test_the_next_page_hears_what_was_written_since() -> None:
    build()
    with asking():
        before = park_zone().key
    Park.objects.update(time_zone="Asia/Tokyo" if before != "Asia/Tokyo" else "UTC")
    with asking():
        assert park_zone().key != before


def test_outside_a_page_every_question_is_asked_anew() -> None:
    told = iter((1, 2, 3))

    @once
    def question(_of: int) -> int:
        return next(told)

    assert (question(7), question(7)) == (1, 2)
    with asking():
        assert (question(7), question(7)) == (3, 3)
