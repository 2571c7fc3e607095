"""What is thrown at Tarsus on purpose adds up, and every part of it is thrown by some test."""

from __future__ import annotations

from pathlib import Path

from fuzz import SHARES

PROPERTIES = Path(__file__).resolve().parents[1] / "properties"
ENOUGH = 20_000


def test_the_shares_add_up_and_each_is_held_to_by_a_test() -> None:
    assert sum(SHARES.values()) >= ENOUGH
    tests = [path.read_text("utf-8") for path in PROPERTIES.glob("test_hostile_*.py")]
    for area in SHARES:
        (own,) = [test for test in tests if f'share("{area}")' in test]
        assert f'max_examples=share("{area}")' in own or f'share("{area}") //' in own
        assert any(
            f'>= {said}share("{area}")' in own or f'share("{area}")' in own for said in ("", "examples")
        )
