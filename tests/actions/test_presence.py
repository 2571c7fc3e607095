"""The watch in the register: checkpoints carried day by day, late words, floors and excuses."""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tarsus.actions.presence import DAYS_KEPT, keep_checkpoints, rebuilt
from tarsus.queries.presence import BirdPresence, presence_of_exhibit, presence_of_park
from tarsus.queries.short import missing_among
from tarsus.records import models as rows

pytestmark = pytest.mark.django_db

FIRST = date(2026, 6, 1)
AVOCETS = ("Samphire", "Kelp", "Sedge", "Thrift", "Marram")


def at(day: date, hour: int = 7) -> datetime:
    return datetime(day.year, day.month, day.day, hour, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _the_park_is_old(park: Any) -> None:
    """The small park's spells were written when it began, long before any of these days."""
    rows.Stay.objects.update(recorded_at=at(date(2026, 3, 1)))


def called(
    park: Any,
    day: date,
    seen: Iterable[str],
    *,
    hour: int = 7,
    heard: datetime | None = None,
    close: bool = True,
    how: str = "by sight",
    chance: float = 1.0,
) -> rows.Round:
    """A roll call of Shingle Aviary, heard when it happened unless told otherwise."""
    call = rows.Round.objects.create(exhibit_id=park.shingle)
    told = {
        "recorded_by_id": park.actors.tilda,
        "happened_at": at(day, hour),
        "recorded_at": heard or at(day, hour),
    }
    rows.RoundStarted.objects.create(round=call, **told)
    for name in seen:
        sighted(park, name, day, call=call, how=how, chance=chance, hour=hour, heard=heard)
    if close:
        rows.RoundClosed.objects.create(round=call, version={}, **told)
    return call


def sighted(
    park: Any,
    name: str,
    day: date,
    *,
    call: rows.Round | None = None,
    how: str = "by sight",
    chance: float = 1.0,
    hour: int = 7,
    heard: datetime | None = None,
    by: int | None = None,
    photographed: bool = False,
) -> rows.Sighting:
    return rows.Sighting.objects.create(
        id=uuid.uuid4(),
        round=call,
        lookalike="avocet",
        exhibit_id=park.shingle,
        bird_id=park[name],
        how=how,
        chance=chance,
        reading={"left tibia": ["metal"]} if how == "by reading" else None,
        accepted_by_id=park.actors.tilda,
        photographed=photographed,
        recorded_by_id=by or park.actors.tilda,
        happened_at=at(day, hour),
        recorded_at=heard or at(day, hour),
    )


def days(first: int, last: int) -> list[date]:
    return [FIRST + timedelta(days=day) for day in range(first, last)]


def everybody(park: Any) -> list[str]:
    return list(park.birds)


def a_fortnight_without(park: Any, name: str, from_day: int = 10) -> datetime:
    """Fourteen roll calls; one bird is missed from a day on. Returns the evening of the last."""
    for at_day, day in enumerate(days(0, 14)):
        called(park, day, [bird for bird in everybody(park) if bird != name or at_day < from_day])
    return at(FIRST + timedelta(days=13), 20)


def stands(park: Any, name: str, now: datetime) -> BirdPresence:
    return presence_of_park(now)[park[name]]


def test_a_bird_missed_for_its_species_limit_is_searched_for(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge")
    sedge = stands(park, "Sedge", now)
    assert (sedge.advice, sedge.unseen_rounds, sedge.unseen_days) == ("search", 4, 4)
    assert sedge.seen_on == FIRST + timedelta(days=9)
    assert sedge.still_here < 0.5
    kelp = stands(park, "Kelp", now)
    assert (kelp.advice, kelp.unseen_rounds, kelp.still_here) == ("present", 0, 1.0)


def test_at_dawn_nobody_has_missed_a_day_yet(park: Any) -> None:
    a_fortnight_without(park, "Sedge")
    dawn = at(FIRST + timedelta(days=14), 4)
    assert stands(park, "Kelp", dawn).unseen_days == 0
    assert stands(park, "Sedge", dawn).unseen_days == 4


def test_an_exhibit_that_nobody_calls_is_not_well_by_itself(park: Any) -> None:
    a_fortnight_without(park, "Sedge")
    later = at(FIRST + timedelta(days=17), 20)
    assert stands(park, "Kelp", later).unseen_days == 3
    assert stands(park, "Kelp", later).advice == "search"


def test_a_round_that_is_still_open_has_missed_nobody(park: Any) -> None:
    called(park, FIRST, everybody(park))
    called(park, FIRST + timedelta(days=1), ["Kelp"], close=False)
    assert stands(park, "Sedge", at(FIRST + timedelta(days=1), 9)).unseen_rounds == 0


def test_two_phones_calling_at_once_call_one_roll(park: Any) -> None:
    called(park, FIRST, everybody(park))
    day = FIRST + timedelta(days=1)
    called(park, day, ["Kelp", "Sedge"])
    called(park, day, [name for name in everybody(park) if name not in ("Kelp", "Sedge")])
    assert all(one.unseen_rounds == 0 for one in presence_of_park(at(day, 9)).values())


@pytest.mark.parametrize(("how", "chance"), [("inferred", 0.99), ("by reading", 0.7)])
def test_a_doubtful_sighting_clears_nobody(park: Any, how: str, chance: float) -> None:
    a_fortnight_without(park, "Sedge", from_day=12)
    day = FIRST + timedelta(days=14)
    call = called(park, day, [name for name in everybody(park) if name != "Sedge"])
    now = at(day, 20)
    missed = stands(park, "Sedge", now)
    sighted(park, "Sedge", day, call=call, how=how, chance=chance)
    doubtful = stands(park, "Sedge", now)
    assert doubtful.still_here > missed.still_here
    assert doubtful.unseen_days == missed.unseen_days == 3
    assert doubtful.advice == "search"


def test_a_casual_sighting_by_eye_clears_the_bird(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge")
    sighted(park, "Sedge", FIRST + timedelta(days=13), hour=15)
    sedge = stands(park, "Sedge", now)
    assert (sedge.advice, sedge.unseen_rounds, sedge.still_here) == ("present", 0, 1.0)


def test_a_withdrawn_sighting_has_not_been(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge")
    mistaken = sighted(park, "Sedge", FIRST + timedelta(days=13), hour=15)
    rows.Withdrawal.objects.create(
        withdraws=mistaken.pk,
        kind="sighting",
        because="it was Samphire",
        recorded_by_id=park.actors.tilda,
        happened_at=now,
        recorded_at=now,
    )
    assert stands(park, "Sedge", now).advice == "search"


def test_a_bird_known_to_be_off_show_is_no_miss(park: Any) -> None:
    rows.NotLookedFor.objects.create(
        bird_id=park["Sedge"],
        why="off-show",
        from_on=FIRST + timedelta(days=10),
        recorded_by_id=park.actors.tilda,
        recorded_at=at(FIRST + timedelta(days=10)),
    )
    sedge = stands(park, "Sedge", a_fortnight_without(park, "Sedge"))
    assert (sedge.advice, sedge.unseen_rounds, sedge.excused) == ("present", 0, "off-show")


def test_a_pair_with_a_nest_is_expected_less(park: Any) -> None:
    first, second = sorted((park["Sedge"], park["Kelp"]))
    pair = rows.Pair.objects.create(
        first_id=first, second_id=second, from_on=FIRST, recorded_by_id=park.actors.tilda
    )
    rows.Nest.objects.create(
        exhibit_id=park.shingle,
        species_id=park.avocet,
        name="nest 1",
        pair=pair,
        from_on=FIRST + timedelta(days=10),
        recorded_by_id=park.actors.tilda,
        recorded_at=at(FIRST + timedelta(days=10)),
    )
    sedge = stands(park, "Sedge", a_fortnight_without(park, "Sedge"))
    assert (sedge.unseen_rounds, sedge.excused) == (0, "nest-sitting")


def kept_states() -> dict[tuple[int, str], Any]:
    newest = rows.PresenceCheckpoint.objects.order_by("on_day")
    return {(row.exhibit_id, row.lookalike): row.state for row in newest}


def facts_alone(now: datetime) -> dict[tuple[int, str], Any]:
    return {flock: json.loads(json.dumps(one.as_plain())) for flock, one in rebuilt(now).items()}


def test_carried_day_by_day_the_checkpoint_equals_the_one_rebuilt_from_the_facts(park: Any) -> None:
    for at_day, day in enumerate(days(0, 16)):
        called(park, day, [name for name in everybody(park) if (at_day + len(name)) % 5])
        called(park, day, [name for name in everybody(park) if (at_day * len(name)) % 7], hour=16)
        keep_checkpoints(at(day, 21))
    now = at(FIRST + timedelta(days=16), 5)
    keep_checkpoints(now)
    assert kept_states() == facts_alone(now)
    assert rows.PresenceCheckpoint.objects.count() == 2 * DAYS_KEPT + 2, "a week of days and the last of May"


def test_asking_twice_keeps_it_once(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge")
    assert keep_checkpoints(now) == 2
    assert keep_checkpoints(now) == 0


def test_a_late_sighting_goes_back_to_its_day(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge")
    for day in days(8, 14):
        keep_checkpoints(at(day, 21))
    tomorrow = at(FIRST + timedelta(days=14), 5)
    keep_checkpoints(tomorrow)
    assert stands(park, "Sedge", tomorrow).advice == "search"
    call = rows.RoundStarted.objects.get(happened_at=at(FIRST + timedelta(days=12))).round
    sighted(park, "Sedge", FIRST + timedelta(days=12), call=call, heard=now + timedelta(hours=10))
    later = tomorrow + timedelta(hours=4)
    assert stands(park, "Sedge", later).unseen_rounds == 1, "a page knows it before the checkpoint does"
    assert keep_checkpoints(later) == 2
    assert kept_states() == facts_alone(later)
    assert stands(park, "Sedge", later).unseen_rounds == 1


def reads_of_sightings(told: CaptureQueriesContext) -> list[str]:
    """The questions that read sightings for the watch, not those that look for late ones."""
    asked = [query["sql"] for query in told.captured_queries if 'FROM "records_sighting"' in query["sql"]]
    return [sql for sql in asked if '"recorded_at" >' not in sql]


def begins_after(day: date, sql: str) -> bool:
    """Whether a question reads from the midnight after a day on, in London's summer.

    SQLite is told moments in Greenwich time, PostgreSQL as they are, offset and all.
    """
    return f"{day} 23:00" in sql or f"{day + timedelta(days=1)} 00:00:00+01:00" in sql


def test_a_late_fact_costs_one_rebuild_and_none_afterwards(park: Any) -> None:
    a_fortnight_without(park, "Sedge")
    keep_checkpoints(at(FIRST + timedelta(days=14), 5))
    call = rows.RoundStarted.objects.get(happened_at=at(FIRST + timedelta(days=12))).round
    told_at = at(FIRST + timedelta(days=14), 9)
    sighted(park, "Sedge", FIRST + timedelta(days=12), call=call, heard=told_at)
    assert keep_checkpoints(told_at + timedelta(seconds=1)) == 2
    with CaptureQueriesContext(connection) as told:
        assert stands(park, "Sedge", told_at + timedelta(seconds=2)).unseen_rounds == 1
    assert all(begins_after(FIRST + timedelta(days=13), sql) for sql in reads_of_sightings(told))
    assert kept_states() == facts_alone(told_at)


def test_the_first_keeping_keeps_the_days_and_months_on_the_way(park: Any) -> None:
    for day in (date(2026, 3, 9), date(2026, 4, 20), date(2026, 5, 5), FIRST):
        called(park, day, everybody(park))
    a_fortnight_without(park, "Sedge")
    now = at(FIRST + timedelta(days=14), 5)
    keep_checkpoints(now)
    flocks = rows.PresenceCheckpoint.objects.filter(exhibit_id=park.shingle, lookalike="avocet")
    ends = {date(2026, 3, 31), date(2026, 4, 30), date(2026, 5, 31)}
    assert set(flocks.values_list("on_day", flat=True)) == {*ends, *days(7, 14)}
    sighted(park, "Sedge", date(2026, 5, 7), hour=15, heard=now + timedelta(minutes=1))
    with CaptureQueriesContext(connection) as told:
        stands(park, "Sedge", now + timedelta(hours=1))
    assert reads_of_sightings(told)
    last_sound = date(2026, 4, 30)
    assert all(begins_after(last_sound, sql) for sql in reads_of_sightings(told)), "from its end on"


def test_a_changed_hazard_rebuilds_the_checkpoints(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge")
    keep_checkpoints(now)
    rows.Park.objects.update(gone_per_year=0.4)
    assert keep_checkpoints(now) == 2
    assert kept_states() == facts_alone(now)


def test_a_bird_that_moved_in_or_out_is_carried_where_it_lives(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge")
    keep_checkpoints(now)
    gone_on = FIRST + timedelta(days=13)
    rows.Stay.objects.filter(bird_id=park["Thrift"]).update(to_on=gone_on, ended_at=now)
    later = now + timedelta(hours=12)
    assert park["Thrift"] not in presence_of_park(later)
    keep_checkpoints(later)
    assert kept_states() == facts_alone(later)


def test_the_number_of_queries_does_not_grow_with_the_past(park: Any) -> None:
    called(park, FIRST, everybody(park))
    with CaptureQueriesContext(
        connection,
    ) as few:
        presence_of_exhibit(park.shingle, at(FIRST, 20))
    now = a_fortnight_without(park, "Sedge")
    with CaptureQueriesContext(connection) as many:
        presence_of_exhibit(park.shingle, now)
    assert len(few) == len(many)


def test_with_checkpoints_only_what_came_since_is_read(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge")
    keep_checkpoints(now)
    with CaptureQueriesContext(connection) as told:
        presence_of_park(now)
    reads = [
        query["sql"]
        for query in told.captured_queries
        if 'FROM "records_sighting"' in query["sql"] and "recorded_at" not in query["sql"]
    ]
    assert len(reads) == 2, "who was seen, and who perhaps"
    yesterday = FIRST + timedelta(days=12)
    assert all(begins_after(yesterday, read) for read in reads), "from the last midnight on"


def test_a_short_count_names_the_likeliest_first(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge", from_day=12)
    presence = presence_of_park(now)
    told = missing_among(presence, [park[name] for name in AVOCETS], 1)
    assert told is not None
    assert told.among[0][0] == park["Sedge"]
    assert told.among[0][1] > 0.9
    assert sum(chance for _, chance in told.among) == pytest.approx(1.0, abs=1e-9)
    assert missing_among(presence, [park["Kelp"]], 0) is None


def excused(park: Any, name: str, day: int, *, told: int | None = None, why: str = "nest-sitting") -> None:
    """A word that a bird is not looked for from a day on, said that day unless told otherwise."""
    rows.NotLookedFor.objects.create(
        bird_id=park[name],
        why=why,
        from_on=FIRST + timedelta(days=day),
        recorded_by_id=park.actors.tilda,
        recorded_at=at(FIRST + timedelta(days=day if told is None else told), 12),
    )


@pytest.mark.parametrize(("from_day", "told"), [(13, 13), (9, 13)], ids=["said that day", "said afterwards"])
def test_a_bird_that_is_searched_for_is_so_on_its_nest_too(park: Any, from_day: int, told: int) -> None:
    now = a_fortnight_without(park, "Sedge")
    excused(park, "Sedge", from_day, told=told)
    for day in (now, at(FIRST + timedelta(days=15), 9)):
        sedge = stands(park, "Sedge", day)
        assert (sedge.advice, sedge.excused) == ("search", "")
    keep_checkpoints(at(FIRST + timedelta(days=16), 5))
    sighted(park, "Sedge", FIRST + timedelta(days=16))
    sedge = stands(park, "Sedge", at(FIRST + timedelta(days=16), 9))
    assert (sedge.advice, sedge.excused) == ("present", "nest-sitting")


def test_a_word_that_nobody_renews_runs_out(park: Any) -> None:
    called(park, FIRST, everybody(park))
    excused(park, "Sedge", 1, why="off-show")
    others = [name for name in everybody(park) if name != "Sedge"]
    for day in days(1, 19):
        called(park, day, others)
    holds, over = FIRST + timedelta(days=14), FIRST + timedelta(days=15)
    assert stands(park, "Sedge", at(holds, 20)).excused == "off-show"
    assert stands(park, "Sedge", at(holds, 20)).unseen_days == 0
    sedge = stands(park, "Sedge", at(over, 20))
    assert (sedge.excused, sedge.ran_out, sedge.unseen_days) == ("", "off-show", 1)
    assert stands(park, "Sedge", at(FIRST + timedelta(days=17), 20)).advice == "search"


def test_a_word_that_is_said_again_in_time_holds_on(park: Any) -> None:
    called(park, FIRST, everybody(park))
    excused(park, "Sedge", 1, why="off-show")
    excused(park, "Sedge", 14, why="off-show")
    for day in days(1, 19):
        called(park, day, [name for name in everybody(park) if name != "Sedge"])
    sedge = stands(park, "Sedge", at(FIRST + timedelta(days=18), 20))
    assert (sedge.advice, sedge.excused, sedge.ran_out, sedge.unseen_days) == ("present", "off-show", "", 0)


def test_a_bird_in_the_hand_is_found(park: Any) -> None:
    now = a_fortnight_without(park, "Sedge")
    keep_checkpoints(now)
    held_at = now + timedelta(hours=14)
    rows.Handling.objects.create(
        id=uuid.uuid4(),
        bird_id=park["Sedge"],
        why="found under the boardwalk",
        recorded_by_id=park.actors.tilda,
        happened_at=held_at,
        recorded_at=held_at,
    )
    sedge = stands(park, "Sedge", held_at + timedelta(hours=1))
    assert (sedge.advice, sedge.unseen_rounds, sedge.still_here) == ("present", 0, 1.0)
    assert sedge.seen_on == FIRST + timedelta(days=14)


def test_where_nobody_ever_calls_nobody_stays_present(park: Any) -> None:
    """The small park's birds were told of on the first of March, with no roll called since."""
    told, limit = date(2026, 3, 1), rows.Species.objects.get(birds=park["Dock"]).max_unseen_days
    assert stands(park, "Dock", at(told + timedelta(days=limit), 20)).advice == "present"
    dock = stands(park, "Dock", at(told + timedelta(days=limit + 1), 20))
    assert (dock.advice, dock.unseen_days, dock.seen_on) == ("search", limit, None)


def test_one_reading_however_sure_clears_no_bird_that_is_searched_for(park: Any) -> None:
    a_fortnight_without(park, "Sedge")
    day = FIRST + timedelta(days=14)
    sighted(park, "Sedge", day, how="by reading", chance=0.99, hour=15)
    once = stands(park, "Sedge", at(day, 20))
    assert (once.advice, once.unseen_days) == ("search", 4)
    keep_checkpoints(at(day + timedelta(days=1), 5))
    sighted(park, "Sedge", day + timedelta(days=1), how="by reading", chance=0.92, hour=9)
    twice = stands(park, "Sedge", at(day + timedelta(days=1), 10))
    assert (twice.advice, twice.seen_on) == ("present", day + timedelta(days=1))
    later = at(day + timedelta(days=2), 5)
    keep_checkpoints(later)
    assert kept_states() == facts_alone(later)


def test_a_photograph_alone_clears_no_bird_that_is_searched_for(park: Any) -> None:
    a_fortnight_without(park, "Sedge")
    for hour, person in ((9, park.actors.tilda), (12, park.actors.oswin)):
        for later in (14, 15):
            day = FIRST + timedelta(days=later)
            sighted(
                park, "Sedge", day, how="by reading", chance=0.99, hour=hour, by=person, photographed=True
            )
    assert stands(park, "Sedge", at(day, 20)).advice == "search"
    keep_checkpoints(at(day + timedelta(days=1), 5))
    assert kept_states() == facts_alone(at(day + timedelta(days=1), 5))
    sighted(park, "Sedge", day + timedelta(days=1), hour=9)
    assert stands(park, "Sedge", at(day + timedelta(days=1), 10)).advice == "present"


def test_two_people_who_read_it_in_one_round_clear_it(park: Any) -> None:
    a_fortnight_without(park, "Sedge")
    day = FIRST + timedelta(days=14)
    call = called(park, day, [name for name in everybody(park) if name != "Sedge"])
    sighted(park, "Sedge", day, call=call, how="by reading", chance=0.95)
    assert stands(park, "Sedge", at(day, 20)).advice == "search"
    sighted(park, "Sedge", day, call=call, how="by reading", by=park.actors.oswin)
    assert stands(park, "Sedge", at(day, 20)).advice == "present"


def test_one_reading_clears_no_bird_that_was_missed_before_nobody_called(park: Any) -> None:
    for day in days(0, 10):
        called(park, day, everybody(park))
    called(park, FIRST + timedelta(days=10), [name for name in everybody(park) if name != "Sedge"])
    day = FIRST + timedelta(days=14)
    assert stands(park, "Sedge", at(day, 5)).advice == "search"
    sighted(park, "Sedge", day, how="by reading", chance=0.99, hour=8)
    sighted(park, "Kelp", day, how="by reading", chance=0.99, hour=8)
    assert stands(park, "Sedge", at(day, 9)).advice == "search"
    assert stands(park, "Kelp", at(day, 9)).advice == "present", "nobody had missed it"


def test_nobody_is_searched_for_a_day_early_while_a_round_is_open(park: Any) -> None:
    for at_day, day in enumerate(days(0, 12)):
        called(park, day, [name for name in everybody(park) if name != "Sedge" or at_day < 10])
    today = FIRST + timedelta(days=12)
    call = called(park, today, ["Kelp"], close=False)
    assert stands(park, "Sedge", at(today, 8)).advice == "look again"
    rows.RoundClosed.objects.create(
        round=call,
        version={},
        recorded_by_id=park.actors.tilda,
        happened_at=at(today, 9),
        recorded_at=at(today, 9),
    )
    assert stands(park, "Sedge", at(today, 10)).advice == "search"


@pytest.mark.parametrize("in_a_round", [False, True])
def test_a_colleague_s_reading_confirms_at_once_though_not_in_the_same_round(
    park: Any, in_a_round: bool
) -> None:
    a_fortnight_without(park, "Sedge")
    day = FIRST + timedelta(days=14)
    others = [name for name in everybody(park) if name != "Sedge"]
    call = called(park, day, others, hour=9) if in_a_round else None
    sighted(park, "Sedge", day, call=call, how="by reading", chance=0.95, hour=9)
    assert stands(park, "Sedge", at(day, 12)).advice == "search"
    sighted(park, "Sedge", day, how="by reading", chance=0.95, hour=9)
    assert stands(park, "Sedge", at(day, 12)).advice == "search", "the same person at the same time"
    sighted(park, "Sedge", day, how="by reading", chance=0.95, hour=9, by=park.actors.oswin)
    assert stands(park, "Sedge", at(day, 12)).advice == "present"
    later = at(day + timedelta(days=1), 5)
    keep_checkpoints(later)
    assert kept_states() == facts_alone(later)
