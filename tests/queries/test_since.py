"""Since you were here: what is new about the birds, and the notes of the shifts, each story told out."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from phones import Shift
from tarsus.actions.facts import hear_facts
from tarsus.core.words.since import CAME, FOUND, MARKS, MOVED, VET, WENT, NewsLine, news_lines
from tarsus.queries.hand_over import LINES, first_of_each_kind, hand_over
from tarsus.queries.shift_notes import notes_for, notes_left
from tarsus.queries.since import LONGEST, looked_until, news_since
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db

DAY = timedelta(days=1)


class Newcomer(Shift):
    """What one of the shift has not seen since a moment."""

    def news(self, of: str | None = None) -> list[tuple[str, str, str]]:
        but = None if of is None else getattr(self.park.actors, of)
        lines = news_lines(news_since(self.began, timezone.now(), but))
        return [(line.kind, " ".join(name for _, name in line.birds), line.words) for line in lines]


@pytest.fixture
def shift(park: Wendlebrook) -> Newcomer:
    return Newcomer(park)


def test_who_came_went_moved_and_changed_marks_is_told_to_whoever_did_not_write_it(
    shift: Newcomer, park: Wendlebrook
) -> None:
    off = rows.Band.objects.get(bird_id=park["Dock"], colour__name="lime").pk
    shift.done("maren", "departure", bird=park["Kelp"], went_to="Saltmere")
    shift.done("tilda", "moved", came=[park["Teasel"], park["Burdock"]], to_exhibit=park.reed)
    shift.done("maren", "band_off", band=off, why="lost")
    shift.done("maren", "band_on", bird=park["Dock"], site="right leg", what="colour", colour="red")
    shift.done("tilda", "whereabouts", bird=park["Sedge"], state="missing")
    shift.done("tilda", "death", bird=park["Thrift"], exhibit=park.shingle, found_by="Tilda")
    assert shift.news("oswin") == [
        (WENT, "Kelp", "to Saltmere"),
        (WENT, "Sedge", "missing"),
        (WENT, "Thrift", "died"),
        (MOVED, "Burdock Teasel", "to Reed House"),
        (MARKS, "Dock", "red on, lime off"),
    ]
    assert [kind for kind, *_ in shift.news("tilda")] == [WENT, MARKS], "her own deeds are no news to her"


def test_a_newcomer_is_told_once_and_its_bands_are_not_changed_marks(
    shift: Newcomer, park: Wendlebrook
) -> None:
    added = shift.done("corin", "bird_added", species=park.ruff, house_name="Rush", exhibit=park.reed)
    rush = int(added.wrote["bird"])
    shift.done("maren", "band_on", bird=rush, site="left leg", what="colour", colour="red")
    assert shift.news("oswin") == [(CAME, "Rush", "new in the register")]
    shift.done("corin", "withdrawn", corrects=added.id, because="another park's")
    assert shift.news("oswin") == [], "what was taken back is no news"


def test_what_was_taken_back_is_no_news(shift: Newcomer, park: Wendlebrook) -> None:
    gone = shift.done("maren", "departure", bird=park["Kelp"], went_to="Saltmere")
    case = shift.done("tilda", "case_opened", birds=[park["Sedge"]], about="lame")
    for one in (gone, case):
        shift.done("maren", "withdrawn", corrects=one.id, because="the wrong bird")
    assert shift.news() == []


def test_the_vets_eye_case_word_treatment_and_end(shift: Newcomer, park: Wendlebrook) -> None:
    about = [park["Kelp"], park["Sedge"]]
    case = shift.done("tilda", "case_opened", birds=about, about="wing low").wrote["case"]
    shift.done("ilse", "instruction", case=case, text="read the right leg")
    shift.done("ilse", "treatment", bird=park["Thrift"], what="drops", dose="twice a day")
    told = shift.news("oswin")
    assert sorted(told) == [
        (VET, "Kelp Sedge", "one of 2: wing low; keepers: read the right leg"),
        (VET, "Thrift", "drops, twice a day"),
    ]
    shift.began = timezone.now()
    shift.done("ilse", "case_closed", case=case, because="both fly")
    assert shift.news("oswin") == [(VET, "Kelp Sedge", "case closed: both fly")]


def test_a_bird_is_found_when_it_is_seen_after_its_limit_by_somebody_else(
    shift: Newcomer, park: Wendlebrook
) -> None:
    now = timezone.now()
    for name, days in (("Kelp", 6), ("Sedge", 2)):  # avocets are searched for from the third day
        seen_at = now - timedelta(days=days, hours=1)
        shift.done("tilda", "sighting", at=seen_at, exhibit=park.shingle, bird=park[name], how="by sight")
    shift.began = timezone.now()
    for name in ("Kelp", "Sedge", "Marram"):
        shift.done("tilda", "sighting", at=now, exhibit=park.shingle, bird=park[name], how="by sight")
    assert shift.news("oswin") == [(FOUND, "Kelp", "seen after 6 days")]
    assert shift.news("tilda") == []


def test_a_sighting_that_was_known_closes_the_gap_of_a_phone_that_sends_late(
    shift: Newcomer, park: Wendlebrook
) -> None:
    now = timezone.now()

    def saw(days: float) -> None:
        at = now - timedelta(days=days)
        shift.done("tilda", "sighting", at=at, exhibit=park.shingle, bird=park["Kelp"], how="by sight")

    saw(12)
    saw(4)
    shift.began = timezone.now()
    saw(10)
    saw(2)
    assert shift.news() == [], "seen on days 12, 10, 4 and 2 ago; the gap of six was known before"


def test_only_seen_moves_the_look_and_a_fortnight_is_told_to_whoever_never_said_it(
    shift: Newcomer, park: Wendlebrook
) -> None:
    now = timezone.now()
    oswin = park.actors.oswin
    assert looked_until(oswin, now) == now - LONGEST
    shift.seen("oswin", now - 2 * DAY)
    assert looked_until(oswin, now) == now - 2 * DAY
    shift.seen("oswin", now - 5 * DAY)
    assert looked_until(oswin, now) == now - 2 * DAY, "an old page sent late takes nothing back"
    assert looked_until(park.actors.tilda, now) == now - LONGEST
    ahead = {"id": str(uuid4()), "kind": "today_seen", "at": now.isoformat(), "by": oswin}
    (refused,) = hear_facts(
        facts=[ahead | {"until": (now + DAY).isoformat()}], clock=None, device="", speaker=oswin
    )
    assert (refused.outcome, refused.place) == ("refused", "until")


def test_what_comes_between_page_and_tap_is_not_taken_for_seen(shift: Newcomer, park: Wendlebrook) -> None:
    page = hand_over(park.actors.oswin, timezone.now())
    shift.done("maren", "departure", bird=park["Kelp"], went_to="Saltmere")
    shift.seen("oswin", page.until)
    after = hand_over(park.actors.oswin, timezone.now())
    assert [line.words for line in after.lines] == ["to Saltmere"]


def test_a_note_for_a_colleague_waits_until_it_was_seen_however_long_that_takes(
    shift: Newcomer, park: Wendlebrook
) -> None:
    now = timezone.now()
    shift.done("tilda", "shift_note", text="heron net torn", people=[park.actors.oswin], exhibit=park.reed)
    shift.done("tilda", "shift_note", text="hide key is back")
    for_oswin = notes_for(park.actors.oswin, now)
    assert [(note.text, note.for_you) for note in for_oswin] == [
        ("heron net torn", True),
        ("hide key is back", False),
    ]
    assert [note.text for note in notes_for(park.actors.ilse, now)] == ["hide key is back"]
    assert notes_for(park.actors.tilda, now) == (), "nobody is told their own"
    months_on = timezone.now() + 90 * DAY
    assert [note.text for note in hand_over(park.actors.oswin, months_on).notes] == ["heron net torn"]
    shift.seen("oswin")
    assert notes_for(park.actors.oswin, looked_until(park.actors.oswin, timezone.now())) == ()
    assert [
        (note.text, note.people, note.seen_by) for note in notes_left(park.actors.tilda, timezone.now())
    ] == [
        ("hide key is back", (), ()),
        ("heron net torn", ("Oswin",), ("Oswin",)),
    ]


def test_a_note_that_was_a_mistake_is_gone_and_one_without_words_or_for_a_stranger_is_refused(
    shift: Newcomer, park: Wendlebrook
) -> None:
    note = shift.done("tilda", "shift_note", text="gate open")
    shift.done("tilda", "withdrawn", corrects=note.id, because="it was shut")
    assert notes_for(park.actors.oswin, shift.began) == ()
    tilda = park.actors.tilda
    said = {"id": str(uuid4()), "kind": "shift_note", "at": timezone.now().isoformat(), "by": tilda}
    for wrong, place in (({"text": " "}, "text"), ({"text": "x", "people": [987]}, "people")):
        (answer,) = hear_facts(facts=[said | wrong], clock=None, device="", speaker=tilda)
        assert (answer.outcome, answer.place.split("[")[0]) == ("refused", place)


def test_a_dozen_lines_have_some_of_every_kind() -> None:
    today = timezone.now().date()
    many = [NewsLine(MARKS, ((n, f"b{n}"),), f"{n}", today) for n in range(30)]
    few = [NewsLine(VET, ((99, "Thrift"),), "lame", today), NewsLine(WENT, ((98, "Kelp"),), "died", today)]
    shown = first_of_each_kind((*few, *many), LINES)
    assert [line.kind for line in shown] == [VET, WENT] + [MARKS] * 10
    assert [line.birds[0][0] for line in shown[2:]] == list(range(10))
    assert first_of_each_kind(tuple(few), LINES) == tuple(few)
