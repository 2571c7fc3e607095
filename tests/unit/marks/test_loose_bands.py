"""Whose a band on the floor may be: as the phone says; tests/js/wearers.test.mjs reads the same cases."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tarsus.core.marks.loose_bands import BandOnRecord, likeliest_first, may_have_lost, number_fits

CASES: dict[str, Any] = json.loads(
    (Path(__file__).resolve().parents[2] / "published" / "loose_band_cases.json").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("case", CASES["finds"], ids=lambda case: f"{case['band']} {case['number']}")
def test_whose_a_loose_band_may_be(case: dict[str, Any]) -> None:
    asked = []
    for bird in CASES["birds"]:
        worn = [BandOnRecord(word, number, tuple(flags.split())) for _, word, number, flags in bird["bands"]]
        asked.append(may_have_lost(bird["name"], worn, bird["unseen_days"], case["band"], case["number"]))
    owners = sorted((owner for owner in asked if owner), key=likeliest_first)
    assert [[owner.bird, owner.marked] for owner in owners] == case["owners"]


@pytest.mark.parametrize(("engraving", "read", "fits"), CASES["number_fits"])
def test_a_number_is_found_by_what_could_be_read_of_it(engraving: str, read: str, *, fits: bool) -> None:
    assert number_fits(engraving, read) is fits
