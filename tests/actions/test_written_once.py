"""A fact is written once; told again it is known, and with other contents it is refused."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError

from phones import SEVEN
from tarsus.actions.refusals import Retold, SightingRetold
from tarsus.actions.telling import Told, digest_of, insert_once, write_once
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db


def test_a_fact_is_written_once_and_a_retelling_with_other_words_is_none(park: Wendlebrook) -> None:
    told = Told(by=park.actors.tilda, at=SEVEN)
    columns = {"bird_id": park["Kelp"], "text": "bold", "exhibit_id": None, "round_id": None}
    assert write_once(rows.Note, told, columns, beside={"why": 1})
    assert not write_once(rows.Note, told, columns, beside={"why": 1})
    row = rows.Note.objects.get()
    assert (row.text, row.bird_id, row.happened_at, row.recorded_by_id) == (
        "bold",
        park["Kelp"],
        SEVEN,
        park.actors.tilda,
    )
    for change, beside in (({"text": "shy"}, {"why": 1}), ({}, {"why": 2}), ({}, None)):
        with pytest.raises(Retold, match="already names a note with other contents; record the correction"):
            write_once(rows.Note, told, {**columns, **change}, beside=beside)
    seen = {"exhibit_id": park.shingle, "bird_id": park["Kelp"], "how": "by sight", "candidates": []}
    more = {"chance": 1.0, "accepted_by_id": park.actors.tilda}
    assert write_once(rows.Sighting, told, seen, derived=more)
    with pytest.raises(SightingRetold):
        write_once(rows.Sighting, told, {**seen, "bird_id": park["Dock"]}, derived=more)


def test_a_row_that_the_database_refuses_is_refused_unless_its_deed_was_done(park: Wendlebrook) -> None:
    deed = uuid4()
    columns = {"bird_id": park["Kelp"], "from_on": DAY, "recorded_by_id": park.actors.tilda}
    first = insert_once(rows.Transponder(number="978", deed=deed, **columns), deed)
    again = insert_once(rows.Transponder(number="978", deed=deed, **columns), deed)
    assert again.pk == first.pk
    for other in (None, uuid4()):
        with pytest.raises(IntegrityError):
            insert_once(rows.Transponder(number="978", deed=other, **columns), other)


@pytest.mark.parametrize(
    ("ahead", "put_right"), [(None, 0), (59, 0), (-59, 0), (60, 60), (-60, -60), (7200, 7200)]
)
def test_a_clock_is_taken_at_its_word_within_a_minute(ahead: int | None, put_right: int) -> None:
    offset = None if ahead is None else timedelta(seconds=ahead)
    told = Told(by=1, at=SEVEN, clock_offset=offset)
    assert told.happened_at == SEVEN - timedelta(seconds=put_right)


def test_the_order_of_words_makes_no_other_fact_and_their_letters_do() -> None:
    assert digest_of({"a": 1, "b": [2, "é"]}) == digest_of({"b": [2, "é"], "a": 1})
    assert digest_of({"a": 1}) != digest_of({"a": 2})
    assert digest_of({"a": "é"}) != digest_of({"a": "e"})
    assert len(digest_of({})) == 32
