"""The pages of the marking desk, by people with different rights."""

from __future__ import annotations

import json
from datetime import date

import pytest
from django.urls import reverse

from pages import shown
from tarsus.records import models as rows
from wendlebrook import BEGUN

RULE = {
    "metal": {"F": "left tibia", "M": "right tibia"},
    "colours": {"F": {"right tibia": 2}, "M": {"left tibia": 2}, "U": {"left tibia": 1}},
}


@pytest.fixture
def dulse(garden):
    rows.Rule.objects.create(
        species_id=garden.avocet, from_on=date(2026, 1, 1), recorded_by_id=garden.actors.maren, **RULE
    )
    bird = rows.Bird.objects.create(
        species_id=garden.avocet, house_name="Dulse", recorded_by_id=garden.actors.tilda
    )
    rows.Stay.objects.create(
        bird=bird, exhibit_id=garden.shingle, from_on=BEGUN, recorded_by_id=garden.actors.tilda
    )
    return bird


def address(garden, name="marking-desk-of", *more):
    return reverse(name, args=[garden.shingle, "avocet", *more])


def test_the_lead_sees_what_is_proposed_and_keeps_it(garden, signed_in, dulse):
    maren = signed_in("maren")
    page = shown(maren.get(address(garden)))
    assert "Dulse" in page
    assert "wears no band yet" in page
    assert "Tarsus advises" in page
    marks = {"left tibia": ["blue"]}
    told = maren.post(
        address(garden, "marking-keep"), {"bird": dulse.pk, "marks": json.dumps(marks)}, follow=True
    )
    assert "Kept for 1 bird" in shown(told)
    planned = rows.PlannedMarks.objects.get()
    assert (planned.marks, planned.planned_by_id) == (marks, garden.actors.maren)
    maren.post(address(garden, "marking-drop", planned.pk))
    assert rows.PlannedMarks.objects.get().dropped_at is not None


def test_what_is_no_mark_is_told_and_not_kept(garden, signed_in, dulse):
    for marks in ('{"left tibia": ["tael"]}', "[]", "no json"):
        told = signed_in("maren").post(
            address(garden, "marking-keep"), {"bird": dulse.pk, "marks": marks}, follow=True
        )
        assert "Not kept" in shown(told)
    assert not rows.PlannedMarks.objects.exists()


def test_a_keeper_may_neither_look_nor_keep(garden, signed_in, dulse):
    tilda = signed_in("tilda")
    assert tilda.get(address(garden)).status_code == 403
    told = tilda.post(address(garden, "marking-keep"), {"bird": dulse.pk, "marks": '{"left tibia": ["red"]}'})
    assert told.status_code == 403
    assert not rows.PlannedMarks.objects.exists()


def test_a_flock_without_a_rule_says_where_to_set_one(garden, signed_in):
    page = shown(signed_in("maren").get(reverse("marking-desk-of", args=[garden.shingle, "ruff"])))
    assert "There is no rule for this species yet" in page


def test_a_flock_that_does_not_live_there_is_not_found(garden, signed_in):
    assert signed_in("maren").get(reverse("marking-desk-of", args=[garden.shingle, "kea"])).status_code == 404


def test_a_proposal_is_looked_at_beside_a_look_alike(garden, signed_in, dulse):
    maren = signed_in("maren")
    at = reverse("pair", args=[garden.shingle, "avocet", dulse.pk, garden["Samphire"]])
    assert "One of them wears no bands" in shown(maren.get(at))
    page = shown(maren.get(at, {"one": '{"left tibia":["metal"],"right tibia":["yellow","lime"]}'}))
    assert "Drawn with the marks proposed for Dulse" in page
    assert "of Dulse names Samphire" in page


@pytest.mark.parametrize("marks", ["{", "[]", '{"left tibia": ["plaid"]}', '{"left ear": ["red"]}', "{1:2}"])
def test_an_address_with_marks_that_are_none_is_not_found(garden, signed_in, dulse, marks):
    at = reverse("pair", args=[garden.shingle, "avocet", garden["Samphire"], garden["Kelp"]])
    assert signed_in("maren").get(at).status_code == 200
    refused = signed_in("maren").get(at, {"one": marks})
    assert refused.status_code == 404
    assert "one flock of the marks" not in shown(refused), "no look-alike group is called so"


def test_the_list_leads_to_the_flock(garden, signed_in, dulse):
    page = shown(signed_in("maren").get(reverse("marking-desk")))
    assert address(garden) in page


def test_an_own_choice_is_judged_where_it_was_typed_and_a_slip_is_named(garden, signed_in, dulse):
    maren = signed_in("maren")
    typed = {"wish": dulse.pk, "at left tibia": "metal", "at right tibia": "lime over gren"}
    page = shown(maren.get(address(garden), typed))
    assert "did you mean" in page
    assert '<a href="#own-right-tibia">Right tibia</a>' in page
    assert 'id="own-right-tibia"' in page
    assert 'value="lime over gren"' in page, "what was typed stays to be mended"
    page = shown(maren.get(address(garden), typed | {"at right tibia": "lime over green"}))
    assert "A reading would cost" in page
    assert "Save for Dulse" in page
    worn = {"wish": dulse.pk, "at left tibia": "metal", "at right tibia": "yellow over green"}
    assert "Samphire wears these marks." in shown(maren.get(address(garden), worn))
    assert maren.get(address(garden), {"wish": 999_999, "at left tibia": "metal"}).status_code == 200


def test_the_fewest_changes_are_shown_when_they_are_asked_for(garden, signed_in, dulse):
    maren = signed_in("maren")
    assert "Show the fewest birds to re-band" in shown(maren.get(address(garden)))
    page = shown(maren.get(address(garden), {"changes": "1"}))
    assert "Change " in page or "Every two birds are told apart" in page
    assert "data-print" in page
