"""`tarsus learn` from argv to what a shell sees."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest

from tarsus.cli.main import main
from tarsus.core.readings.earning import WANTED

RIGHT = {"left leg": ["metal"], "right leg": ["red", "blue"]}
CHECKS = [{"read": RIGHT, "worn": RIGHT}] * 40 + [
    {"read": {"left leg": ["red", "blue"], "right leg": ["metal"]}, "worn": RIGHT},
    {"read": {"left leg": ["metal"], "right leg": ["red", "purple"]}, "worn": RIGHT},
    {"read": {"left leg": None, "right leg": ["red", "blue", "blue"]}, "worn": RIGHT},
]


def asked(monkeypatch: pytest.MonkeyPatch, command: str, document: Any, *more: str) -> int:
    monkeypatch.setattr("sys.stdin", io.StringIO(json.dumps(document)))
    return main([command, "-", *more])


def test_what_is_learned_can_be_given_as_a_reader(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert asked(monkeypatch, "learn", {"checks": CHECKS}, "--json") == 0
    told = capsys.readouterr()
    learned = json.loads(told.out)
    assert told.err == "tarsus: set aside, more bands read than worn: checks[42]\n"
    assert (learned["checks"], learned["set_aside"]) == (42, [42])
    assert learned["earned"] == (learned["evidence"] >= WANTED), "it is used from so much evidence on"
    for name in ("swap", "flip", "colour", "overlook", "lost"):
        low, high = learned["intervals"][name]
        assert 0 <= low <= learned[name] <= high <= 1
    assert 0.01 < learned["swap"] < 0.05
    # One blue of forty was read as purple, which the trained reader does in .0037.
    assert learned["confusion"]["blue"]["purple"] > 1.1 * 0.0037
    low, high = learned["intervals"]["confusion"]["blue"]["purple"]
    assert low < learned["confusion"]["blue"]["purple"] < high
    birds = [{"id": "Sedge", "marks": RIGHT}]
    document = {"reader": learned, "birds": birds, "readings": [{"right leg": ["red", "purple"]}]}
    assert asked(monkeypatch, "identify", document, "--json") == 0
    assert json.loads(capsys.readouterr().out)["readings"][0]["candidates"][0]["id"] == "Sedge"


def test_learn_without_checks_leaves_the_reader_as_it_was(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert asked(monkeypatch, "learn", {"reader": "untrained", "checks": []}, "--json") == 0
    learned = json.loads(capsys.readouterr().out)
    assert [learned[name] for name in ("swap", "flip", "overlook", "lost")] == [0.067, 0.0223, 0.0089, 0.001]
    assert learned["colour"] == pytest.approx(0.0268, rel=1e-9, abs=0)
    assert (learned["earned"], learned["gain"], learned["evidence"]) == (False, None, None)


def test_learn_speaks_to_people(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    assert asked(monkeypatch, "learn", {"checks": CHECKS[:5]}) == 0
    said = capsys.readouterr().out
    assert "legs swapped, a reading" in said
    assert "5 checks: too few to say" in said


@pytest.mark.parametrize(("document", "sentence"), [
    ({"checks": [{"read": {}}]}, "checks[0].worn: is missing; add it"),
    ({"checks": [{"read": {"left leg": ["rde"]}, "worn": {}}]},
     "checks[0].read[\"left leg\"][0]: 'rde' is no colour of the palette; did you mean 'red'?"),
    ({"checks": [{"read": {}, "worn": {"right leg": ["rde"]}}]},
     "checks[0].worn[\"right leg\"][0]: 'rde' is no colour of the palette; did you mean 'red'?"),
    ({"cheques": []}, "cheques: 'cheques' is no key of this document; did you mean 'checks'?"),
])  # fmt: skip
def test_learn_refuses_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    document: Any,
    sentence: str,
) -> None:
    assert asked(monkeypatch, "learn", document, "--json") == 2
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", f"tarsus: {sentence}\n")
