"""`tarsus weights`, `catch-up` and `inventory` from argv to what a shell sees."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest

from tarsus.cli.main import main

YEAR = [{"at": f"2025-{month:02}-03T07:30", "grams": 300, "fed": False} for month in range(3, 13)]
WASTING = [
    {"at": f"2026-{month:02}-03T07:30", "grams": grams, "fed": False}
    for month, grams in enumerate((270, 255, 240, 225, 200), start=1)
]
FLOCK = [
    {"id": "A01", "worth": 6.0, "minutes": 4, "mate": "A02"},
    {"id": "A02", "worth": 0, "minutes": 4},
    {"id": "A03", "worth": 7, "minutes": 9},
    {"id": "A04", "worth": 30, "minutes": 2, "never": True},
    {"id": "A05", "worth": 0, "minutes": 3, "must": True},
    {"id": "A06", "worth": 0, "minutes": 0},
]
AVOCETS = [
    {"id": "A01", "species": "Pied avocet", "owned": True, "events": [
        {"on": "2020-05-01", "what": "hatched", "sex": "U"},
        {"on": "2020-07-01", "what": "resexed", "sex": "F"},
        {"on": "2026-11-03", "what": "departed"},
        {"on": "2026-11-30", "what": "arrived", "sex": "F"}]},
    {"id": "A02", "species": "Pied avocet", "owned": False, "events": [
        {"on": "2026-11-01", "what": "moved in", "sex": "M"},
        {"on": "2026-12-01", "what": "died"}]},
]  # fmt: skip


def asked(monkeypatch: pytest.MonkeyPatch, command: str, document: Any, *more: str) -> int:
    text = document if isinstance(document, str) else json.dumps(document)
    monkeypatch.setattr("sys.stdin", io.StringIO(text))
    return main([command, "-", *more])


def answered(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], command: str, document: Any
) -> Any:
    assert asked(monkeypatch, command, document, "--json") == 0
    told = capsys.readouterr()
    assert told.err == ""
    return json.loads(told.out)


def test_every_weight_is_answered_in_order_of_time(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    told = answered(monkeypatch, capsys, "weights", {"weights": [*WASTING, *YEAR]})["weights"]
    assert [one["at"] for one in told] == [one["at"] for one in (*YEAR, *WASTING)]
    assert [one["usual"] for one in told[:4]] == [None, None, None, 300.0]
    assert [one["percent"] for one in told[:4]] == [None, None, None, 0.0]
    assert told[10]["percent"] == pytest.approx(-10.0)
    assert [one["advice"] for one in told] == ["nothing"] * 10 + ["tell the vet"] * 5
    assert told[10]["because"] == "10 % under its own usual 300 g. Tell the vet today, and weigh again."


def test_the_percentages_are_those_of_the_document(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    document = {"weights": [*YEAR, WASTING[0]], "prompt_percent": 9, "alarm_percent": 12}
    assert answered(monkeypatch, capsys, "weights", document)["weights"][-1]["advice"] == "weigh again"
    document = {"weights": [*YEAR, WASTING[0]], "prompt_percent": 11}
    assert answered(monkeypatch, capsys, "weights", document)["weights"][-1]["advice"] == "nothing"


def test_the_catch_that_is_worth_most_is_printed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    told = answered(monkeypatch, capsys, "catch-up", {"minutes": 20, "chase": 5, "birds": FLOCK})
    assert (told["catch"], told["minutes"], told["worth"]) == (["A03", "A05"], 17.0, 7.0)
    why = {one["id"]: one["because"] for one in told["left_out"]}
    assert list(why) == ["A01", "A02", "A04", "A06"]
    assert why["A01"] == "does not fit with A02 into 20 minutes beside those that are worth more"
    assert why["A04"] == "not to be caught"
    assert why["A06"] == "nothing would be settled by it"
    told = answered(monkeypatch, capsys, "catch-up", {"minutes": 16, "chase": 5, "birds": FLOCK})
    assert (told["catch"], told["minutes"], told["worth"]) == (["A01", "A02", "A05"], 16.0, 6.0)


def test_the_inventory_that_balances_is_printed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    span = {"first": "2026-11-01", "last": "2026-11-30"}
    told = answered(monkeypatch, capsys, "inventory", {**span, "birds": AVOCETS})
    none = dict.fromkeys(("hatched", "arrived", "moved in", "found again", "resexed in"), 0) | dict.fromkeys(
        ("died", "departed", "moved out", "missing", "resexed out"), 0
    )
    female = {"species": "Pied avocet", "sex": "F", "opening": 1, **none, "closing": 1}
    female |= {"arrived": 1, "departed": 1}
    male = {"species": "Pied avocet", "sex": "M", "opening": 0, **none, "closing": 1, "moved in": 1}
    assert told == {"held": [female, male], "owned": [female]}
    lent = json.loads(json.dumps(AVOCETS))
    lent[0]["events"][2]["owned"] = True
    told = answered(monkeypatch, capsys, "inventory", {**span, "birds": lent})
    assert told["owned"] == [{**female, "arrived": 0, "departed": 0}]
    assert told["held"] == [female, male]


@pytest.mark.parametrize(("command", "document", "words"), [
    ("weights", {"weights": [*YEAR, *WASTING]}, ["tell the vet", "-10.0 %", "no diagnosis"]),
    ("catch-up", {"minutes": 20, "chase": 5, "birds": FLOCK},
     ["not to be caught", "17 of 20 minutes", "Long legs, heat and long catching kill"]),
    ("inventory", {"first": "2026-11-01", "last": "2026-11-30", "birds": AVOCETS},
     ["Birds owned", "Pied avocet: 0.1.0 to 1.1.0"]),
])  # fmt: skip
def test_a_table_speaks_to_people(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    command: str,
    document: Any,
    words: list[str],
) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    assert asked(monkeypatch, command, document) == 0
    said = capsys.readouterr().out
    assert [word for word in words if word not in said] == []


@pytest.mark.parametrize(("command", "document", "sentence"), [
    ("weights", {"weights": [{"at": "2026-01-03", "grams": 301}]},
     'weights[0].at: "2026-01-03" is no moment; write it as 2026-01-03T07:30'),
    ("weights", {"weights": [{"at": "2026-13-03T07:30", "grams": 301}]},
     'weights[0].at: "2026-13-03T07:30" is no moment; write it as 2026-01-03T07:30'),
    ("weights", {"weights": [{"at": "2026-01-03T07:30", "grams": 0}]},
     "weights[0].grams: 0 is out of range; give at least 1e-06"),
    ("weights", {"weights": [{"at": "2026-01-03T07:30", "gramms": 1}]},
     "weights[0].gramms: 'gramms' is no key of this document; did you mean 'grams'?"),
    ("weights", {"weights": [], "prompt_percent": 8, "alarm_percent": 6},
     "alarm_percent: 6 is below prompt_percent 8; exchange them"),
    ("weights", {"weights": [{"at": "2026-01-03T07:30", "grams": 1},
                             {"at": "2026-01-03T07:30Z", "grams": 1}]},
     "weights[1].at: some moments say their offset from UTC and some do not; say all or none"),
    ("weights", '{"weights": [{"at": "2026-01-03T07:30", "grams": 301, "grams": 299}]}',
     "weights[0].grams: stands twice in one object; leave one of them out"),
    ("catch-up", {"minutes": 20, "birds": [{"id": "A01", "worth": 1, "minutes": 2, "mate": "A11"}]},
     "birds[0].mate: 'A11' is no bird of this document; did you mean 'A01'?"),
    ("catch-up", {"minutes": 20, "birds": [{"id": "A01", "worth": 1, "minutes": 2, "mate": "A01"}]},
     "birds[0].mate: 'A01' is the bird itself; name the other one"),
    ("catch-up", {"minutes": 20, "birds": [FLOCK[5], FLOCK[5]]},
     "birds[1].id: 'A06' is already birds[0]; give every bird its own id"),
    ("catch-up", {"minutes": 20, "birds": [{**FLOCK[4], "never": True}]},
     "birds[0].never: 'A05' must be caught as well; leave one of the two out"),
    ("catch-up", {"minutes": 20, "birds": [{**FLOCK[0], "never": True}, {**FLOCK[1], "must": True}]},
     "birds[1].must: 'A02' is caught together with 'A01', who is never caught; "
     "leave out must, never or the mate"),
    ("catch-up", {"minutes": 12, "chase": 5, "birds": [{**FLOCK[0], "must": True}, FLOCK[1]]},
     "minutes: 12 do not hold the 2 birds that must be caught; with catching they take 13, "
     "allow those or ask for fewer"),
    ("catch-up", {"minutes": 20, "birds": [{"id": "A01", "worth": -1, "minutes": 2}]},
     "birds[0].worth: -1 is out of range; give 0 to 1e+06"),
    ("inventory", {"first": "2026-11-30", "last": "2026-11-01", "birds": []},
     "last: 2026-11-01 is before 2026-11-30; exchange them"),
    ("inventory", {"first": "2026-11-01", "last": "2026-11-30", "birds": [
        {"id": "A01", "species": "Ruff", "events": [{"on": "2026-11-02", "what": "dead"}]}]},
     "birds[0].events[0].what: 'dead' is no event of a bird; did you mean 'died'?"),
    ("inventory", {"first": "2026-11-01", "last": "2026-11-30", "birds": [
        {"id": "A01", "species": "Ruff", "events": [{"on": "2026-11-02", "what": "hatched"}]}]},
     "birds[0].events[0].sex: is missing; a bird that hatched has one, U where it is not known"),
    ("inventory", {"first": "2026-11-01", "last": "2026-11-30", "birds": [
        {"id": "A01", "species": "Ruff", "events": [
            {"on": "2026-11-12", "what": "departed"}, {"on": "2026-11-02", "what": "hatched", "sex": "U"},
            {"on": "2026-11-13", "what": "missing"}]}]},
     "birds[0].events[2]: A01 cannot have gone missing on 2026-11-13: it was elsewhere then; "
     "add what happened before, or take this out"),
])  # fmt: skip
def test_a_document_is_refused_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    command: str,
    document: Any,
    sentence: str,
) -> None:
    assert asked(monkeypatch, command, document, "--json") == 2
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", f"tarsus: {sentence}\n")
