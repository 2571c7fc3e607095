"""Rules that a new park may begin with: on the side of the sex, as its birds are marked, no metal twice."""

from __future__ import annotations

import pytest

from tarsus.core.marks.first_rules import SEXES, first_rules
from tarsus.core.marks.marks import METAL
from tarsus.core.marks.rules import MarkRule


def test_the_metal_of_a_rule_sits_on_the_side_that_the_park_chose() -> None:
    for rule in first_rules("tibia", "right"):
        assert (rule.metal["F"], rule.metal["M"]) == ("right tibia", "left tibia")
        assert rule.metal["U"] is None, "an unsexed bird's metal would tell a sex"
    for rule in first_rules("leg", ""):
        assert set(rule.metal.values()) == {"left leg"}, "one leg for all where the side tells nothing"


def test_what_most_birds_wear_is_offered_first_and_the_other_sex_mirrors_it() -> None:
    worn = ({"F": "left leg"}, {"F": {"right leg": 2, "left leg": 1}}, 17)
    rule, *_ = first_rules("leg", "left", worn)
    assert rule.key == "worn"
    assert "17 banded birds" in rule.why
    assert rule.metal["M"] == "right leg"
    assert rule.colours["M"] == {"left leg": 2, "right leg": 1}
    assert (rule.metal["U"], rule.colours["U"]) == (None, {"left leg": 1, "right leg": 1})


@pytest.mark.parametrize("level", ["leg", "tibia", "wing"])
@pytest.mark.parametrize("side", ["left", "right", ""])
def test_every_example_is_marked_as_its_rule_says(level: str, side: str) -> None:
    for rule in first_rules(level, side):
        said = MarkRule.of(rule.metal, rule.colours)
        for sex in SEXES:
            worn = rule.example(sex, never=frozenset({"yellow"})).as_mapping()
            bands = [band for stack in worn.values() for band in stack]
            assert bands.count(METAL) == (said.metal_site(sex) is not None)
            assert "yellow" not in bands, "a colour that is never proposed is not drawn either"
            counts = {site: sum(band != METAL for band in stack) for site, stack in worn.items()}
            assert {site: n for site, n in counts.items() if n} == dict(rule.colours[sex])
            assert max(len(stack) for stack in worn.values()) <= 2, "bands hurt: as few as will do"
