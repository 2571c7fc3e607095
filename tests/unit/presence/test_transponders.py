"""Codes of transponders, and bursts of reads folded into visits."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarsus.core.errors import WrongValue
from tarsus.core.presence.transponders import GAP, LIES, Reads, code_of, crc, visits

NOON = datetime(2026, 6, 11, 12, tzinfo=UTC)
KELP, DOCK = "999000123456789", "999000222222222"


def at(
    minutes: float, code: str = KELP, antenna: str = "north feeder", reads: int = 1, lasts: float = 0
) -> Reads:
    first = NOON + timedelta(minutes=minutes)
    return Reads(code, antenna, first, first + timedelta(minutes=lasts), reads, exhibit=1)


@pytest.mark.parametrize(
    "said", ["999000123456789", "999 000123456789", "999.000.123.456.789", " 999-000123456789"]
)
def test_a_code_is_read_as_readers_show_it(said: str) -> None:
    assert code_of(said) == KELP


@pytest.mark.parametrize(
    "said",
    [
        "",
        "99900012345678",
        "9990001234567890",
        "99900012345678a",
        "000000123456789",
        "999274877906944",
        "٩٩٩000123456789",
    ],
)
def test_what_no_transponder_carries_is_refused(said: str) -> None:
    # 274877906943 is the largest number of 38 bits.
    assert code_of("999274877906943")
    with pytest.raises(WrongValue, match="code"):
        code_of(said)


def test_a_checksum_that_is_given_has_to_fit() -> None:
    # The check value that catalogues of such sums print for these nine digits.
    assert crc(b"123456789") == 0x2189
    mine = f"{crc((123456789 | 999 << 38 | 1 << 63).to_bytes(8, 'little')):04x}"
    assert code_of(KELP, mine.upper()) == KELP
    with pytest.raises(WrongValue, match="checksum"):
        code_of("999000123456798", mine)


def test_reads_within_the_gap_are_one_visit_with_first_last_and_how_many() -> None:
    told = [at(9), at(0, reads=3, lasts=1), at(30, reads=2), at(4, DOCK), at(5, antenna="south feeder")]
    found = [(one.code, one.antenna, one.first, one.last, one.reads) for one in visits(told)]
    minutes = timedelta(minutes=1)
    assert found == [
        (DOCK, "north feeder", NOON + 4 * minutes, NOON + 4 * minutes, 1),
        (KELP, "south feeder", NOON + 5 * minutes, NOON + 5 * minutes, 1),
        (KELP, "north feeder", NOON, NOON + 9 * minutes, 4),
        (KELP, "north feeder", NOON + 30 * minutes, NOON + 30 * minutes, 2),
    ]
    gap = GAP.total_seconds() / 60
    assert [one.reads for one in visits([at(0), at(gap)])] == [2]
    assert [one.reads for one in visits([at(0), at(gap + 0.1)])] == [1, 1]


def test_a_chip_that_reads_for_hours_lies_and_one_that_comes_and_goes_does_not() -> None:
    hours = int(LIES.total_seconds() // 3600)
    (lying,) = visits(at(5 * one) for one in range(12 * hours + 1))
    assert lying.lies
    assert not lying.over(lying.last + GAP)
    assert lying.over(lying.last + GAP * 1.01)
    assert not any(one.lies for one in visits(at(25 * one) for one in range(40)))
    (short,) = visits(at(5 * one) for one in range(12 * hours))
    assert not short.lies


@given(
    st.lists(st.tuples(st.integers(0, 600), st.integers(0, 30), st.integers(1, 9)), min_size=1, max_size=12),
    st.randoms(),
)
def test_visits_are_the_same_in_any_order_and_lose_no_read(
    told: list[tuple[int, int, int]], by: object
) -> None:
    reads = [at(minute, lasts=lasts, reads=count) for minute, lasts, count in told]
    found = visits(reads)
    shuffled = list(reads)
    by.shuffle(shuffled)  # type: ignore[attr-defined]  # a random.Random
    assert visits(shuffled) == found
    assert sum(one.reads for one in found) == sum(one.reads for one in reads)
    assert all(later.first - earlier.last > GAP for earlier, later in pairwise(found))
