"""The stories of Wendlebrook Bird Garden, as plain values: each is there, and the same every time."""

from __future__ import annotations

import statistics
from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from itertools import combinations

import numpy as np
import pytest

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import METAL, Marks, Reading
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED
from tarsus.demo import demo_park, small_park, stories
from tarsus.demo.comings import CHICKS, NEWCOMERS
from tarsus.demo.prepared import PreparedBird, PreparedPark, PreparedRound, PreparedSighting

TODAY = date(2026, 6, 11)


@cache
def whole() -> tuple[PreparedPark, tuple[PreparedRound, ...]]:
    park = demo_park(TODAY)
    return park, tuple(park.rounds)


def bird(name: str) -> PreparedBird:
    return next(one for one in whole()[0].birds if one.name == name)


def rounds(exhibit: str) -> list[PreparedRound]:
    return [one for one in whole()[1] if one.exhibit == exhibit]


def sightings(name: str) -> list[PreparedSighting]:
    return [seen for one in whole()[1] for seen in one.sightings if seen.bird == name]


def days_ago(seen: PreparedSighting) -> int:
    return (TODAY - seen.at.date()).days


def test_about_240_birds_of_eight_species_live_here() -> None:
    present = Counter(one.species for one in whole()[0].birds if not one.left)
    assert present == {
        "Pied avocet": 29 + len(NEWCOMERS),
        "Black-winged stilt": 21,
        "Ruff": 14 + 1,
        "Eurasian spoonbill": 38,
        "Northern bald ibis": 50 + 2,
        "African penguin": 46,
        "Southern rockhopper penguin": 28,
        "Kea": 12,
    }


def test_the_history_has_four_hundred_days_and_ends_yesterday_evening() -> None:
    started = [one.started_at for one in whole()[1]]
    assert started == sorted(started)
    assert started[0].date() == TODAY - timedelta(days=400)
    assert started[-1].date() == TODAY - timedelta(days=1)
    not_done = [one for one in whole()[1] if one.not_done_because]
    assert 10 < len(not_done) < 80
    assert not any(one.sightings or one.counts for one in not_done)


def test_the_bird_that_went_eight_days_ago_was_not_seen_since() -> None:
    seen = sightings(stories.GONE)
    assert min(map(days_ago, seen)) == 8
    before = [one for one in rounds("Heron Wood") if (TODAY - one.started_at.date()).days > 8]
    assert len(seen) > 0.8 * sum(not one.not_done_because for one in before)
    assert bird(stories.GONE).left == "", "nobody has written it off"


def test_no_other_bird_is_unseen_for_its_limit_of_days() -> None:
    limits = {kind.name: kind.max_unseen_days for kind in whole()[0].species}
    observed = [
        (seen.bird, seen.at.date())
        for one in whole()[1]
        for seen in one.sightings
        if seen.how in ("by sight", "by reading") and seen.bird
    ]
    last = dict(observed)  # in order of time, so the latest stands
    unseen = {
        one.name
        for one in whole()[0].birds
        if not one.left and (TODAY - last[one.name]).days >= limits[one.species]
    }
    assert unseen == {stories.GONE}


def test_the_ibises_are_counted_one_short_since_it_went() -> None:
    since = [c["ibis"] for one in rounds("Heron Wood")[-14:] if "ibis" in (c := one.counts)]
    before = [c["ibis"] for one in rounds("Heron Wood")[-40:-26] if "ibis" in (c := one.counts)]
    assert len(since) > 5
    assert set(since) == {49}
    assert set(before) == {50}


def test_the_avocets_are_one_short_since_last_evening() -> None:
    *_, morning, evening = rounds("Shingle Aviary")
    assert (morning.counts["avocet"], evening.counts["avocet"]) == (29, 28)
    assert evening.counts["stilt"] == 21
    assert evening.counts["ruff"] == 14, "the chick does not count yet"
    avocets = {b.name for b in whole()[0].birds if b.species == "Pied avocet" and not b.left} - set(NEWCOMERS)
    assert avocets - {seen.bird for seen in morning.sightings} == {missed := "Sedge", stories.SHY}
    assert avocets - {seen.bird for seen in evening.sightings} == {missed, stories.SHY, "Bracken"}
    assert missed == stories.MISSING_SINCE_LAST_EVENING
    assert days_ago(sightings(missed)[-1]) == 2


