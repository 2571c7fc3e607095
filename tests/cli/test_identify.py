"""`tarsus identify` from argv to what a shell sees."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest

from tarsus.cli.main import main

FLOCK = {
    "palette": {"red": "#c1121f", "teal": "#12908a", "yellow": "#ffd60a"},
    "reader": {"swap": 0.02, "flip": 0.01, "colour": 0.01, "overlook": 0.003, "lost": 0.002},
    "birds": [
        {"id": "A01", "sex": "F", "marks": {"left leg": ["metal"], "right leg": ["red", "teal"]}},
        {"id": "A02", "sex": "F", "marks": {"left leg": ["metal"], "right leg": ["yellow", "red"]}},
        {"id": "A03", "sex": "M", "marks": {"right leg": ["metal"]}, "prior": 0.5, "lookalike": "ruff"},
    ],
    "readings": [
        {"left leg": ["metal"], "right leg": None},
        {"left leg": ["metal"], "right leg": ["red", "?"]},
        {"lookalike": "ruff", "left leg": ["metal"]},
    ],
    "strangers": 0.001,
}


def asked(monkeypatch: pytest.MonkeyPatch, document: Any, *more: str) -> int:
    monkeypatch.setattr("sys.stdin", io.StringIO(json.dumps(document)))
    return main(["identify", "-", *more])


def test_identify_answers_every_reading(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert asked(monkeypatch, FLOCK, "--json") == 0
    part, nearly, ruff = json.loads(capsys.readouterr().out)["readings"]
    assert part["look_next"] == "right leg"
    assert {c["id"] for c in part["candidates"][:2]} == {"A01", "A02"}
    assert nearly["candidates"][0]["id"] == "A01"
    assert nearly["candidates"][0]["p"] > 0.95
    assert [c["id"] for c in ruff["candidates"]] == ["A03"]
    assert (ruff["fits_nobody"], ruff["because"]) == (True, ["the legs were swapped"])
    for answer in (part, nearly, ruff):
        chances = [c["p"] for c in answer["candidates"]]
        assert chances == sorted(chances, reverse=True)
        assert sum(chances) + answer["none_of_these"] == pytest.approx(1, rel=0, abs=1e-6)


def test_identify_speaks_to_people(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    (tmp_path / "flock.json").write_text(json.dumps(FLOCK), encoding="utf-8")
    assert main(["identify", str(tmp_path / "flock.json")]) == 0
    said = capsys.readouterr().out
    assert "One of two. Look at the right leg." in said
    assert "Almost certainly A01" in said


def test_readings_of_one_round_tell_its_light_together_only_where_that_is_asked(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def answer(**changes: Any) -> dict[str, Any]:
        assert asked(monkeypatch, broken(**changes), "--json") == 0
        told: dict[str, Any] = json.loads(capsys.readouterr().out)
        return told

    plain, dusk = answer(), answer(light="dusk")
    assert set(plain) == {"readings"}
    assert plain["readings"][1]["candidates"][0]["p"] > dusk["readings"][1]["candidates"][0]["p"]
    assert sum(state["p"] for state in dusk["states"] if state["light"] == "dusk") > 0.9
    # What one bird's strange reading tells of the light counts for every other bird of the round.
    odd = [{"left leg": [], "right leg": ["red"]}] * 4
    round_of = [FLOCK["readings"][1], *odd]
    alone, among = (
        answer(light="not said", readings=round_of[:1]),
        answer(light="not said", readings=round_of),
    )
    assert among["states"][0]["p"] < alone["states"][0]["p"]
    assert among["readings"][0]["candidates"][0]["p"] < alone["readings"][0]["candidates"][0]["p"]


def broken(**changes: Any) -> dict[str, Any]:
    return {**FLOCK, **changes}


WRONG = [
    (
        broken(birds=[{"id": "A01", "marks": {"left leg": ["tael"]}}]),
        "birds[0].marks[\"left leg\"][0]: 'tael' is no colour of the palette; did you mean 'teal'?",
    ),
    (
        broken(strangres=0.1),
        "strangres: 'strangres' is no key of this document; did you mean 'strangers'?",
    ),
    (broken(strangers=2), "strangers: 2 is out of range; give 0 to 1"),
    (
        broken(readings=[{"left lag": []}]),
        "readings[0][\"left lag\"]: 'left lag' is no site; did you mean 'left leg'?",
    ),
    (
        broken(readings=[{}, {"left leg": "red"}]),
        'readings[1]["left leg"]: "red" is no list; write it as […]',
    ),
    (
        broken(birds=[{"id": "A01", "marks": {}}, {"id": "A01", "marks": {}}]),
        "birds[1].id: 'A01' is already birds[0]; give every bird its own id",
    ),
    (
        broken(birds=[{"id": "A01", "marks": {"left leg": ["?"]}}]),
        "birds[0].marks[\"left leg\"][0]: '?' is no colour of the palette; "
        "known are metal, red, teal, yellow",
    ),
    (broken(birds=[{"marks": {}}]), "birds[0].id: is missing; add it"),
    (broken(reader="expert"), "reader: 'expert' is no reader; known are trained, untrained"),
    (
        broken(reader={"confusion": {"red": {"teal": 0.8, "yellow": 0.4}}}),
        "reader.confusion.red: the row sums to 1.2; at most 1 can be had",
    ),
    (
        broken(palette={"red": "red"}),
        'palette.red: "red" is no sRGB colour; write it as "#c8102e"',
    ),
    ([], "document: [] is no object; write it as {…}"),
    (
        broken(birds=[{"id": "A01", "marks": {}, "prior": float("nan")}]),
        "birds[0].prior: NaN is no number; write it plainly, such as 0.05",
    ),
]


@pytest.mark.parametrize(("document", "sentence"), WRONG, ids=[s[:30] for _, s in WRONG])
def test_identify_refuses_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], document: Any, sentence: str
) -> None:
    assert asked(monkeypatch, document, "--json") == 2
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", f"tarsus: {sentence}\n")
