"""Who was found: gaps between sightings against the species' limit, worked by hand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from tarsus.core.presence.seen_again import seen_again

SIX = datetime(2026, 6, 11, 6, 0, tzinfo=UTC)
DAY = timedelta(days=1)


def test_a_bird_is_found_at_its_species_limit_and_not_a_minute_before() -> None:
    limits = {1: 4, 2: 4, 3: 5}
    before = {1: SIX, 2: SIX, 3: SIX}
    seen = [(1, SIX + 4 * DAY), (2, SIX + 4 * DAY - timedelta(minutes=1)), (3, SIX + 4 * DAY)]
    assert seen_again(seen, before, limits) == {1: (SIX + 4 * DAY, 4)}


def test_a_bird_that_nobody_had_seen_before_is_not_found_by_its_first_sighting() -> None:
    assert seen_again([(9, SIX)], {}, {9: 1}) == {}


def test_a_gap_within_what_is_told_counts_whatever_the_order_of_telling() -> None:
    seen = [(1, SIX + 9 * DAY), (1, SIX), (1, SIX + DAY)]
    assert seen_again(seen, {}, {1: 4}) == {1: (SIX + 9 * DAY, 8)}
    filled = [*seen, (1, SIX + 5 * DAY)]
    assert seen_again(filled, {}, {1: 5}) == {}


def test_of_two_gaps_the_latest_is_told() -> None:
    seen = [(1, SIX + 6 * DAY), (1, SIX + 11 * DAY), (1, SIX + 12 * DAY)]
    assert seen_again(seen, {1: SIX}, {1: 4}) == {1: (SIX + 11 * DAY, 5)}