def test_the_shy_bird_is_seldom_seen_and_here() -> None:
    recent = [one for one in rounds("Shingle Aviary") if not one.not_done_because]
    shy = len(sightings(stories.SHY)) / len(recent)
    bold = len(sightings("Kelp")) / len(recent)
    assert 0.45 < shy < 0.7 < 0.85 < bold
    limit = next(s.max_unseen_days for s in whole()[0].species if s.lookalike == "avocet")
    assert days_ago(sightings(stories.SHY)[-1]) < limit


def test_readings_lack_the_lost_band_since_it_fell_off() -> None:
    read = [
        (days_ago(seen), stack)
        for seen in sightings(stories.LOST_A_BAND)
        if seen.reading and (stack := seen.reading.at("right tibia")) is not None
    ]
    before = Counter(stack for days, stack in read if days > stories.LOST_ITS_BAND_DAYS_AGO)
    assert before[("yellow", "lime")] > 0.85 * before.total()
    part = [
        seen.reading.at("right tibia")
        for one in rounds("Shingle Aviary")[-2 * stories.LOST_ITS_BAND_DAYS_AGO :]
        for seen in one.sightings
        if seen.reading and seen.candidates and seen.candidates[0][0] == stories.LOST_A_BAND
    ]
    assert part.count(("lime",)) >= 3
    assert part.count(("yellow", "lime")) == 0
    worn = bird(stories.LOST_A_BAND).marks_on(TODAY)
    assert worn.at("right tibia") == ("yellow", "lime"), "nobody has written the loss down"


def test_the_faded_red_is_often_read_as_orange() -> None:
    def orange_share(name: str) -> float:
        upper = [
            stack[0]
            for one in rounds("Shingle Aviary")
            for seen in one.sightings
            if seen.reading and seen.candidates and seen.candidates[0][0] == name
            if (stack := seen.reading.at("right tibia"))
        ]
        return upper.count("orange") / len(upper)

    assert orange_share(stories.FADED) > 5 * orange_share("Fennel")
    told = [h for h in whole()[0].handlings if h.bird == stories.FADED][-1]
    assert "faded" in told.conditions.values()


def avocets_and(*newcomers: str) -> Flock:
    flock = [one for one in whole()[0].birds if one.species == "Pied avocet" and not one.left]
    known = [one for one in flock if one.name not in NEWCOMERS or one.name in newcomers]
    birds = [Bird(one.name, one.marks_on(TODAY), one.sex) for one in known]
    return Flock(birds, Misreading.of(TRAINED, BUILT_IN))


def chances(flock: Flock, read: Reading) -> dict[str, float]:
    return {one.id: chance for one, chance in flock.candidates(flock.posterior(read))}


@pytest.mark.parametrize(("newcomer", "resident"), [("Fleabane", "Sedge"), ("Sandwort", "Teasel")])
def test_two_newcomers_in_quarantine_clash_with_residents(newcomer: str, resident: str) -> None:
    assert bird(newcomer).exhibit_on(TODAY) == "Quarantine house"
    assert days_ago(sightings(newcomer)[-1]) == 1
    read = Reading.of(bird(newcomer).marks_on(TODAY).as_mapping())
    alone = chances(avocets_and(), read)
    mixed = chances(avocets_and(newcomer), read)
    assert alone[resident] > 0.9
    assert mixed[resident] == pytest.approx(mixed[newcomer], rel=1e-9, abs=0)
    assert mixed[resident] < 0.5


def test_one_newcomer_is_banded_on_the_side_of_the_other_sex() -> None:
    newcomer = bird("Sandwort")
    assert newcomer.sex == "F"
    assert newcomer.marks_on(TODAY).at("right tibia") == (METAL,)


