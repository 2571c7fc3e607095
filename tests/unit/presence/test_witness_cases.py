"""Independent looks, worked out by hand: the watch counts them as the phone does."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from published_checks import published
from tarsus.core.presence.witnesses import APART, CLEARS, Look, witnesses

PUBLISHED = published("witness_cases")
NOON = datetime(2026, 6, 11, 12, tzinfo=UTC)


def test_the_rules_are_the_published_ones() -> None:
    assert PUBLISHED["rules"] == {"clears": CLEARS, "apart_minutes": APART.total_seconds() / 60}


@pytest.mark.parametrize("case", PUBLISHED["cases"], ids=lambda case: case["name"])
def test_looks_are_counted_as_published(case: dict[str, Any]) -> None:
    looks = [
        Look(
            NOON + timedelta(minutes=look["minute"]),
            look["by"],
            look["known"],
            look.get("photographed", False),
        )
        for look in case["looks"]
    ]
    assert witnesses(looks) == case["witnesses"]
