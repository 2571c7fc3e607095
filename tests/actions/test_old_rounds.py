"""Logs of old rounds: a count names nobody and misses nobody; names do, as the park says."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest

from list_files import brought
from tarsus.actions.lists import ListAsked, ListBrought
from tarsus.core.rounds.call import RollCall
from tarsus.queries.rounds import roll_call
from tarsus.records import models as rows

pytestmark = pytest.mark.django_db

HEAD = "Date;Time;Aviary;Species;Counted;Unseen;Keeper"
DAY = date(2026, 5, 2)


def told(park: Any, *lines: str, others: str = "seen", head: str = HEAD, **more: Any) -> ListBrought:
    return brought(park, head, *lines, choices={"once": {"others": others, **more.pop("once", {})}}, **more)


def call() -> RollCall:
    begun = rows.RoundStarted.objects.get(happened_at__date=DAY)
    return roll_call(begun.round_id, datetime(2026, 6, 11, tzinfo=UTC))


def test_a_count_that_names_nobody_is_left_open_and_misses_nobody(park: Any) -> None:
    done = told(park, "2.5.2026;07:40;Shingle Aviary;Pied avocet;4;;JM")
    assert (done.told, done.refused) == (1, ())
    (line,) = done.plan.lines
    assert line.said.words == "2026-05-02 07:40: 4 counted; nobody named, left open"
    assert (call().phase, call().called, call().observed) == ("left open", frozenset(), frozenset())
    assert call().counts["avocet"].lowest.counted == 4
    assert rows.RoundStarted.objects.get(happened_at__date=DAY).happened_at == datetime(
        2026, 5, 2, 6, 40, tzinfo=UTC
    )
    note = rows.Note.objects.get(round__isnull=False, happened_at__date=DAY)
    assert note.text == "called by JM (brought in from a spreadsheet)"
    assert note.recorded_by_id == park.actors.maren, "who brought it in told it"


def test_names_of_those_unseen_close_the_round_where_all_others_were_seen(park: Any) -> None:
    done = told(park, "2.5.2026;07:40;Shingle Aviary;avocet;3;Kelp, Sedge;")
    assert (done.told, done.refused) == (1, ())
    assert call().phase == "closed"
    assert call().called == {"avocet"}, "nobody asked for the ruffs"
    assert call().observed == {park["Samphire"], park["Thrift"], park["Marram"]}
    again = told(park, "2.5.2026;07:40;Shingle Aviary;avocet;3;Kelp, Sedge;", by="corin")
    assert (again.told, again.plan.in_before) == (0, (2,))


def test_what_names_of_those_unseen_say_of_the_others_is_asked_and_may_be_nothing(park: Any) -> None:
    line = "2.5.2026;07:40;Shingle Aviary;avocet;3;Kelp und Sedge;"
    with pytest.raises(ListAsked, match='--once "others=seen"'):
        brought(park, HEAD, line)
    done = told(park, line, others="nothing said")
    assert done.told == 1
    assert (call().called, call().observed) == (frozenset(), frozenset())
    assert rows.Note.objects.get(round__isnull=False, happened_at__date=DAY).text.startswith(
        "unseen: Kelp und"
    )


def test_nobody_under_unseen_says_that_all_were_seen_and_an_empty_cell_says_nothing(park: Any) -> None:
    told(park, "2.5.2026;;Shingle Aviary;avocet;5;nobody;", once={"time": "not known"})
    assert len(call().observed) == 5
    told(park, "3.5.2026;;Shingle Aviary;avocet;5;;", once={"time": "not known"})
    assert not rows.Sighting.objects.filter(happened_at__date=date(2026, 5, 3)).exists()


def test_none_counted_is_a_closed_round_in_which_nobody_of_the_group_was_seen(park: Any) -> None:
    told(park, "2.5.2026;07:40;Shingle Aviary;ruff;0;;")
    assert (call().phase, call().called) == ("closed", {"ruff"})


@pytest.mark.parametrize(
    ("line", "field", "reason"),
    [
        (
            "2.5.2026;;Shingle Aviary;avocet;4;Kelp, Sedge;",
            "Counted",
            "'4' and 2 unseen do not make the 5 that",
        ),
        ("2.5.2026;;Shingle Aviary;avocet;4;Kelpp;", "Unseen", "names 'Kelpp', which is no bird"),
        ("2.5.2026;;Shingle Aviary;avocet;4;Dock;", "Unseen", "names 'Dock', which was not to be looked for"),
        ("2.5.2026;;Shingle Aviary;;4;;", "Species", "several kinds of birds lived there"),
        ("2.5.2026;;Shingle Aviary;heron;4;;", "Species", "'heron' is no species of this register"),
        ("2.5.2026;;Shingle Aviary;avocet;;;", "Counted", "is empty"),
        ("2.5.2026;;Shingle Aviary;avocet;many;;", "Counted", "'many' is no whole number"),
        ("2.5.2026;;Swan Lake;avocet;4;;", "Aviary", "'Swan Lake' is no exhibit"),
        ("2.5.2126;;Shingle Aviary;avocet;4;;", "Date", "lies in the future"),
        ("2.5.1985;;Shingle Aviary;avocet;4;;", "Date", "lies before this register begins"),
    ],
)
def test_what_cannot_be_is_refused_at_its_column_and_nothing_of_it_is_told(
    park: Any, line: str, field: str, reason: str
) -> None:
    before = rows.ToldDeed.objects.count()
    done = told(park, line)
    (refused,) = done.refused
    assert refused.field == field
    assert reason in refused.reason
    assert refused.remedy
    assert (done.told, rows.ToldDeed.objects.count()) == (0, before)
    assert not rows.Waiting.objects.exists()
