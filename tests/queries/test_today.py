"""What Today tells: whom to look for, what was called, which count is short."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from phones import Phone
from tarsus.actions.bands.checks import check_band
from tarsus.actions.telling import Told
from tarsus.queries.bird_strip import strips_of
from tarsus.queries.roll_said import roll_deed, rolls_said
from tarsus.queries.roll_today import ExhibitToday
from tarsus.queries.today import today_at
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db

EVENING = datetime(2026, 6, 11, 19, 0, tzinfo=UTC)
EVERYBODY = ("Samphire", "Kelp", "Sedge", "Thrift", "Marram", "Teasel", "Burdock", "Dock")


def call(park: Wendlebrook, *seen: str, avocets: int = 5, close: bool = True) -> Phone:
    phone = Phone(park, park.actors.tilda)
    facts = [phone.started(), phone.count("avocet", avocets), *(phone.sighting(name) for name in seen)]
    assert set(phone.send(*facts)) == {"written"}
    if close:
        phone.send(phone.closed())
    return phone


def test_before_the_round_every_exhibit_with_birds_is_to_be_called(park: Wendlebrook) -> None:
    today = today_at(EVENING)
    by_name = {exhibit.name: exhibit for exhibit in today.exhibits}
    shingle, reed = by_name["Shingle Aviary"], by_name["Reed House"]
    assert (shingle.state, shingle.on_roll, shingle.mfu) == ("not called", 8, "3.4.1")
    assert (reed.on_roll, reed.mfu) == (0, "0.0.0")


def test_counts_are_written_male_female_unsexed(park: Wendlebrook) -> None:
    # Three males, four females, one unsexed: all three numbers differ, so no two can be exchanged unseen.
    assert next(e for e in today_at(EVENING).exhibits if e.exhibit_id == park.shingle).mfu == "3.4.1"


def test_an_open_round_says_who_began_it_and_how_far_it_is(park: Wendlebrook) -> None:
    phone = call(park, "Samphire", "Kelp", close=False)
    phone.send(phone.inferred("Sedge", 0.93))
    exhibit = next(e for e in today_at(EVENING).exhibits if e.exhibit_id == park.shingle)
    assert (exhibit.state, exhibit.begun_by, exhibit.seen, exhibit.inferred) == ("open", "Tilda", 2, 1)


def test_an_inferred_bird_is_still_unseen(park: Wendlebrook) -> None:
    call(park, *EVERYBODY)
    phone = Phone(park, park.actors.oswin)
    phone.minutes = 300
    rest = [phone.sighting(name) for name in EVERYBODY if name != "Sedge"]
    phone.send(phone.started(), *rest, phone.inferred("Sedge", 0.99), phone.closed())
    assert [bird.portrait.name for bird in today_at(EVENING).unseen] == ["Sedge"]


def test_a_short_count_names_among_whom(park: Wendlebrook) -> None:
    call(park, *(name for name in EVERYBODY if name != "Marram"), avocets=4)
    today = today_at(EVENING)
    (short,) = today.short
    assert (short.lookalike, short.counted, short.on_roll, short.missing) == ("avocet", 4, 5, 1)
    assert short.among[0][1] == "Marram"
    assert 0 < short.miscount < 1
    marram = next(bird for bird in today.unseen if bird.portrait.name == "Marram")
    assert marram.advice == "present", "missed once, by the model it is most likely there"
    assert marram.by_count == pytest.approx(short.among[0][2], rel=1e-12, abs=0)
    assert marram.by_count > 0.3, "the count points at it all the same"


def test_a_full_count_is_not_short_and_neither_is_one_too_many(park: Wendlebrook) -> None:
    call(park, *EVERYBODY, avocets=5)
    assert today_at(EVENING).short == ()
    again = Phone(park, park.actors.oswin)
    again.minutes = 300
    again.send(again.started(), again.count("avocet", 6), again.closed())
    assert today_at(EVENING).short == ()


def test_a_count_of_days_ago_says_nothing_of_today(park: Wendlebrook) -> None:
    call(park, *EVERYBODY, avocets=4)
    assert today_at(EVENING).short
    assert not today_at(EVENING + timedelta(days=3)).short


def test_the_species_limit_is_search_whatever_the_model_says(park: Wendlebrook) -> None:
    call(park, *EVERYBODY)
    for later in range(1, 4):
        phone = Phone(park, park.actors.tilda)
        phone.minutes = later * 24 * 60
        away = {"Marram", "Dock"} if later == 3 else {"Marram"}
        seen = [phone.sighting(name) for name in EVERYBODY if name not in away]
        phone.send(phone.started(), *seen, phone.closed())
    unseen = today_at(EVENING + timedelta(days=3)).unseen
    # Dock was missed on the last day only; it is a ruff, whose limit is longer.
    assert [bird.portrait.name for bird in unseen] == ["Marram", "Dock"]
    assert (unseen[0].advice, unseen[1].advice) == ("search", "present")
    assert (unseen[0].unseen_days, unseen[0].missed, unseen[0].limit_reached) == (3, 3, True)
    assert unseen[0].last is not None
    assert unseen[0].last.how == "by sight"


def test_a_bird_that_is_not_looked_for_is_no_worry(park: Wendlebrook) -> None:
    rows.NotLookedFor.objects.create(
        bird_id=park["Marram"],
        why="nest-sitting",
        from_on=date(2026, 6, 1),
        recorded_by_id=park.actors.maren,
        recorded_at=EVENING - timedelta(days=1),
    )
    call(park, *(name for name in EVERYBODY if name != "Marram"))
    today = today_at(EVENING)
    assert today.unseen == ()
    assert [(bird.portrait.name, bird.why) for bird in today.excused] == [("Marram", "nest-sitting")]


def test_a_missing_bird_is_off_the_roll_and_still_shown(park: Wendlebrook) -> None:
    rows.Missing.objects.create(
        bird_id=park["Kelp"],
        state="escaped",
        recorded_by_id=park.actors.maren,
        happened_at=datetime(2026, 6, 10, tzinfo=UTC),
    )
    today = today_at(EVENING)
    assert [(bird.name, state) for bird, state in today.off_the_roll] == [("Kelp", "escaped")]
    assert next(e for e in today.exhibits if e.exhibit_id == park.shingle).on_roll == 7


def test_a_carcase_without_a_name_lowers_the_count_and_which_stays_open(park: Wendlebrook) -> None:
    call(park, *(name for name in EVERYBODY if name != "Marram"), avocets=4)
    assert today_at(EVENING).short
    rows.Death.objects.create(
        species_id=park.avocet,
        exhibit_id=park.shingle,
        found_by="Tilda",
        recorded_by_id=park.actors.tilda,
        happened_at=EVENING - timedelta(hours=1),
    )
    today = today_at(EVENING)
    assert today.short == (), "four of four are there"
    exhibit = next(e for e in today.exhibits if e.exhibit_id == park.shingle)
    assert (exhibit.on_roll, exhibit.carcases, exhibit.mfu) == (7, 1, "3.4.1")
    assert [carcase.species for carcase in today.carcases] == ["Pied avocet"]
    assert "Marram" in [bird.portrait.name for bird in today.unseen], "nobody is taken for dead"


def _found(park: Wendlebrook, hours_ago: int) -> None:
    rows.BandFound.objects.create(
        exhibit_id=park.shingle,
        place_id=park.south_pool,
        kind="colour",
        colour=rows.Colour.objects.get(name="orange"),
        recorded_by_id=park.actors.tilda,
        happened_at=EVENING - timedelta(hours=hours_ago),
    )


def test_a_band_on_the_floor_takes_nobody_for_dead(park: Wendlebrook) -> None:
    _found(park, hours_ago=4)
    (found,) = today_at(EVENING).found
    assert [bird.name for bird in found.wearers] == ["Burdock", "Teasel"]
    assert found.not_read_since == found.wearers
    assert today_at(EVENING).carcases == ()


def test_whose_band_was_noted_as_worn_is_the_first_who_may_have_lost_it(
    park: Wendlebrook,
) -> None:
    _found(park, hours_ago=4)
    worn = rows.Band.objects.get(bird_id=park["Teasel"], colour__name="orange")
    told = Told(by=park.actors.tilda, at=EVENING - timedelta(hours=6))
    check_band(told=told, band_id=worn.pk, conditions=["worn"])
    (found,) = today_at(EVENING).found
    assert [bird.name for bird in found.wearers] == ["Teasel", "Burdock"]


def test_only_a_reading_after_the_find_clears_a_bird_of_having_lost_the_band(park: Wendlebrook) -> None:
    _found(park, hours_ago=4)
    _found(park, hours_ago=14)
    phone = Phone(park, park.actors.tilda)  # it is seven in the morning: between the two finds
    worn = {"left leg": ["orange"], "right leg": ["metal"]}
    phone.send(phone.sighting("Burdock", "by reading", reading=worn, round=None))
    phone.minutes = 10 * 60  # five in the afternoon: after both
    read = {"left leg": ["metal"], "right leg": ["orange"]}
    phone.send(phone.sighting("Teasel", "by reading", reading=read, round=None))
    late, early = today_at(EVENING).found
    assert [bird.name for bird in late.not_read_since] == ["Burdock"]
    assert early.not_read_since == ()


def test_the_latest_word_about_the_day_is_the_forecast(park: Wendlebrook) -> None:
    for high, hour in ((31.0, 5), (27.5, 6)):
        rows.ForecastNote.objects.create(
            for_day=date(2026, 6, 11),
            high_c=high,
            recorded_by_id=park.actors.maren,
            happened_at=datetime(2026, 6, 11, hour, tzinfo=UTC),
        )
    forecast = today_at(EVENING).forecast
    assert forecast is not None
    assert (forecast.high_c, forecast.by) == (27.5, "Maren")
    assert today_at(EVENING + timedelta(days=1)).forecast is None


def shingle(now: datetime = EVENING) -> ExhibitToday:
    return next(one for one in today_at(now).exhibits if one.name == "Shingle Aviary")


def test_closing_after_the_avocets_alone_leaves_the_others_to_call_and_misses_none_of_them(
    park: Wendlebrook,
) -> None:
    call(park, *EVERYBODY)
    phone = Phone(park, park.actors.oswin)
    phone.minutes = 300
    phone.send(phone.started(), phone.count("avocet", 5), phone.sighting("Kelp"), phone.closed())
    missed = {bird.portrait.name for bird in today_at(EVENING).unseen}
    assert missed == {"Samphire", "Sedge", "Thrift", "Marram"}


def test_what_was_not_called_is_told_to_call_and_not_done_with_its_reason(park: Wendlebrook) -> None:
    phone = call(park, "Kelp")
    here = shingle()
    assert (here.state, here.seen, today_at(EVENING).to_call) == ("in part", 1, 1), "Reed House is empty"
    others = {group.lookalike for group in here.groups} - {"avocet"}
    assert {group.lookalike for group in here.to_call} == others
    for lookalike in sorted(others):
        phone.send(phone.fact("round_reopened", round=str(phone.round)))
        gave_up = {"round": str(phone.round), "exhibit": park.shingle, "lookalike": lookalike}
        phone.send(phone.fact("round_not_done", because="shut in", **gave_up), phone.closed())
    here = shingle()
    assert (here.state, here.to_call, today_at(EVENING).to_call) == ("called", (), 0)
    assert {(group.lookalike, group.because) for group in here.not_done} == {(o, "shut in") for o in others}


def test_a_second_round_with_one_part_reading_makes_nobody_missed(
    park: Wendlebrook,
) -> None:
    call(park, *EVERYBODY)
    phone = Phone(park, park.actors.oswin)
    phone.minutes = 300
    shares = [{"bird": park[name], "chance": 0.2} for name in EVERYBODY[:5]]
    part = phone.sighting(
        None, None, lookalike="avocet", reading={"left tibia": ["metal"]}, candidates=shares
    )
    phone.send(phone.started(), part)
    assert today_at(EVENING).unseen == ()
    phone.send(phone.closed())
    assert today_at(EVENING).unseen == ()


def test_of_two_counts_that_differ_the_lower_is_short_until_somebody_counts_again(park: Wendlebrook) -> None:
    call(park, *EVERYBODY, avocets=4, close=False)
    oswin = Phone(park, park.actors.oswin)
    oswin.minutes = 40
    told = {"lookalike": "avocet", "counted": 5}
    rounds = rows.RoundStarted.objects.values_list("round", flat=True).get()
    oswin.send(oswin.fact("count", round=str(rounds), **told))
    assert [(short.counted, short.on_roll) for short in today_at(EVENING).short] == [(4, 5)]
    oswin.send(oswin.fact("count", round=str(rounds), **told))
    assert today_at(EVENING).short == ()


def test_birds_to_search_stand_first_and_then_by_how_likely_each_is_gone(park: Wendlebrook) -> None:
    for days_ago in (6, 5, 4, 3, 2, 1, 0):
        phone = Phone(park, park.actors.tilda)
        phone.minutes = -days_ago * 24 * 60
        there = [
            name
            for name in EVERYBODY
            if not (name == "Thrift" and days_ago < 5) and not (name == "Sedge" and days_ago < 1)
        ]
        phone.send(phone.started(), *(phone.sighting(name) for name in there), phone.closed())
    unseen = today_at(EVENING).unseen
    assert [bird.portrait.name for bird in unseen] == ["Thrift", "Sedge"]
    assert unseen[0].advice == "search"
    assert unseen[0].still_here < unseen[1].still_here


def test_a_line_says_how_far_a_roll_call_is_and_gives_the_day_where_it_is_not_today(
    park: Wendlebrook,
) -> None:
    now = today_at(EVENING)
    said = {one.exhibit.exhibit_id: one for one in rolls_said(now.exhibits, now.short, EVENING)}
    assert (said[park.shingle].words, said[park.shingle].deed, said[park.shingle].wanted) == (
        "To call",
        "Call",
        True,
    )
    assert said[park.shingle].deed_in_full == f"Call {said[park.shingle].exhibit.name}"
    assert (said[park.reed].words, said[park.reed].deed) == ("No birds", "")
    yesterday = replace(now.exhibits[0], state="open", begun_at=EVENING - timedelta(hours=22), seen=3)
    told = rolls_said([yesterday], (), EVENING)[0]
    assert told.words.startswith("Open since 10 Jun, "), told.words
    name = yesterday.name
    assert (told.box, told.deed, told.deed_in_full) == ("half", "Join", f"Join roll call: {name}")
    over = [roll_deed(replace(yesterday, state=state)) for state in ("called", "not done", "in part")]
    assert [(one.words, one.in_full, one.wanted) for one in over] == [
        ("Again", f"Call again: {name}", False),
        ("Call", f"Call {name}", False),
        ("Call", f"Call {name}", True),
    ]


def test_fortnights_of_several_birds_are_those_of_each_alone(park: Wendlebrook) -> None:
    call(park, "Samphire", "Kelp")
    birds = [park["Samphire"], park["Kelp"], park["Sedge"], park["Teasel"]]
    together = strips_of(birds, EVENING, 14)
    for bird in birds:
        assert together[bird] == strips_of([bird], EVENING, 60)[bird][-14:]
    assert together[park["Samphire"]][-1].how != "missed"
