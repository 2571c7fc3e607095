"""`tarsus assign` and `tarsus reconcile` as a shell sees them."""

from __future__ import annotations

import json
from dataclasses import dataclass

import pytest

from tarsus.cli.main import main

BIRDS = [
    {"id": "A01", "sex": "F", "marks": {"left leg": ["metal"], "right leg": ["yellow", "green"]}},
    {"id": "A02", "sex": "F", "marks": {"left leg": ["metal"], "right leg": ["yellow", "blue"]}},
    {"id": "A03", "sex": "M", "marks": {"left leg": ["yellow", "green"], "right leg": ["metal"]}},
]
RULE = {
    "metal": {"F": "left leg", "M": "right leg", "U": None},
    "colours": {"F": {"right leg": 2}, "M": {"left leg": 2}, "U": {"left leg": 1, "right leg": 1}},
    "repeat_on_a_site": True,
    "seconds": 5,
}


@dataclass
class Told:
    returncode: int
    stdout: str
    stderr: str


@pytest.fixture
def tarsus(tmp_path, capsys):
    def run(command, document, *options):
        path = tmp_path / "document.json"
        path.write_text(json.dumps(document), encoding="utf-8")
        status = main([command, str(path), *options])
        printed = capsys.readouterr()
        return Told(status, printed.out, printed.err)

    return run


@pytest.fixture
def refused(tarsus):
    def run(command, document):
        told = tarsus(command, document, "--json")
        assert (told.returncode, told.stdout) == (2, "")
        return told.stderr.strip()

    return run


def test_a_round_is_weighed_together(tarsus):
    sure = {"left leg": ["metal"], "right leg": ["yellow", "green"]}
    part = {"left leg": ["metal"], "right leg": ["yellow", "?"]}
    told = tarsus("reconcile", {"birds": BIRDS, "groups": [[sure, part, {}], []]}, "--json")
    answer = json.loads(told.stdout)
    assert told.returncode == 0
    assert answer["method"] == "exact"
    assert [best["id"] for best in answer["groups"][0]] == ["A01", "A02", "A03"]
    assert answer["groups"][1] == []
    assert set(answer["seen"]) == {"A01", "A02", "A03"}
    assert answer["seen"]["A01"] == pytest.approx(1.0, abs=0.01)


def test_two_birds_in_view_that_read_alike_tell_a_poor_light_where_one_is_asked_about(tarsus, refused):
    alike = {"left leg": ["metal"], "right leg": ["yellow", "green"]}
    birds = [
        {"id": who, "marks": {"left leg": ["metal"], "right leg": [top, "green"]}}
        for who, top in (("A01", "yellow"), ("A02", "white"))
    ]
    document = {"birds": birds, "groups": [[alike, alike]], "strangers": 0.0}
    plain = json.loads(tarsus("reconcile", document, "--json").stdout)
    assert "states" not in plain
    one = json.loads(
        tarsus("reconcile", document | {"groups": [[alike]], "light": "not said"}, "--json").stdout
    )
    both = json.loads(tarsus("reconcile", document | {"light": "not said"}, "--json").stdout)
    assert sum(state["p"] for state in both["states"]) == pytest.approx(1.0)
    assert both["states"][0] == {"light": "bright", "mud": False, "p": pytest.approx(both["states"][0]["p"])}
    assert both["states"][0]["p"] < one["states"][0]["p"] - 0.1
    told = json.loads(tarsus("reconcile", document | {"light": "dusk", "mud": True}, "--json").stdout)
    likeliest = max(told["states"], key=lambda state: state["p"])
    assert (likeliest["light"], likeliest["mud"]) == ("dusk", True)
    assert "light: 'fog' is no light" in refused("reconcile", document | {"light": "fog"})
    assert "mud: 1 is neither" in refused("reconcile", document | {"mud": 1})


def test_a_reading_may_say_of_which_lookalike_group_the_bird_is(tarsus, refused):
    birds = [
        bird | {"lookalike": kind} for bird, kind in zip(BIRDS, ("ruff", "avocet", "avocet"), strict=True)
    ]
    document = {"birds": birds, "groups": [[{"lookalike": "avocet", "left leg": ["metal"]}]]}
    answer = json.loads(tarsus("reconcile", document, "--json").stdout)
    assert answer["seen"]["A01"] == 0.0
    assert answer["seen"]["A02"] > 0.9
    document["groups"][0][0]["lookalike"] = "avocets"
    assert "groups[0][0].lookalike" in refused("reconcile", document)