def test_marks_are_good_and_not_perfect() -> None:
    flock = avocets_and()
    wrong = {}
    for one in flock.birds:
        wrong[one.id] = 1 - chances(flock, Reading.of(one.marks.as_mapping()))[one.id]
    assert 0.0005 < statistics.mean(wrong.values()) < 0.03
    stilts = [b.marks_on(TODAY) for b in whole()[0].birds if b.species == "Black-winged stilt" and not b.left]
    assert len(set(stilts)) == len(stilts)


def test_no_two_birds_of_a_flock_wear_the_same_and_no_metal_number_stands_twice() -> None:
    flocks: dict[tuple[str, str | None], list[Marks]] = {}
    for one in whole()[0].birds:
        if one.bands and not one.left and one.name not in CHICKS and one.marks_on(TODAY) != Marks():
            flocks.setdefault((one.species, one.exhibit_on(TODAY)), []).append(one.marks_on(TODAY))
    for flock, worn in flocks.items():
        assert len(set(worn)) == len(worn), flock
    numbers = {(one.name, band.engraving) for one in whole()[0].birds for band in one.bands if band.engraving}
    assert len({engraving for _, engraving in numbers}) == len(numbers)


def test_mates_on_the_shore_wear_the_same_colours_on_opposite_wings() -> None:
    pairs = [p for p in whole()[0].pairs if bird(p.female).species == "African penguin"]
    banded = [p for p in pairs if stories.IN_MOULT not in (p.female, p.male)]
    assert len(banded) == 22
    for pair in banded:
        hers, his = bird(pair.female).marks_on(TODAY), bird(pair.male).marks_on(TODAY)
        assert hers.at("right wing") == his.at("left wing") != ()
        assert hers.at("left wing") == his.at("right wing") == ()


def test_a_wing_band_came_off_for_the_moult_and_another_is_due() -> None:
    worn = bird(stories.IN_MOULT)
    assert worn.marks_on(TODAY - timedelta(days=stories.IN_MOULT_SINCE_DAYS + 1)).at("right wing") != ()
    assert worn.marks_on(TODAY) == Marks()
    assert worn.transponder
    soon = next(a for a in whole()[0].absences if a.bird == stories.SOON_IN_MOULT and a.until is None)
    assert TODAY < soon.since <= TODAY + timedelta(days=14)
    assert bird(stories.SOON_IN_MOULT).marks_on(TODAY) != Marks()


def test_one_bird_is_eight_per_cent_under_its_own_usual() -> None:
    of = [w.grams for w in whole()[0].weights if w.bird == stories.LIGHT]
    in_hand = [h.grams for h in whole()[0].handlings if h.bird == stories.LIGHT if h.grams]
    usual = statistics.median([*of[:-1], *in_hand[-2:]])
    assert of[-1] / usual == pytest.approx(0.92, abs=0.015, rel=0)


def test_sex_results_wait_and_contradict() -> None:
    tests = {test.bird: test for test in whole()[0].sex_tests}
    assert tests[stories.SEX_RESULT_AWAITED].result == ""
    assert bird(stories.SEX_RESULT_CAME).sex == "U"
    assert tests[stories.SEX_RESULT_CAME].result == "M"
    banded = bird(stories.BANDED_AS_THE_OTHER_SEX)
    assert (banded.sex, tests[banded.name].result) == ("F", "M")
    assert banded.marks_on(TODAY).at("left tibia") == (METAL,), "a female's side"


def test_chicks_wear_ties_and_do_not_count_yet() -> None:
    kinds = {kind.name: kind for kind in whole()[0].species}
    for name in CHICKS:
        chick = bird(name)
        assert [band.kind for band in chick.bands] == ["cable tie"]
        assert (TODAY - chick.hatched_on).days < kinds[chick.species].counts_from_days
    due = {
        name: bird(name).bands[0].since + timedelta(days=kinds[bird(name).species].chick_check_every_days)
        for name in CHICKS
    }
    assert due == {
        "Chip": TODAY,
        "Catkin": TODAY - timedelta(days=1),
        "Samara": TODAY + timedelta(days=2),
    }


