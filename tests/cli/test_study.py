"""`tarsus study` from argv to what a shell sees."""

from __future__ import annotations

import io
import json
import warnings
from typing import Any

import pytest

from tarsus.cli.main import main

STUDY = {
    "palette": {"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf", "white": "#ffffff"},
    "reader": "untrained",
    "flock": {"F": 6, "M": 6},
    "rule": {
        "metal": {"F": "left leg", "M": "right leg"},
        "colours": {"F": {"right leg": 2}, "M": {"left leg": 2}},
    },
    "schemes": [
        {"name": "habit", "marks": "next free", "naming": "list"},
        "next free",
        "random free",
        "assigned",
    ],
    "season": {"rounds": 20, "seen": 0.8},
    "seasons": 6,
    "seed": 3,
}


def asked(monkeypatch: pytest.MonkeyPatch, document: Any, *more: str) -> int:
    monkeypatch.setattr("sys.stdin", io.StringIO(json.dumps(document)))
    return main(["study", "-", *more])


def test_schemes_stand_side_by_side_and_the_chosen_one_is_misnamed_least(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert asked(monkeypatch, STUDY, "--json", "--workers", "1") == 0
    told = capsys.readouterr()
    assert told.err == ""
    habit, _, _, assigned = schemes = json.loads(told.out)["schemes"]
    assert [s["name"] for s in schemes] == ["habit", "next free", "random free", "assigned"]
    for scheme in schemes:
        whole = sum(scheme[name]["mean"] for name in ("right", "misnamed", "unnamed", "unresolved"))
        assert whole == pytest.approx(1, rel=1e-12, abs=0)
        low, high = scheme["misnamed"]["interval"]
        assert low <= scheme["misnamed"]["mean"] <= high
    assert assigned["misnamed"]["mean"] < habit["misnamed"]["mean"] / 2
    assert assigned["against_the_first"]["misnamed"]["interval"][1] < 0


@pytest.mark.filterwarnings("ignore::ResourceWarning")  # Dask leaves its sockets to the collector
def test_figures_are_the_same_on_one_core_on_two_and_on_dask(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    small = {**STUDY, "schemes": ["next free", "random free"], "seasons": 3}
    printed = []
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # it says when a port or a directory is taken
        for spread in (["--workers", "1"], ["--workers", "2"], ["--spread", "dask", "--workers", "1"]):
            assert asked(monkeypatch, small, "--json", *spread) == 0
            printed.append(json.loads(capsys.readouterr().out))
    assert printed[0] == printed[1] == printed[2]


def test_study_speaks_to_people(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    assert asked(monkeypatch, {**STUDY, "seasons": 2, "schemes": ["next free"]}, "--workers", "1") == 0
    said = capsys.readouterr().out
    assert "next free" in said
    assert "12 birds, 2 seasons of 20 rounds a scheme, seed 3" in said


WRONG = [
    ({"flock": {"F": 2}}, "schemes: is missing; add it"),
    ({**STUDY, "schemes": ["next fre"]}, "schemes[0]: 'next fre' is no scheme; did you mean 'next free'?"),
    ({**STUDY, "schemes": ["given"]}, "birds[0].marks: is bare; a given scheme needs every bird's"),
    (
        {**STUDY, "schemes": ["next free", "next free"]},
        "schemes[1]: 'next free' is there already; give it its own name",
    ),
    ({**STUDY, "season": {"seen": 2}}, "season.seen: 2 is out of range; give 0 to 1"),
    ({**STUDY, "birds": []}, 'birds: give either birds, or a flock such as {"F": 14, "M": 12}'),
    (
        {**STUDY, "flock": {"F": 2, "U": 1}},
        "birds[2].sex: the rule has no row 'U' (it has F, M); add one to rule.colours",
    ),
    (
        {**STUDY, "flock": {"F": 20}, "schemes": ["next free"]},
        "20 birds of row 'F' are to be marked and the rule has 16 free combinations for them; "
        "allow more bands or colours",
    ),
]


@pytest.mark.parametrize(("document", "sentence"), WRONG, ids=[s[:30] for _, s in WRONG])
def test_study_refuses_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], document: Any, sentence: str
) -> None:
    assert asked(monkeypatch, document, "--json") == 2
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", f"tarsus: {sentence}\n")
