"""A rule is a value: it can be compared and kept."""

from __future__ import annotations

from tarsus.core.marks.rules import MarkRule


def test_equal_rules_are_one_value_whatever_order_they_are_told_in():
    one = MarkRule.of(
        {"M": "right leg", "F": "left leg"},
        {"F": {"right leg": 2, "left leg": 1}, "M": {"left leg": 2, "right leg": 0}},
    )
    other = MarkRule.of(
        {"F": "left leg", "M": "right leg"}, {"M": [{"left leg": 2}], "F": {"left leg": 1, "right leg": 2}}
    )
    assert one == other
    assert len({one, other}) == 1
    assert one.layouts("F") == ((("left leg", 1), ("right leg", 2)),)


def test_a_rule_differs_by_side_order_of_layouts_and_what_it_excludes():
    female = MarkRule.of({"F": "left leg"}, {"F": [{"right leg": 2}, {"left leg": 1, "right leg": 1}]})
    mirrored = MarkRule.of({"F": "right leg"}, {"F": [{"left leg": 2}, {"left leg": 1, "right leg": 1}]})
    turned = MarkRule.of({"F": "left leg"}, {"F": [{"left leg": 1, "right leg": 1}, {"right leg": 2}]})
    without = MarkRule.of(
        {"F": "left leg"},
        {"F": [{"right leg": 2}, {"left leg": 1, "right leg": 1}]},
        excluded=frozenset({"red"}),
    )
    assert len({female, mirrored, turned, without}) == 4


def test_fewer_bands_on_a_site_count_the_metal_and_keep_it():
    rule = MarkRule.of({"F": "left leg"}, {"F": {"left leg": 2, "right leg": 3}})
    assert rule.bands_on_a_site("F") == 3
    fewer = rule.with_at_most(2)
    assert fewer.metal_site("F") == "left leg"
    assert fewer.layouts("F") == ((("left leg", 1), ("right leg", 2)),)
    assert rule.with_at_most(1).layouts("F") == ((("right leg", 1),),)


def test_a_row_of_which_the_rule_does_not_speak_takes_nothing():
    rule = MarkRule.of({"F": "left leg"}, {"M": {"left leg": 1}})
    assert rule.rows() == ("F", "M")
    assert rule.layouts("U") == ((),)
    assert rule.metal_site("U") is None
    assert rule.row_of("F", juvenile=True) == "F"


def test_a_leg_is_whole_when_it_holds_what_any_row_puts_there_on_either_side():
    rule = MarkRule.of(
        {"F": "left tibia"},
        {"F": {"right tibia": 2}, "U": [{"left leg": 1}, {"left tibia": 1, "right leg": 3}]},
    )
    assert rule.whole_at() == {"left tibia": 2, "left leg": 3, "right tibia": 2, "right leg": 3}


def test_the_metal_counts_where_colours_share_its_leg():
    assert MarkRule.of({"F": "left leg"}, {"F": {"left leg": 2}}).whole_at() == {
        "left leg": 3,
        "right leg": 3,
    }
    assert MarkRule.of({"M": "right wing"}).whole_at() == {"left wing": 1, "right wing": 1}
    assert MarkRule().whole_at() == {}
