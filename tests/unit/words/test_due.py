"""What a line on *Due* says: every kind of job has a heading, every deed that settles one a short word."""

from __future__ import annotations

from tarsus.core.care.settling import SETTLED_BY
from tarsus.core.words.due import SHORT, TITLES, due_title
from tarsus.core.words.looking_for import unseen_shortly

TOLD_ELSEWHERE = {"search", "look again", "open case", "which bird died", "band found alone"}


def test_jobs_of_one_kind_are_told_together_with_their_number() -> None:
    assert due_title("order bands", 4) == "Order bands: 4"
    assert due_title("order bands") == "Order bands"
    assert due_title("band missing") == "Band missing?"
    assert due_title("band missing", 2) == "Band missing: 2"


def test_every_heading_is_of_a_kind_there_is() -> None:
    assert set(TITLES) <= set(SETTLED_BY)


def test_every_job_of_the_list_has_a_short_word_for_its_deed() -> None:
    first = {deeds[0] for kind, deeds in SETTLED_BY.items() if kind not in TOLD_ELSEWHERE}
    assert first <= set(SHORT)


def test_a_bird_to_look_for_takes_one_line() -> None:
    assert unseen_shortly(7, 4, "alder stand", ever_seen=True) == "7 days, limit 4 · alder stand"
    assert unseen_shortly(1, 4, "", ever_seen=True) == "1 day, limit 4"
    assert unseen_shortly(0, 3, "rail", ever_seen=True) == "missed today, limit 3 days · rail"
    assert unseen_shortly(2, 3, "rail", ever_seen=False) == "never seen here yet · rail"
