"""Recording what a duty asks for makes it go away, and nothing else does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tarsus.core.care.due import duties_of
from tarsus.core.care.duties import bands, checks, marking, missing, moult, sexing, standing
from tarsus.core.care.duties.sexing import NUMBERED
from tarsus.core.care.duty import Duty
from tarsus.core.care.facts import (
    Alike,
    BandOn,
    BirdFacts,
    CaseOpen,
    InHand,
    MarkOn,
    ParkRules,
    SampleTaken,
    SexFound,
    SpeciesRules,
)
from tarsus.core.care.weights import Weight

TODAY = date(2026, 6, 11)
THIS_EVENING = datetime.combine(TODAY, time(20), tzinfo=UTC)
METAL_SITES = (("F", "left leg"), ("M", "right leg"))

days_back = st.integers(0, 500).map(lambda days: TODAY - timedelta(days=days))
one_band = st.builds(
    BandOn,
    band=st.integers(1, 10_000),
    site=st.sampled_from(["left leg", "right leg", "left wing"]),
    kind=st.sampled_from(["metal", "colour", "cable tie", "wing"]),
    colour=st.sampled_from(["", "red", "blue"]),
    since=days_back,
    conditions=st.frozensets(st.sampled_from(["good", "missing", "tight", "unreadable", "faded", "worn"])),
    checked_on=st.none() | days_back,
    temporary=st.booleans(),
    certified=st.booleans(),
    read_without=st.integers(0, 3),
)
one_weight = st.builds(
    Weight,
    at=st.integers(1, 400).map(lambda days: THIS_EVENING - timedelta(days=days, hours=13)),
    grams=st.sampled_from([300.0, 301.0, 299.0, 302.0, 270.0, 268.0, 340.0]),
    scale=st.just("in hand"),
    moulting=st.booleans(),
)
marks = st.builds(MarkOn, st.integers(1, 99), st.just("nick"), st.none() | days_back)
handlings = st.builds(InHand, st.uuids().map(str), days_back, st.booleans(), st.booleans())
samples = st.builds(SampleTaken, st.uuids().map(str), days_back, st.booleans(), st.none() | days_back)
known_by = st.sampled_from(["DNA", "plumage", "size"])
findings = st.builds(SexFound, st.sampled_from("FMU"), known_by, days_back)
cases = st.builds(CaseOpen, st.integers(1, 99), st.just("lame"), days_back, st.none() | days_back)
others = st.builds(Alike, st.integers(18, 30), st.just("Kelp"), st.floats(0, 0.1))


def some(of: st.SearchStrategy[Any], most: int = 2, by: Callable[[Any], Any] | None = None) -> Any:
    return st.lists(of, max_size=most, unique_by=by).map(tuple)


birds = st.builds(
    BirdFacts,
    bird=st.just(17),
    name=st.just("Sedge"),
    species=st.just("Pied avocet"),
    exhibit=st.just(1),
    exhibit_name=st.just("Shingle Aviary"),
    sex=st.sampled_from("FMU"),
    hatched_on=st.none() | days_back,
    bands=some(one_band, 4, by=lambda band: band.band),
    has_transponder=st.booleans(),
    marks=some(marks, by=lambda mark: mark.mark),
    advice=st.sampled_from(["present", "look again", "search"]),
    unseen_days=st.integers(0, 5),
    ran_out=st.sampled_from(["", "nest-sitting"]),
    weights=some(one_weight, 9),
    health_checked_on=st.none() | days_back,
    here_since=days_back,
    handlings=some(handlings),
    samples=some(samples),
    found=some(findings, by=lambda finding: finding.on),
    cases=some(cases, by=lambda case: case.case),
    moulting=st.booleans(),
    moult_from=st.none() | st.integers(-30, 40).map(lambda days: TODAY + timedelta(days=days)),
    quarantine_since=st.none() | days_back,
    planned=st.sampled_from(["", "yellow over lime, right leg"]),
    planned_metal=st.sampled_from(["", "left leg", "right leg"]),
    alike=some(others, by=lambda other: other.bird),
)
species = st.builds(
    SpeciesRules,
    name=st.just("Pied avocet"),
    metal=st.sampled_from([(), METAL_SITES]),
    weigh_every_days=st.none() | st.integers(1, 120),
    health_check_every_days=st.none() | st.integers(1, 400),
    chick_check_every_days=st.integers(1, 9),
    moult_from_month=st.sampled_from([None, 6, 7, 11]),
    moult_to_month=st.sampled_from([None, 6, 8, 1]),
    bands_off_in_moult=st.booleans(),
)
parks = st.builds(
    ParkRules,
    remark_at_once=st.booleans(),
    next_catch_up=st.none() | st.just(TODAY + timedelta(days=300)),
)


def without_band(bird: BirdFacts, duty: Duty) -> tuple[BandOn, ...]:
    return tuple(band for band in bird.bands if f"band {band.band}" != duty.subject)


def band_replaced(bird: BirdFacts, duty: Duty) -> BirdFacts:
    (old,) = (band for band in bird.bands if f"band {band.band}" == duty.subject)
    new = replace(
        old,
        band=old.band + 100_000,
        since=TODAY,
        conditions=frozenset(),
        checked_on=None,
        read_without=0,
        temporary=False,
        kind="colour" if old.kind == "cable tie" else old.kind,
    )
    return replace(bird, bands=(*without_band(bird, duty), new))


def band_checked(bird: BirdFacts, duty: Duty) -> BirdFacts:
    return replace(
        bird,
        bands=tuple(
            replace(band, checked_on=TODAY, read_without=0) if f"band {band.band}" == duty.subject else band
            for band in bird.bands
        ),
    )


def weighed(bird: BirdFacts, duty: Duty) -> BirdFacts:
    last = max(bird.weights, key=lambda weight: weight.at, default=Weight(THIS_EVENING, 300.0, "in hand"))
    return replace(bird, weights=(*bird.weights, replace(last, at=THIS_EVENING)))


def case_opened(bird: BirdFacts, duty: Duty) -> BirdFacts:
    case = CaseOpen(1000, "weight", TODAY, None)
    return replace(bird, cases=(*bird.cases, case), vet_told_on=TODAY)


def next_day_checked(bird: BirdFacts, duty: Duty) -> BirdFacts:
    return replace(
        bird,
        handlings=tuple(
            replace(held, checked=True) if held.handling == duty.subject else held for held in bird.handlings
        ),
    )


def answered(bird: BirdFacts, duty: Duty) -> BirdFacts:
    return replace(
        bird,
        samples=tuple(
            replace(sample, answered=True) if f"test {sample.label}" == duty.subject else sample
            for sample in bird.samples
        ),
    )


def sent(bird: BirdFacts, duty: Duty) -> BirdFacts:
    return replace(
        bird,
        samples=tuple(
            replace(sample, sent_on=TODAY) if f"test {sample.label}" == duty.subject else sample
            for sample in bird.samples
        ),
    )


def withdrawn(bird: BirdFacts, duty: Duty) -> BirdFacts:
    (first, *_rest) = (finding for finding in bird.found if finding.sex != "U")
    return replace(bird, found=tuple(finding for finding in bird.found if finding is not first))


def metal_fitted(bird: BirdFacts, duty: Duty) -> BirdFacts:
    site = dict(METAL_SITES)[bird.sex]
    return replace(bird, bands=(*bird.bands, BandOn(200_000, site, "metal", "", TODAY)))


def marks_changed(bird: BirdFacts, duty: Duty) -> BirdFacts:
    moved = tuple(
        replace(band, site=dict(METAL_SITES).get(bird.sex, band.site))
        if f"band {band.band}" == duty.subject
        else band
        for band in bird.bands
    )
    alike = tuple(other for other in bird.alike if f"bird {other.bird}" != duty.subject)
    return replace(bird, bands=moved, alike=alike)


def metal_off(bird: BirdFacts, duty: Duty) -> BirdFacts:
    """All but one of the metal bands on the leg that the duty names come off."""
    metals = [one for one in bird.bands if one.site == duty.subject and one.kind in NUMBERED]
    return replace(bird, bands=tuple(one for one in bird.bands if one not in metals[1:]))


ACTS: dict[str, Callable[[BirdFacts, Duty], BirdFacts]] = {
    missing.SETTLED_BY: lambda bird, duty: replace(bird, advice="present", unseen_days=0),
    missing.SAID_AGAIN: lambda bird, duty: replace(bird, ran_out=""),
    bands.BAND_REPLACED: band_replaced,
    bands.BAND_CHECKED: band_checked,
    checks.WEIGHED: weighed,
    checks.CASE_OPENED: case_opened,
    checks.HEALTH_CHECKED: lambda bird, duty: replace(bird, health_checked_on=TODAY),
    checks.SEEN_NEXT_DAY: next_day_checked,
    sexing.SAMPLE_TAKEN: lambda bird, duty: replace(
        bird, samples=(*bird.samples, SampleTaken("new", TODAY, answered=False))
    ),
    sexing.SAMPLE_SENT: sent,
    sexing.RESULT_RECORDED: answered,
    sexing.FINDING_WITHDRAWN: withdrawn,
    sexing.METAL_FITTED: metal_fitted,
    marking.MARKS_CHANGED: marks_changed,
    marking.METAL_OFF: metal_off,
    marking.PLAN_CHANGED: lambda bird, duty: replace(bird, planned_metal=dict(METAL_SITES)[bird.sex]),
    marking.PLAN_FITTED: lambda bird, duty: replace(bird, planned=""),
    moult.BANDS_OFF: lambda bird, duty: replace(bird, bands=without_band(bird, duty)),
    moult.KNOWN_OTHERWISE: lambda bird, duty: replace(bird, has_transponder=True),
    moult.BANDS_BACK: lambda bird, duty: replace(
        bird, bands=(*bird.bands, BandOn(300_000, "left wing", "wing", "blue", TODAY))
    ),
    standing.RELEASED: lambda bird, duty: replace(bird, quarantine_since=None),
    standing.REVIEWED: lambda bird, duty: replace(
        bird,
        marks=tuple(
            replace(mark, review_on=TODAY + timedelta(days=365))
            if f"mark {mark.mark}" == duty.subject
            else mark
            for mark in bird.marks
        ),
    ),
    standing.CASE_CLOSED: lambda bird, duty: replace(
        bird, cases=tuple(case for case in bird.cases if f"case {case.case}" != duty.subject)
    ),
}


@given(bird=birds, kind=species, park=parks)
@settings(max_examples=100, deadline=None)
def test_recording_what_a_duty_asks_for_makes_it_go_away(
    bird: BirdFacts, kind: SpeciesRules, park: ParkRules
) -> None:
    for duty in duties_of(bird, kind, park, TODAY):
        after = ACTS[duty.settled_by](bird, duty)
        assert duty.key not in {left.key for left in duties_of(after, kind, park, TODAY)}, duty


def bands_of(bird: BirdFacts, duty: Duty) -> set[str]:
    """The bands that a duty is about: one, or the metals of a leg."""
    if duty.settled_by == marking.METAL_OFF:
        return {f"band {one.band}" for one in bird.bands if one.site == duty.subject}
    return {duty.subject} if duty.subject.startswith("band ") else set()


@given(bird=birds, kind=species, park=parks)
@settings(max_examples=100, deadline=None)
def test_and_nothing_else_does(bird: BirdFacts, kind: SpeciesRules, park: ParkRules) -> None:
    """Every other duty's own record leaves this one standing, unless both are about the same band."""
    told = duties_of(bird, kind, park, TODAY)
    for duty in told:
        for other in told:
            same_band = bands_of(bird, duty) & bands_of(bird, other)
            if other.key == duty.key or same_band or other.settled_by == duty.settled_by:
                continue
            after = ACTS[other.settled_by](bird, other)
            left = {remaining.key for remaining in duties_of(after, kind, park, TODAY)}
            assert duty.key in left, f"{other.kind} settled {duty.kind}"
