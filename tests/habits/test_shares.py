"""What is thrown at Tarsus on purpose adds up, and every part of it is thrown by some test."""

from __future__ import annotations

import re
from pathlib import Path

from fuzz import SHARES

PROPERTIES = Path(__file__).resolve().parents[1] / "properties"
ENOUGH = 20_000
DRAWN = re.compile(r'@settings\(max_examples=[^\n]*(share\("\w+"\)|\bexamples\b)')


def test_the_shares_add_up_and_each_is_held_to_by_a_test() -> None:
    asks_the_register = sum(SHARES.values()) - SHARES["documents"]
    assert asks_the_register >= ENOUGH, "on each of the two databases"
    tests = [path.read_text("utf-8") for path in PROPERTIES.glob("test_hostile_*.py")]
    for area in SHARES:
        (own,) = [test for test in tests if f'share("{area}")' in test]
        assert f'max_examples=share("{area}")' in own or f'share("{area}") //' in own


def test_each_test_that_throws_a_share_counts_what_it_threw() -> None:
    thrown = 0
    for path in PROPERTIES.glob("test_hostile_*.py"):
        for test in path.read_text("utf-8").split("\ndef test_"):
            for drawn in DRAWN.findall(test):
                thrown += 1
                counted = rf"^    assert \S+ >= {re.escape(drawn)}"
                assert re.search(counted, test, re.MULTILINE), (path.name, test.partition("(")[0])
    assert thrown >= len(SHARES)