def test_more_birds_in_view_than_there_are_need_strangers(tarsus, refused):
    document = {"birds": BIRDS, "groups": [[{}, {}, {}, {}]], "strangers": 0}
    assert "groups[0]" in refused("reconcile", document)
    told = tarsus("reconcile", document | {"strangers": 0.01}, "--json")
    assert json.loads(told.stdout)["seen"]["A01"] > 0.9


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"groups": [[{"left leg": ["tael"]}]]}, 'groups[0][0]["left leg"][0]'),
        ({"groups": [{"left leg": []}]}, "groups[0]"),
        ({"strangers": 2}, "strangers"),
        ({"birds": []}, "birds"),
        ({"flock": []}, "flock"),
    ],
)
def test_a_wrong_round_is_refused_with_its_place(refused, change, place):
    assert place in refused("reconcile", {"birds": BIRDS, "groups": []} | change)


def test_marks_are_chosen_for_every_wanted_bird(tarsus):
    document = {
        "rule": RULE,
        "worn": BIRDS,
        "wanted": [{"id": "new-1", "sex": "F"}, {"id": "new-2", "sex": "M", "mate": "A01"}, {"id": "new-3"}],
        "stock": {"red": 12, "blue": 3, "white": 4},
    }
    told = tarsus("assign", document, "--json")
    again = tarsus("assign", document, "--json")
    answer = json.loads(told.stdout)
    assert told.stdout == again.stdout
    female, male, unsexed = (bird["marks"] for bird in answer["marks"])
    assert female["left leg"] == ["metal"]
    assert male["right leg"] == ["metal"]
    assert set(unsexed) == {"left leg", "right leg"}
    assert 0 <= answer["lower_bound"] <= answer["misidentified"] < 0.01
    assert set(answer["worst_pair"]) <= {"A01", "A02", "A03", "new-1", "new-2", "new-3"}
    used = [band for marks in (female, male, unsexed) for bands in marks.values() for band in bands]
    assert answer["left_in_stock"] == {
        colour: count - used.count(colour) for colour, count in document["stock"].items()
    }


def test_a_wanted_clarity_is_reached_with_as_few_bands_as_will_do(tarsus):
    document = {
        "rule": RULE | {"clarity": 0.05},
        "wanted": [{"id": "new-1", "sex": "F"}, {"id": "new-2", "sex": "F"}],
    }
    answer = json.loads(tarsus("assign", document, "--json").stdout)
    assert answer["clarity_reached"] is True
    assert [len(bird["marks"]["right leg"]) for bird in answer["marks"]] == [1, 1]


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"wanted": []}, "wanted"),
        ({"wanted": [{"id": "A01", "sex": "F"}]}, "wanted[0].id"),
        ({"wanted": [{"id": "new-1", "sex": "X"}]}, "wanted[0].sex"),
        ({"wanted": [{"id": "new-1", "sex": "F", "mate": "A09"}]}, "wanted[0].mate"),
        ({"rule": {"metal": {"F": "left toe"}}}, "rule.metal.F"),
        ({"rule": {"colours": {"M": {"left leg": 2}}}}, "wanted[0].sex"),
        ({"rule": RULE | {"excluded": ["rde"]}}, "rule.excluded[0]"),
        ({"rule": RULE | {"colours": {"F": {"right leg": 9}}}}, 'rule.colours.F["right leg"]'),
        ({"rule": RULE | {"speed": 3}}, "rule.speed"),
        ({"stock": {"tael": 3}}, "stock.tael"),
        ({"stock": {"red": 1}}, "0 of 1"),
        ({"stock": {"red": 0}}, "0 of 1"),
        ({"worn": [], "wanted": [{"id": "new-1", "sex": "F", "prior": 0}]}, "wanted"),
    ],
)
def test_a_wrong_wish_is_refused_with_its_place(refused, change, place):
    assert place in refused(
        "assign", {"rule": RULE, "worn": BIRDS, "wanted": [{"id": "new-1", "sex": "F"}]} | change
    )


def test_without_json_a_table_for_people_is_printed(tarsus):
    told = tarsus("assign", {"rule": RULE, "worn": BIRDS, "wanted": [{"id": "new-1", "sex": "F"}]})
    assert told.returncode == 0
    assert "new-1" in told.stdout
    assert "No choice of marks can go below" in told.stdout