def test_a_nest_holds_four_eggs_and_its_birds_are_met_less_often() -> None:
    nest = next(n for n in whole()[0].nests if (n.female, n.male) == stories.NEST_WITH_EGGS)
    assert [number for _, what, number in nest.events if what == "eggs"][-1] == 4
    assert nest.ended_on is None
    for name in stories.NEST_WITH_EGGS:
        sat = sum(seen.at.date() >= nest.since for seen in sightings(name))
        made = [one for one in rounds("Shingle Aviary") if one.started_at.date() >= nest.since]
        assert 0.3 < sat / len(made) < 0.95


def test_keas_are_told_by_natural_marks_and_never_by_bands() -> None:
    for one in (b for b in whole()[0].birds if b.species == "Kea"):
        assert not one.bands
        assert len(one.natural_marks) == 2
    assert {s.how for one in rounds("Kea Terrace") for s in one.sightings} == {"by sight"}
    overdue = [m.review_by for m in bird("Fuchsia").natural_marks]
    assert all(day < TODAY for day in overdue)


def test_a_colour_of_the_waders_runs_low() -> None:
    low = {s.colour for s in whole()[0].stock if s.size == "4" and s.number < s.order_below}
    assert low == set(stories.STOCK_RUNNING_LOW)


def test_nobody_is_named_twice_in_a_round_nor_where_it_does_not_live() -> None:
    homes = {one.name: one for one in whole()[0].birds}
    for one in whole()[1]:
        named = [seen.bird for seen in one.sightings if seen.bird]
        assert len(set(named)) == len(named)
        day = one.started_at.date()
        assert all(homes[name].exhibit_on(day) == one.exhibit for name in named)


def test_birds_are_named_by_sight_by_reading_and_inferred() -> None:
    how = Counter(seen.how for one in whole()[1] for seen in one.sightings)
    assert set(how) == {"by sight", "by reading", "inferred", "part reading"}
    assert 0.01 < how["part reading"] / how.total() < 0.1
    assert 0.3 < how["by reading"] / how.total() < 0.7


def test_a_group_stands_left_to_right_and_holds_no_bird_twice() -> None:
    grouped = [one for one in whole()[1] if one.groups]
    assert len(grouped) > 50
    for one in grouped:
        for view in one.groups:
            members = [seen for seen in one.sightings if seen.group == view.id]
            assert [seen.position for seen in members] == list(range(len(members)))
            assert view.size >= len(members)
            named = [seen.bird for seen in members if seen.bird]
            assert all(a != b for a, b in combinations(named, 2))


def test_the_same_seed_and_day_give_the_same_garden() -> None:
    one, other = small_park(TODAY, seed=5), small_park(TODAY, seed=5)
    assert tuple(one.rounds) == tuple(other.rounds)
    assert replace(one, rounds=()) == replace(other, rounds=())
    assert tuple(small_park(TODAY, seed=6).rounds) != tuple(one.rounds)


def last_round(park: PreparedPark, exhibit: str) -> PreparedRound:
    return [one for one in park.rounds if one.exhibit == exhibit][-1]


def test_another_day_shifts_the_stories_and_keeps_them() -> None:
    winter = small_park(date(2026, 1, 15))
    last = last_round(winter, "Shingle Aviary")
    assert last.started_at.isoformat() == "2026-01-14T16:30:00+00:00"
    assert last.counts == {"avocet": 28}
    summer = last_round(small_park(TODAY), "Shingle Aviary")
    assert summer.started_at.isoformat() == "2026-06-10T16:30:00+01:00"
    assert [s.bird for s in summer.sightings] == [s.bird for s in last.sightings]
    assert winter.forecasts[0].high_c < 5 < 25 < small_park(TODAY).forecasts[0].high_c


def test_shares_of_detection_follow_the_model() -> None:
    made = [one for one in rounds("South Strand") if not one.not_done_because]
    share = np.mean([len(one.sightings) for one in made]) / (46 + 28)
    assert 0.85 < share < 0.97
    foggy = [one for one in made if len(one.sightings) < 0.8 * (46 + 28)]
    assert 3 < len(foggy) < 40
