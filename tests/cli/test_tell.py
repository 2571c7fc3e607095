"""`tarsus tell`: any deed from a shell, through the door that pages and phones use."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from shell import tarsus, with_person


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return with_person(tmp_path_factory.mktemp("told") / "register")


def told(home: Path, *words: str) -> dict[str, object]:
    done = tarsus(home, "tell", *words, "--json")
    assert done.returncode == 0, done.stderr
    return dict(json.loads(done.stdout))


def test_a_park_is_written_down_from_a_shell(home: Path) -> None:
    told(home, "park_set", "name=Small Garden")
    exhibit = told(home, "exhibit_saved", "name=Reed House", "purpose=display")
    species = told(home, "species_saved", "name=Ruff", "lookalike=ruff", 'sites=["left leg"]')
    assert exhibit["outcome"] == species["outcome"] == "written"
    bird = told(
        home, "bird_added", "species=1", "house_name=Reeve", "exhibit=1", "at=2026-03-01T09:00:00+00:00"
    )
    assert bird["wrote"] == {"bird": 1}
    weighed = ["weighed", "bird=1", "weight_g=112.5", "where=perch scale", "fed=no"]
    weighed += ["id=9d1c0000-0000-4000-8000-000000000001", "at=2026-06-11T07:41:02+01:00"]
    assert told(home, *weighed)["outcome"] == "written"
    assert told(home, *weighed)["outcome"] == "known"


@pytest.mark.parametrize(
    ("words", "refusal"),
    [
        (("weighed", "bird=1", "weight_g=much", "where=in hand"), "weight_g"),
        (("weighed", "bird=99", "weight_g=100", "where=in hand"), "no bird 99"),
        (("weighed", "weight=3"), "did you mean 'weight_g'"),
        (("weigh", "bird=1"), "did you mean 'weighed'"),
        (("weighed", "bird"), "write it as KEY=VALUE"),
        (("quarantine_released", "bird=1"), "is for the vet"),
        (("note", "bird=1", "text=a\udc80b"), "cannot be kept"),
    ],
)
def test_what_is_refused_is_said_in_one_sentence(home: Path, words: tuple[str, ...], refusal: str) -> None:
    done = tarsus(home, "tell", *words)
    assert done.returncode == 2
    assert refusal in done.stderr
    assert done.stderr.count("\n") == 1
    assert done.stdout == ""


def test_the_deeds_and_their_fields_are_listed_without_a_register(tmp_path: Path) -> None:
    listed = tarsus(tmp_path, "tell")
    assert "quarantine_released" in listed.stdout
    fields = tarsus(tmp_path, "tell", "weighed")
    assert "weight_g" in fields.stdout
    assert "(needed)" in fields.stdout
    assert list(tmp_path.iterdir()) == []
