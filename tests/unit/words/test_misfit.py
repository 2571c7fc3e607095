"""What does not go with a reading: as the phone says it; tests/js/misfit.test.mjs reads the same cases."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.words.misfit import misfit

CASES: dict[str, Any] = json.loads(
    (Path(__file__).resolve().parents[2] / "published" / "misfit_cases.json").read_text(encoding="utf-8")
)
TOLD = [(case["worn"], told) for case in CASES["cases"] for told in case["told"]]


@pytest.mark.parametrize(("worn", "told"), TOLD, ids=lambda one: str(one.get("read", "")))
def test_what_does_not_go_with_a_reading_is_named(worn: dict[str, Any], told: dict[str, Any]) -> None:
    found = misfit(Reading.of(told["read"]), Marks.of(worn))
    said = (found.say, found.if_so) if found else (None, None)
    assert said == (told["say"], told.get("if_so"))
