"""`tarsus watch` as the contract has it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tarsus.cli.main import main
from tarsus.core.documents.watch import answer_watch, parse_watch, watch_as_document
from tarsus.core.errors import MalformedInput

TEN_DAYS = [f"2026-03-{day:02}" for day in range(1, 11)]


def answered(**document: Any) -> dict[str, Any]:
    asked = parse_watch({"gone_per_year": 0.05, "max_unseen_days": 3, **document})
    return watch_as_document(asked, answer_watch(asked))


def refusal(**document: Any) -> str:
    with pytest.raises(MalformedInput) as told:
        parse_watch(document)
    return str(told.value)


def test_the_answer_has_the_keys_of_the_contract() -> None:
    told = answered(rounds=TEN_DAYS, seen={"A01": "1111111000", "A02": "1101111111"})
    assert {"still_here", "usual", "unseen_rounds", "unseen_days", "advice"} <= set(told["birds"]["A01"])
    assert [entry["date"] for entry in told["rounds"]] == TEN_DAYS
    assert told["birds"]["A01"]["unseen_rounds"] == 3
    assert told["birds"]["A01"]["unseen_days"] == 3
    assert told["birds"]["A01"]["advice"] == "search"
    assert told["birds"]["A02"]["still_here"] == 1.0
    assert told["birds"]["A02"]["advice"] == "present"


def test_days_count_when_nobody_looked_and_not_when_a_bird_is_excused() -> None:
    told = answered(
        rounds=TEN_DAYS,
        seen={"sits": "111xxxxxxx", "forgotten": "111.......", "missed": "1110000000"},
    )["birds"]
    assert told["sits"]["advice"] == "present"
    assert told["sits"]["unseen_rounds"] == told["sits"]["unseen_days"] == 0
    assert told["sits"]["still_here"] > 0.998
    assert told["forgotten"]["unseen_days"] == 7
    assert told["forgotten"]["unseen_rounds"] == 0
    assert told["forgotten"]["advice"] == told["missed"]["advice"] == "search"


@pytest.mark.parametrize(
    ("looks", "rounds", "days", "advice"),
    [
        ("1110x.x...", 1, 5, "present"),  # missed on the 4th; unseen on the 4th, 6th and 8th to 10th
        ("1110xxxxxx", 1, 1, "present"),
        ("...xxxxxxx", 0, 0, "present"),  # came on the 4th, excused at once
        ("...xx.....", 0, 5, "search"),
        ("1110000xxx", 4, 4, "search"),  # an alarm stands through an excuse
        ("1110000xx1", 0, 0, "present"),
    ],
)
def test_each_look_counts_as_the_contract_has_it(looks: str, rounds: int, days: int, advice: str) -> None:
    told = answered(
        rounds=TEN_DAYS,
        seen={"A01": looks, **{f"B{bird}": "1" * 10 for bird in range(8)}},
        max_unseen_days=4 if advice == "search" else 6,
        gone_per_year=0.001,
    )["birds"]["A01"]
    assert (told["unseen_rounds"], told["unseen_days"], told["advice"]) == (rounds, days, advice)


def test_days_without_any_round_count_unless_two_excuses_enclose_them() -> None:
    rounds = ["2026-03-01", "2026-03-04", "2026-03-09", "2026-03-10"]
    told = answered(rounds=rounds, seen={"gap": "1x.0", "away": "1xx0", "here": "1111"}, max_unseen_days=99)
    # gap: the 4th was excused, the 2nd, 3rd and 5th to 10th were not; away: the 4th to 9th were.
    assert told["birds"]["gap"]["unseen_days"] == 8
    assert told["birds"]["away"]["unseen_days"] == 3


def test_days_count_when_nobody_looked_between_two_misses() -> None:
    told = answered(
        rounds=["2026-03-01", "2026-03-02", "2026-03-05"],
        seen={"A01": "100", "A02": "111"},
        max_unseen_days=4,
    )
    assert told["birds"]["A01"]["unseen_rounds"] == 2
    assert told["birds"]["A01"]["unseen_days"] == 4
    assert told["birds"]["A01"]["advice"] == "search"


def test_three_misses_in_one_day_are_three_rounds_and_no_day() -> None:
    told = answered(
        rounds=["2026-03-01"] * 4, seen={"A01": "1000", "A02": "1111", "A03": "1111"}, max_unseen_days=1
    )
    assert told["birds"]["A01"]["unseen_rounds"] == 3
    assert told["birds"]["A01"]["unseen_days"] == 0
    assert 0.99 < told["birds"]["A01"]["still_here"] < 1.0, "it may have left between two rounds of one day"


def test_the_species_limit_holds_even_for_a_bird_that_is_hardly_ever_seen() -> None:
    shy = "1000010000" * 3
    rounds = [f"2026-0{month}-{day:02}" for month in (3, 4, 5) for day in range(1, 11)]
    told = answered(rounds=rounds, seen={"shy": shy, "bold": "1" * 30}, max_unseen_days=4)["birds"]["shy"]
    assert told["still_here"] > 0.9
    assert told["advice"] == "search"


def test_a_foggy_round_is_told_by_its_ease() -> None:
    seen = {f"A{bird:02}": "1111011111" if bird % 4 else "1111111111" for bird in range(20)}
    eases = [entry["ease"] for entry in answered(rounds=TEN_DAYS, seen=seen)["rounds"]]
    assert min(eases) == eases[4] < -1.0
    assert all(ease > 0 for r, ease in enumerate(eases) if r != 4)


def test_a_shy_bird_is_usually_seen_less() -> None:
    told = answered(rounds=TEN_DAYS, seen={"shy": "1010010101", "bold": "1111111111"})["birds"]
    assert told["shy"]["usual"] < 0.75 < told["bold"]["usual"] < 1.0


def test_a_doubtful_sighting_eases_the_mind_and_clears_nobody() -> None:
    seen = {"A01": "1111111100", "A02": "1111111111", "A03": "1111111110"}
    plain = answered(rounds=TEN_DAYS, seen=seen)["birds"]["A01"]
    doubtful = answered(rounds=TEN_DAYS, seen=seen, doubtful=[{"bird": "A01", "round": 9, "p": 0.9}])
    told = doubtful["birds"]["A01"]
    assert told["still_here"] > plain["still_here"]
    assert told["unseen_rounds"] == plain["unseen_rounds"] == 2
    assert told["still_here"] < 1.0


def test_a_sure_inference_is_still_no_observation() -> None:
    told = answered(
        rounds=TEN_DAYS,
        seen={"A01": "1110000000", "A02": "1111111111"},
        doubtful=[{"bird": "A01", "round": r, "p": 1.0} for r in range(3, 10)],
    )["birds"]["A01"]
    assert told["unseen_days"] == 7
    assert told["advice"] == "search"
    assert told["still_here"] < 1.0


def test_a_short_count_says_among_whom() -> None:
    told = answered(
        rounds=TEN_DAYS,
        seen={"A01": "1111111100", "A02": "1111111111", "A03": "1010101010", "sits": "1xxxxxxxxx"},
        counted=[None] * 9 + [2],
    )["missing"]
    assert told["birds"] == 1
    assert told["advice"] == "search"
    assert [entry["id"] for entry in told["among"]][:2] == ["A01", "A03"]
    assert "sits" not in {entry["id"] for entry in told["among"]}
    assert sum(entry["p"] for entry in told["among"]) == pytest.approx(1.0, abs=1e-9)


def test_a_full_count_sends_nobody() -> None:
    assert "missing" not in answered(rounds=TEN_DAYS[:2], seen={"A01": "11", "A02": "10"}, counted=[None, 2])


@pytest.mark.parametrize(
    ("document", "sentence"),
    [
        ({"rounds": ["2026-03-01"], "seen": {"A01": "X"}}, "seen.A01[0]: 'X' is no look"),
        ({"rounds": TEN_DAYS[:4], "seen": {"A01": "11 1"}}, "seen.A01[2]: ' ' is no look"),
        ({"rounds": TEN_DAYS[:4], "seen": {"A 1": "111"}}, 'seen["A 1"]: has 3 looks for 4 rounds'),
        ({"rounds": TEN_DAYS[:2], "seen": {"A01": 11}}, "seen.A01: 11 is no text"),
        ({"rounds": TEN_DAYS[1::-1], "seen": {}}, "rounds[1]: 2026-03-01 is before the round above it"),
        ({"rounds": ["2026-02-30"], "seen": {}}, 'rounds[0]: "2026-02-30" is no day'),
        ({"rounds": [], "seen": {}}, "rounds: has no round"),
        ({"rounds": TEN_DAYS, "seen": {}, "gone_per_year": 1}, "gone_per_year: 1.0 is no chance"),
        ({"rounds": TEN_DAYS, "sen": {}}, "sen: 'sen' is no key of this document; did you mean 'seen'?"),
        ({"rounds": TEN_DAYS, "seen": {}, "counted": [1]}, "counted: has 1 counts for 10 rounds"),
        (
            {"rounds": ["2026-03-01"], "seen": {"A": "1"}, "doubtful": [{"bird": "A", "round": 0, "p": 0.5}]},
            "doubtful[0]: A was seen in this round",
        ),
        (
            {"rounds": ["2026-03-01"], "seen": {"A": "0"}, "doubtful": [{"bird": "B", "round": 0, "p": 0.5}]},
            "doubtful[0].bird: 'B' is no bird of this document",
        ),
    ],
)
def test_a_document_that_cannot_be_right_is_refused_with_its_place(
    document: dict[str, Any], sentence: str
) -> None:
    assert refusal(**document).startswith(sentence)


def test_the_command_prints_json_and_a_table(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "rounds.json"
    path.write_text(
        json.dumps({"rounds": TEN_DAYS, "seen": {"A01": "1111111000", "A02": "1111111111"}}), encoding="utf-8"
    )
    assert main(["watch", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["birds"]["A01"]["advice"] == "search"
    assert main(["watch", str(path)]) == 0
    table = capsys.readouterr().out
    assert table.index("A01") < table.index("A02"), "the worrying bird comes first"
    assert "search" in table


def test_a_bad_look_exits_with_2_and_prints_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "rounds.json"
    path.write_text('{"rounds": ["2026-03-01"], "seen": {"A01": "2"}}', encoding="utf-8")
    assert main(["watch", str(path), "--json"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "seen.A01[0]: '2' is no look" in told.err


def test_a_flock_without_birds_has_nobody_to_watch() -> None:
    assert answered(rounds=TEN_DAYS, seen={})["birds"] == {}
