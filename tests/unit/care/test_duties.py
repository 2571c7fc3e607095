"""What is due, family by family, by example."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from tarsus.core.care.cautions import CAUTIONS
from tarsus.core.care.due import duties_of
from tarsus.core.care.duties.moult import moult_season
from tarsus.core.care.duties.park import carcase_duties, loose_band_duties, stock_duties
from tarsus.core.care.duties.sexing import disagreement
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import (
    Alike,
    BandOn,
    BirdFacts,
    CarcaseFound,
    CaseOpen,
    InHand,
    LooseBand,
    MarkOn,
    ParkRules,
    SampleTaken,
    SexFound,
    SpeciesRules,
    StockHeld,
)
from tarsus.core.care.settling import settling
from tarsus.core.care.weights import Weight

TODAY = date(2026, 6, 11)
AVOCET = SpeciesRules("Pied avocet", metal=(("F", "left tibia"), ("M", "right tibia")))
METAL = BandOn(1, "left tibia", "metal", "", date(2024, 5, 1))
SEDGE = BirdFacts(17, "Sedge", "Pied avocet", 1, "Shingle Aviary", "F", date(2021, 6, 2), bands=(METAL,))


def days_ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def due(bird: BirdFacts, species: SpeciesRules = AVOCET, park: ParkRules | None = None) -> list[Duty]:
    return duties_of(bird, species, park or ParkRules(), TODAY)


def kinds(bird: BirdFacts, species: SpeciesRules = AVOCET, park: ParkRules | None = None) -> list[str]:
    return [duty.kind for duty in due(bird, species, park)]


def test_a_bird_with_nothing_due_has_no_duties() -> None:
    assert due(SEDGE) == []


def test_a_missing_bird_is_searched_for_first_of_all() -> None:
    worn = replace(METAL, conditions=frozenset({"worn"}))
    bird = replace(SEDGE, advice="search", unseen_days=3, last_place="north spit", bands=(worn,))
    first, *rest = due(bird)
    assert first.what == "Search for Sedge, begin at north spit."
    assert first.why == "Unseen for 3 days."
    assert first.urgency is Urgency.NOW
    assert [duty.kind for duty in rest] == ["band worn"]
    assert rest[0].urgency is Urgency.WITH_NEXT_HANDLING


def test_a_bird_to_look_for_again_is_said_whole() -> None:
    unseen = replace(SEDGE, advice="look again", unseen_days=1, last_place="")
    assert due(unseen) == [
        Duty(
            kind="look again",
            bird=17,
            exhibit=1,
            subject="",
            what="Look again for Sedge.",
            why="Unseen for 1 day.",
            by=TODAY,
            urgency=Urgency.TODAY,
            caution="search",
            in_hand=False,
            settled_by="observed sighting",
        )
    ]
    (today,) = due(replace(unseen, unseen_days=0))
    assert today.why == "Missed since it was last seen."
    searched = replace(unseen, advice="search", unseen_days=2, last_place="north spit")
    (search,) = due(searched)
    assert (search.kind, search.by, search.caution) == ("search", TODAY, "search")


def test_a_word_that_ran_out_is_to_be_said_again() -> None:
    assert due(replace(SEDGE, ran_out="in a nest box")) == [
        Duty(
            kind="say again",
            bird=17,
            exhibit=1,
            subject="",
            what="Say again that Sedge is not looked for, or that it is.",
            why="It was not looked for (in a nest box), and that has run out.",
            by=TODAY,
            urgency=Urgency.TODAY,
            caution="",
            in_hand=False,
            settled_by="word that it is not looked for",
        )
    ]


@pytest.mark.parametrize(
    ("condition", "urgency"),
    [
        ("missing", Urgency.SOON),
        ("tight", Urgency.NOW),
        ("unreadable", Urgency.SOON),
        ("faded", Urgency.WITH_NEXT_HANDLING),
        ("worn", Urgency.WITH_NEXT_HANDLING),
    ],
)
def test_each_state_of_a_band_is_as_urgent_as_it_hurts(condition: str, urgency: Urgency) -> None:
    band = replace(METAL, conditions=frozenset({condition}))
    (duty,) = due(replace(SEDGE, bands=(band,)))
    assert (duty.kind, duty.urgency, duty.in_hand) == (f"band {condition}", urgency, True)


def test_a_tight_band_comes_with_its_own_caution() -> None:
    (duty,) = due(replace(SEDGE, bands=(replace(METAL, conditions=frozenset({"tight"})),)))
    assert "vet decides" in CAUTIONS[duty.caution]


def test_a_band_likely_to_wear_out_before_the_next_catch_up_is_named_with_its_chance() -> None:
    old = BandOn(2, "right tibia", "colour", "red", date(2010, 6, 1))
    park = ParkRules(next_catch_up=date(2028, 6, 1))
    (duty,) = due(replace(SEDGE, bands=(METAL, old)), park=park)
    assert duty.kind == "band wearing out"
    assert "% likely to be unreadable before 1 June 2028" in duty.why
    assert "published wear" in duty.why
    assert due(replace(SEDGE, bands=(METAL, replace(old, since=date(2025, 6, 1)))), park=park) == []


TIE = BandOn(3, "right leg", "cable tie", "yellow", days_ago(3), temporary=True)
CHICK = replace(SEDGE, name="Teasel", sex="U", hatched_on=days_ago(16), bands=(TIE,))


def test_a_chick_s_band_is_looked_at_as_often_as_the_vet_says() -> None:
    (duty,) = due(CHICK)
    assert duty.kind == "chick band check"
    assert duty.by == TODAY
    assert duty.why == "A chick of 16 days; the leg outgrows it. Every 3 days."
    assert kinds(CHICK, replace(AVOCET, chick_check_every_days=7)) == []
    late = replace(CHICK, bands=(replace(TIE, since=days_ago(9), checked_on=days_ago(5)),))
    assert due(late)[0].urgency is Urgency.NOW


def test_a_tie_on_a_grown_leg_waits_for_the_next_handling() -> None:
    grown = replace(CHICK, hatched_on=days_ago(120))
    assert kinds(grown) == ["sex sample", "temporary band to replace"]


def test_a_tie_on_a_bird_of_unknown_age_is_no_tidy_thing() -> None:
    unknown = replace(CHICK, hatched_on=None)
    told = {duty.kind: duty.urgency for duty in due(unknown)}
    assert told["temporary band to replace"] is Urgency.SOON


def test_a_sample_on_its_way_is_not_taken_twice() -> None:
    sent = SampleTaken("WB-17", days_ago(9), answered=False, sent_on=days_ago(5))
    bird = replace(SEDGE, sex="U", samples=(sent,))
    assert kinds(bird) == []
    late = replace(bird, samples=(SampleTaken("WB-17", days_ago(29), False, days_ago(25)),))
    assert kinds(late) == ["sex result awaited"]


def test_a_sample_that_is_still_here_is_to_be_sent() -> None:
    here = SampleTaken("WB-17", days_ago(25), answered=False, test="a1")
    (duty,) = due(replace(SEDGE, sex="U", samples=(here,)))
    assert (duty.kind, duty.subject) == ("sample to send", "test a1")
    sends, *_ = settling(duty)
    assert (sends.deed, sends.named["test"]) == ("sample_sent", "a1")


def test_a_result_asks_for_the_metal_on_its_side() -> None:
    male = replace(SEDGE, name="Osier", sex="M", bands=(), found=(SexFound("M", "DNA", date(2026, 6, 9)),))
    (duty,) = due(male)
    assert duty.what == "Osier is a male: fit its metal on the right tibia."
    assert duty.why == "DNA, 9 June 2026. It wears no identifying band yet."
    assert duty.urgency is Urgency.WITH_NEXT_HANDLING
    assert due(male, park=ParkRules(remark_at_once=True))[0].urgency is Urgency.SOON


def test_metal_against_the_side_of_the_sex_waits_unless_it_is_certified() -> None:
    wrong = replace(METAL, site="right tibia")
    assert kinds(replace(SEDGE, bands=(wrong,))) == ["metal on the other side"]
    assert kinds(replace(SEDGE, bands=(replace(wrong, certified=True),))) == []


def test_two_metals_on_one_leg_are_a_duty_once_and_metal_on_the_other_side_too() -> None:
    one, other = replace(METAL, site="right tibia"), replace(METAL, band=77, site="right tibia")
    told = due(replace(SEDGE, bands=(one, other)))
    assert [duty.kind for duty in told] == ["two metals on a leg", "metal on the other side"]
    assert told[0].urgency is Urgency.SOON
    fallen = replace(METAL, band=77, conditions=frozenset({"missing"}))
    assert kinds(replace(SEDGE, bands=(METAL, replace(METAL, band=77)))) == ["two metals on a leg"]
    assert kinds(replace(SEDGE, bands=(METAL, fallen))) == ["band missing"]


def test_marks_that_were_kept_do_not_hide_two_metals_on_a_leg() -> None:
    both = (replace(METAL, site="right tibia"), replace(METAL, band=77, site="right tibia"))
    bird = replace(SEDGE, bands=both, planned="metal on the left tibia", planned_metal="left tibia")
    assert kinds(bird) == ["two metals on a leg", "marks to fit"]
    assert sorted(kinds(replace(bird, sex="M"))) == ["kept marks of the other sex", "two metals on a leg"]


def test_kept_marks_of_the_other_sex_are_work_of_the_desk_and_no_bird_is_caught_for_them() -> None:
    (duty,) = due(replace(SEDGE, sex="M", planned="metal on the left tibia", planned_metal="left tibia"))
    assert (duty.in_hand, duty.caution, duty.urgency) == (False, "", Urgency.SOON)


def test_marks_kept_before_the_sex_was_known_are_not_fitted_on_the_wrong_side() -> None:
    male = replace(SEDGE, sex="M", planned="metal on the left tibia", planned_metal="left tibia")
    assert kinds(male) == ["kept marks of the other sex"]
    assert kinds(replace(male, planned_metal="right tibia")) == ["marks to fit"]


def test_evidence_that_does_not_agree_offers_each_finding_to_be_withdrawn() -> None:
    told = (SexFound("F", "plumage", days_ago(9), "a1"), SexFound("M", "size", days_ago(3), "b2"))
    (duty,) = (one for one in due(replace(SEDGE, found=told)) if one.kind == "sex evidence conflicts")
    offered = [(one.deed, one.named["corrects"], one.title) for one in settling(duty)[:2]]
    assert offered == [
        ("withdrawn", "a1", "Withdraw: female by plumage"),
        ("withdrawn", "b2", "Withdraw: male by size"),
    ]


@pytest.mark.parametrize(
    ("found", "conflict"),
    [
        ([("F", "plumage"), ("M", "DNA")], False),
        ([("M", "DNA"), ("F", "behaviour")], True),
        ([("M", "DNA"), ("F", "laid an egg")], True),
        ([("F", "size"), ("M", "plumage")], True),
        ([("F", "DNA"), ("F", "plumage")], False),
        ([("U", "not said"), ("F", "plumage")], False),
    ],
)
def test_evidence_conflicts_when_it_should(found: list[tuple[str, str]], conflict: bool) -> None:
    dated = tuple(SexFound(sex, by, days_ago(100 - at)) for at, (sex, by) in enumerate(found))
    assert disagreement(dated) is conflict


def test_birds_too_alike_are_named_with_what_it_costs_until_marks_are_planned() -> None:
    bird = replace(SEDGE, alike=(Alike(18, "Kelp", 0.029), Alike(19, "Tansy", 0.004)))
    (duty,) = due(bird)
    assert duty.why == "100 readings of the two cost as much as 2.9 wrong names, doubts counted in."
    (duty,) = due(replace(SEDGE, alike=(Alike(20, "Wrack", 0.0, same=True),)))
    assert duty.why == "Sedge and Wrack wear the same marks."
    assert kinds(replace(bird, planned="yellow over lime, right tibia")) == ["marks to fit"]


PENGUIN = SpeciesRules(
    "African penguin", form="wings", moult_from_month=11, moult_to_month=1, bands_off_in_moult=True
)
TIDE = BirdFacts(
    40,
    "Tide",
    "African penguin",
    3,
    "South Strand",
    "F",
    date(2019, 1, 1),
    bands=(BandOn(9, "left wing", "wing", "green", date(2020, 1, 1)),),
)


def test_a_moult_season_may_cross_the_new_year() -> None:
    assert moult_season(PENGUIN, date(2026, 6, 11)) == (date(2026, 11, 1), date(2027, 1, 31))
    assert moult_season(PENGUIN, date(2027, 1, 31)) == (date(2026, 11, 1), date(2027, 1, 31))
    assert moult_season(PENGUIN, date(2027, 2, 1)) == (date(2027, 11, 1), date(2028, 1, 31))


def test_wing_bands_come_off_before_the_moult_and_back_after_it() -> None:
    before = duties_of(TIDE, PENGUIN, ParkRules(), date(2026, 10, 15))
    assert [duty.kind for duty in before] == ["wing band off", "another way to know it"]
    assert before[0].by == date(2026, 11, 1)
    off = replace(TIDE, bands=(), has_transponder=True)
    assert duties_of(off, PENGUIN, ParkRules(), date(2026, 12, 1)) == []
    assert [duty.kind for duty in duties_of(off, PENGUIN, ParkRules(), date(2027, 2, 3))] == [
        "wing band back on"
    ]
    assert duties_of(TIDE, PENGUIN, ParkRules(), date(2026, 6, 11)) == []


def test_a_bird_moulting_out_of_season_loses_its_band_at_once() -> None:
    told = duties_of(replace(TIDE, moulting=True), PENGUIN, ParkRules(), date(2026, 6, 11))
    assert told[0].kind == "wing band off"
    assert told[0].urgency is Urgency.NOW


def test_a_moult_expected_of_one_bird_comes_before_its_species_months() -> None:
    expected = replace(TIDE, moult_from=date(2026, 6, 20), has_transponder=True)
    (duty,) = duties_of(expected, PENGUIN, ParkRules(), TODAY)
    assert (duty.kind, duty.by) == ("wing band off", date(2026, 6, 20))


def test_a_band_that_two_readings_in_a_row_did_not_see_is_looked_for() -> None:
    yellow = BandOn(5, "right tibia", "colour", "yellow", date(2024, 5, 1), read_without=2)
    (duty,) = due(replace(SEDGE, bands=(METAL, yellow)))
    assert duty.what == "Look whether Sedge still wears its band: yellow, right tibia."
    assert due(replace(SEDGE, bands=(METAL, replace(yellow, read_without=1)))) == []


def weight(days: int, grams: float) -> Weight:
    return Weight(datetime(2026, 6, 11, 7, tzinfo=UTC) - timedelta(days=days), grams, "in hand")


USUAL = tuple(weight(30 * month, 333.0) for month in range(1, 6))


def test_a_light_bird_is_weighed_again_then_the_vet_is_told_until_a_case_is_open() -> None:
    assert kinds(replace(SEDGE, weights=(*USUAL, weight(0, 306)))) == ["weigh again"]
    far = replace(SEDGE, weights=(*USUAL, weight(25, 306), weight(0, 305)))
    assert kinds(far) == ["tell the vet of its weight", "weigh again"]
    alarm = replace(SEDGE, weights=(*USUAL, weight(0, 290)))
    assert kinds(alarm) == ["tell the vet of its weight", "weigh again"]
    twice = replace(SEDGE, weights=(*USUAL, weight(2, 306), weight(0, 305)))
    assert kinds(twice) == ["tell the vet of its weight"]
    fine_since = replace(SEDGE, weights=(*USUAL, weight(4, 306), weight(2, 305), weight(0, 332)))
    assert kinds(fine_since) == ["tell the vet of its weight"]
    assert kinds(replace(fine_since, vet_told_on=days_ago(2))) == []


def test_weighing_and_health_checks_come_round() -> None:
    species = replace(AVOCET, weigh_every_days=90, health_check_every_days=365)
    bird = replace(SEDGE, weights=(weight(85, 333.0),), health_checked_on=days_ago(400))
    told = {duty.kind: duty for duty in due(bird, species)}
    assert told["weigh"].by == TODAY + timedelta(days=5)
    assert told["weigh"].urgency is Urgency.SOON
    assert told["weigh"].in_hand
    assert told["health check"].in_hand
    perch = replace(bird, weights=(replace(weight(85, 333.0), off_hand=True),))
    assert [duty.in_hand for duty in due(perch, species) if duty.kind == "weigh"] == [False]
    assert told["health check"].urgency is Urgency.TODAY
    assert kinds(replace(SEDGE, here_since=days_ago(10)), species) == []


def test_the_day_after_a_handling_the_bird_is_looked_at() -> None:
    assert kinds(replace(SEDGE, handlings=(InHand("h1", TODAY, check_wanted=True, checked=False),))) == []
    handled = InHand("h1", days_ago(1), check_wanted=True, checked=False)
    (duty,) = due(replace(SEDGE, handlings=(handled,)))
    assert duty.by == TODAY
    assert duty.why == "It was in hand on 10 June."
    assert kinds(replace(SEDGE, handlings=(replace(handled, check_wanted=False),))) == []


def test_what_stands_open_stays_until_somebody_closes_it() -> None:
    bird = replace(
        SEDGE,
        quarantine_since=days_ago(12),
        cases=(CaseOpen(4, "lame, right", days_ago(1), TODAY),),
        marks=(MarkOn(7, "nick in the bill", days_ago(2)), MarkOn(8, "pale toe", days_ago(-30))),
    )
    assert kinds(bird) == ["open case", "natural mark to review", "release from quarantine"]
    assert due(bird)[0].urgency is Urgency.TODAY


def test_stock_is_ordered_below_its_mark_and_not_at_it() -> None:
    stock = [StockHeld(1, "pale blue", "4", 2, 5), StockHeld(2, "green", "4", 5, 5)]
    (duty,) = stock_duties(stock)
    assert (duty.what, duty.subject) == ("Order 3 pale blue, size 4.", "stock 1")
    assert list(stock_duties(stock[1:])) == []


def test_all_that_is_to_be_ordered_is_one_job_that_says_why() -> None:
    stock = [
        StockHeld(1, "orange", "4", 1, 5),
        StockHeld(2, "green", "7B", 3, 5),
        StockHeld(3, "white", "4", 9, 5),
        StockHeld(4, "blue", "4", 6, 5, spoken_for=8),
    ]
    (duty,) = stock_duties(stock)
    assert duty.what == "Order 4 orange and 2 blue, size 4; 2 green, size 7B."
    assert duty.why == (
        "orange 4: 1 left, order below 5; green 7B: 3 left, order below 5; "
        "blue 4: 6 left, kept marks wait for 8."
    )


def test_a_carcase_without_bands_keeps_which_open() -> None:
    carcase = CarcaseFound("d1", 1, "pied avocet", days_ago(1), "", True, False)
    assert [duty.kind for duty in carcase_duties([carcase])] == ["which bird died", "post-mortem awaited"]
    named = replace(carcase, named="Thrift", post_mortem_answered=True)
    assert list(carcase_duties([named])) == []


def test_a_loose_band_takes_nobody_for_dead() -> None:
    (duty,) = loose_band_duties([LooseBand("f1", 1, "green, split", days_ago(1), 6)])
    assert duty.why == "Found 10 June 2026. 6 wear one. Nobody is taken for dead."


def test_every_duty_that_needs_the_hand_has_a_caution_where_one_can_hurt() -> None:
    for duty in [*due(CHICK), *due(replace(SEDGE, sex="U")), *due(replace(SEDGE, bands=()))]:
        assert duty.caution in CAUTIONS
