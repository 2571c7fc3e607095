"""`tarsus capacity` from argv to what a shell sees."""

from __future__ import annotations

import json

import pytest

from tarsus.cli.main import main


def test_capacity_prints_one_document(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["capacity", "--colours", "5", "--positions", "4", "--distance", "3", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["birds"], answer["upper_bound"], answer["proven"]) == (25, 25, True)
    assert len({tuple(word) for word in answer["combinations"]}) == 25


def test_capacity_speaks_to_people(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["capacity", "--colours", "9", "--positions", "2", "--distance", "1"]) == 0
    said = capsys.readouterr().out
    assert "81 birds can be told apart" in said
    assert "and 21 more" in said


def test_capacity_refuses_in_one_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["capacity", "--colours", "6", "--positions", "4", "--distance", "5", "--json"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == "tarsus: distance: 5 is out of range; birds with 4 bands differ in 1 to 4\n"
