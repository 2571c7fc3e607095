"""The settings through the door: what is kept, what stays as it was, and what is refused in which words."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from deeds.test_door import Teller, says
from tarsus.actions.settings.exhibits import save_exhibit, save_place
from tarsus.actions.settings.people import save_person, set_eyes
from tarsus.actions.settings.species import save_species, set_limits, set_rule
from tarsus.core.errors import MalformedInput
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]

LIMITS = {
    "female_low_g": 250.0,
    "female_high_g": 330.0,
    "male_low_g": 270.0,
    "male_high_g": 350.0,
    "mass_source": "our own scale",
    "weight_prompt_percent": 8.0,
    "weight_alarm_percent": 12.0,
    "weigh_every_days": 30,
    "health_check_every_days": 60,
    "leg_grown_at_days": 25,
    "grown_plumage_at_days": 400,
    "chick_check_every_days": 3,
    "moult_from_month": 7,
    "moult_to_month": 9,
    "rest_days": 14,
    "minutes_from_chase": 25,
    "too_hot_c": 27.0,
}


def changes_of(table: str) -> list[tuple[str, Any, Any, int]]:
    """What the register remembers of changed settings: field, before, after, by whom."""
    told = rows.Change.objects.filter(table=table).order_by("pk")
    return [(one.field, one.before, one.after, one.by_id) for one in told]


def test_the_vets_limits_are_kept_and_the_rest_of_the_species_stays(says: Teller, park: Wendlebrook) -> None:
    says.done("ilse", "limits_set", species=park.avocet, **LIMITS)
    row = rows.Species.objects.get(pk=park.avocet)
    assert {name: getattr(row, name) for name in LIMITS} == LIMITS
    assert (row.name, row.lookalike, row.max_unseen_days) == ("Pied avocet", "avocet", 3)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        (
            {"female_low_g": 300, "female_high_g": 250},
            "female_high_g: 250 g is below the lower weight, 300 g; exchange them",
        ),
        (
            {"male_low_g": 300, "male_high_g": 299.5},
            "male_high_g: 299.5 g is below the lower weight, 300 g; exchange them",
        ),
        (
            {"weight_prompt_percent": 9, "weight_alarm_percent": 9},
            "weight_alarm_percent: the second percentage must be above the first, at most 100",
        ),
        (
            {"weight_prompt_percent": 0},
            "weight_alarm_percent: the second percentage must be above the first, at most 100",
        ),
        ({"moult_from_month": 7}, "moult_to_month: write both months of the moult, or neither"),
        ({"moult_to_month": 9}, "moult_to_month: write both months of the moult, or neither"),
    ],
)
def test_limits_that_contradict_each_other_are_refused(
    says: Teller, park: Wendlebrook, said: dict[str, Any], reason: str
) -> None:
    refused = says.tell("ilse", "limits_set", species=park.avocet, **said)
    assert refused.reason == reason
    assert not changes_of("species")


def test_equal_weights_and_a_hundred_per_cent_are_no_contradiction(says: Teller, park: Wendlebrook) -> None:
    says.done("ilse", "limits_set", species=park.avocet, male_low_g=300, male_high_g=300)
    says.done("ilse", "limits_set", species=park.avocet, weight_prompt_percent=99, weight_alarm_percent=100)


def test_a_species_keeps_what_is_not_said_and_says_what_changed(says: Teller, park: Wendlebrook) -> None:
    answer = says.done(
        "maren", "species_saved", species=park.ruff, max_unseen_days=4, excluded=["red", "blue"]
    )
    assert answer.wrote == {"species": park.ruff}
    row = rows.Species.objects.get(pk=park.ruff)
    assert (row.name, row.max_unseen_days, row.sites) == ("Ruff", 4, ["left leg", "right leg"])
    assert set(row.excluded_colours.values_list("name", flat=True)) == {"red", "blue"}
    maren = park.actors.maren
    assert ("max_unseen_days", 5, 4, maren) in changes_of("species")
    assert ("excluded_colours", [], ["blue", "red"], maren) in changes_of("species")
    says.done("maren", "species_saved", species=park.ruff, sites=["left leg"])
    row.refresh_from_db()
    assert row.sites == ["left leg"]
    assert row.excluded_colours.count() == 2, "colours that are not spoken of stay as they are"
    says.done("maren", "species_saved", species=park.ruff, excluded=[])
    assert not row.excluded_colours.exists()
    assert changes_of("species")[-1] == ("excluded_colours", ["blue", "red"], [], maren)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ({"name": " "}, "name: is empty; write the species' name"),
        ({"lookalike": " "}, "lookalike: is empty; write one word for birds that look alike"),
        ({"lookalike": "ruff/reeve"}, "lookalike: a stroke cannot stand in it; write one word"),
        ({"name": "Pied avocet"}, "name: Pied avocet is a species here already; change that one"),
        ({"max_unseen_days": 0}, "max_unseen_days: write 1 to 365 days"),
        ({"max_unseen_days": 366}, "max_unseen_days: write 1 to 365 days"),
        (
            {"leg_diameter_mm": 0},
            "leg_diameter_mm: write the diameter where the band sits, more than 0 mm",
        ),
        ({"excluded": ["puce"]}, "excluded: 'puce' is no colour of the palette"),
    ],
)
def test_a_species_that_cannot_be_is_refused(
    says: Teller, park: Wendlebrook, said: dict[str, Any], reason: str
) -> None:
    refused = says.tell("maren", "species_saved", species=park.ruff, **said)
    assert refused.reason.startswith(reason), refused.reason
    assert not changes_of("species")


@pytest.mark.parametrize("days", [1, 365])
def test_a_species_may_be_unseen_for_a_day_or_a_year(says: Teller, park: Wendlebrook, days: int) -> None:
    says.done("maren", "species_saved", species=park.ruff, name="Ruff", max_unseen_days=days)


def test_blanks_around_and_within_a_name_are_no_part_of_it(says: Teller, park: Wendlebrook) -> None:
    says.done("maren", "species_saved", species=park.ruff, name="  The   ruff ", lookalike=" ruff ")
    row = rows.Species.objects.get(pk=park.ruff)
    assert (row.name, row.lookalike) == ("The ruff", "ruff")


RULE = {
    "from_on": "2026-06-01",
    "metal": {"F": "left leg", "M": "right leg", "U": None},
    "colours": {"F": {"right leg": 2}, "M": {"left leg": 2, "right leg": 0}},
}


def test_a_rule_is_kept_for_all_three_sexes_and_one_of_the_same_day_takes_its_place(
    says: Teller, park: Wendlebrook
) -> None:
    first = says.done(
        "maren", "rule_set", species=park.ruff, **RULE, repeat_on_a_site=False, mates_match=True
    )
    row = rows.Rule.objects.get()
    assert first.wrote == {"rule": row.pk}
    assert (row.species_id, row.from_on, row.recorded_by_id) == (
        park.ruff,
        date(2026, 6, 1),
        park.actors.maren,
    )
    assert row.metal == {"F": "left leg", "M": "right leg", "U": None}
    assert row.colours == {"F": {"right leg": 2}, "M": {"left leg": 2}, "U": {}}
    assert (row.repeat_on_a_site, row.mates_match) == (False, True)
    again = says.done("maren", "rule_set", species=park.ruff, **{**RULE, "metal": {}})
    row.refresh_from_db()
    assert again.wrote == first.wrote
    assert row.metal == {"F": None, "M": None, "U": None}
    says.done("maren", "rule_set", species=park.ruff, **{**RULE, "from_on": "2026-06-02"})
    assert rows.Rule.objects.count() == 2


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ({"metal": {"X": "left leg"}}, "metal: 'X' is no sex"),
        ({"colours": {"X": {}}}, "metal: 'X' is no sex"),
        (
            {"colours": {"F": {"left wing": 1}}},
            "colours: left wing is not allowed for Ruff; allow the site first",
        ),
        ({"metal": {"U": "left wing"}}, "colours: left wing is not allowed for Ruff; allow the site first"),
        (
            {"metal": {}, "colours": {"M": {"left leg": 5}}},
            "colours: 5 colours on the left leg are too many; at most 4 bands",
        ),
        (
            {"metal": {"M": "left leg"}, "colours": {"M": {"left leg": 4}}},
            "colours: 4 colours on the left leg are too many; at most 4 bands",
        ),
    ],
)
def test_a_rule_that_no_band_can_follow_is_refused(
    says: Teller, park: Wendlebrook, said: dict[str, Any], reason: str
) -> None:
    refused = says.tell("maren", "rule_set", species=park.ruff, **{**RULE, **said})
    assert refused.reason.startswith(reason), refused.reason
    assert not rows.Rule.objects.exists()


def test_four_bands_on_a_site_are_allowed_and_an_earlier_rule_is_not_slipped_in(
    says: Teller, park: Wendlebrook
) -> None:
    full = {**RULE, "metal": {"F": "left leg"}, "colours": {"F": {"left leg": 3, "right leg": 4}}}
    says.done("maren", "rule_set", species=park.ruff, **full)
    refused = says.tell("maren", "rule_set", species=park.ruff, **{**RULE, "from_on": "2026-05-31"})
    assert refused.reason == "from_on: a rule of 2026-06-01 exists; choose that day or a later one"


@pytest.mark.parametrize(
    ("kind", "who", "said", "reason"),
    [
        (
            "exhibit_saved",
            "maren",
            {"name": "Reed House"},
            "name: Reed House is an exhibit already; choose another name",
        ),
        (
            "exhibit_saved",
            "maren",
            {"exhibit": "shingle", "name": "Shingle", "closed_on": "2026-06-01"},
            "closed_on: 8 birds live in Shingle; move them before it is closed",
        ),
        (
            "place_saved",
            "maren",
            {"exhibit": "shingle", "name": "south pool", "what": "pool"},
            "name: south pool is a place of Shingle Aviary already; choose another name",
        ),
        (
            "place_saved",
            "maren",
            {"exhibit": "reed", "place": "south_pool", "name": "pool", "what": "pool"},
            "place: south pool is a place of another exhibit; open it there",
        ),
        (
            "person_saved",
            "dunstan",
            {"login": "Tilda", "display_name": "T", "role": "keeper"},
            "login: tilda is somebody's name already; choose another",
        ),
        (
            "colour_saved",
            "maren",
            {"name": "Red", "letter": "q", "hexed": "#aa0000"},
            "name: red is in the palette already; change that one, or choose another name",
        ),
        (
            "colour_saved",
            "maren",
            {"name": "metal", "letter": "q", "hexed": "#aa0000"},
            "name: 'metal' means something else in a reading; call the colour otherwise",
        ),
        (
            "colour_saved",
            "maren",
            {"name": "mauve", "letter": "q", "hexed": "mauve"},
            "hexed: 'mauve' is no sRGB colour; write it as '#c8102e'",
        ),
        (
            "colour_saved",
            "maren",
            {"name": "mauve", "letter": "q", "hexed": "#aa77cc", "faded_hex": "grey"},
            "faded_hex: 'grey' is no sRGB colour; write it as '#c8102e'",
        ),
        (
            "colour_saved",
            "maren",
            {"name": "mauve", "letter": "-", "hexed": "#aa77cc"},
            "letter: '-' cannot stand in a band; choose one letter, or two",
        ),
        (
            "colour_saved",
            "maren",
            {"name": "mauve", "letter": "m", "hexed": "#aa77cc"},
            "letter: m is the letter of metal; choose another",
        ),
    ],
)
def test_a_setting_that_cannot_be_is_refused_in_one_sentence(
    says: Teller, park: Wendlebrook, kind: str, who: str, said: dict[str, Any], reason: str
) -> None:
    rows_of = {"exhibit", "place"}
    named = {key: getattr(park, value) if key in rows_of else value for key, value in said.items()}
    if kind == "exhibit_saved":
        named.setdefault("purpose", "display")
    refused = (
        says.tell(who, kind, is_active=True, **named)
        if kind == "person_saved"
        else says.tell(who, kind, **named)
    )
    assert refused.reason == reason


def test_a_letter_is_one_colours_and_a_worn_colour_keeps_its_name(says: Teller, park: Wendlebrook) -> None:
    red, white = (rows.Colour.objects.get(name=name) for name in ("red", "white"))
    mauve = {"name": "mauve", "hexed": "#AA77CC"}
    refused = says.tell("maren", "colour_saved", letter=white.letter, **mauve)
    assert refused.reason == f"letter: {white.letter} is the letter of white; choose another"
    refused = says.tell(
        "maren", "colour_saved", colour=red.pk, letter=red.letter, name="scarlet", hexed="#aa0000"
    )
    assert refused.reason == "name: red is worn and read by that name; add a new colour instead"
    says.done("maren", "colour_saved", colour=red.pk, letter=red.letter, name="RED ", hexed="#AA0000")
    red.refresh_from_db()
    assert (red.name, red.hex) == ("red", "#aa0000")
    assert ("hex", "#aa0000", park.actors.maren) in [(f, a, by) for f, _, a, by in changes_of("colour")]


def test_the_only_administrator_stays_one(says: Teller, park: Wendlebrook) -> None:
    dunstan = park.actors.dunstan
    me = {"person": dunstan, "login": "dunstan", "display_name": "Dunstan"}
    for role, active in (("keeper", True), ("administrator", False)):
        refused = says.tell("dunstan", "person_saved", **me, role=role, is_active=active)
        assert refused.reason == "role: Dunstan is the only administrator; make somebody else one first"
    says.done(
        "dunstan",
        "person_saved",
        login="Wren  Reed",
        display_name=" Wren ",
        role="administrator",
        is_active=True,
    )
    wren = rows.Person.objects.get(login="wren.reed")
    assert (wren.display_name, wren.has_usable_password()) == ("Wren", False)
    save_person(by=wren.pk, person_id=dunstan, login="dunstan", display_name="Dunstan", role="keeper")
    assert rows.Person.objects.get(pk=dunstan).role == "keeper"


def test_a_password_is_set_and_never_told(says: Teller, park: Wendlebrook) -> None:
    refused = says.tell("dunstan", "password_set", person=park.actors.tilda, password="short")
    assert refused.place == "password"
    assert "at least 10 characters" in refused.reason
    says.done("dunstan", "password_set", person=park.actors.tilda, password="reeds-in-the-wind")
    wrong = says.tell("tilda", "own_password_set", current="reeds", password="wind-in-the-reeds")
    assert "is not your password" in wrong.reason
    says.done("tilda", "own_password_set", current="reeds-in-the-wind", password="wind-in-the-reeds")
    tilda = rows.Person.objects.get(pk=park.actors.tilda)
    assert tilda.check_password("wind-in-the-reeds")
    told = [(field, before, after) for field, before, after, _ in changes_of("person")]
    assert told == [("password", None, "set anew")] * 2
    assert [by for *_, by in changes_of("person")] == [park.actors.dunstan, park.actors.tilda]
    assert "reeds" not in str(list(rows.ToldDeed.objects.values_list("contents", flat=True)))


def test_eyes_are_told_by_whom_they_belong_to(says: Teller, park: Wendlebrook) -> None:
    says.done("tilda", "eyes_set", reads_as="trained", colour_vision="deutan", vision_severity=0.4)
    tilda = rows.Person.objects.get(pk=park.actors.tilda)
    assert (tilda.reads_as, tilda.colour_vision, tilda.vision_severity) == ("trained", "deutan", 0.4)
    assert rows.Person.objects.get(pk=park.actors.oswin).colour_vision != "deutan"


@pytest.mark.parametrize(
    ("save", "said", "place", "reason"),
    [
        (save_species, {"values": {"wings": 2}, "excluded": None}, "wings", "is no field that is set here"),
        (
            save_species,
            {"values": {"name": "Stilt", "lookalike": "stilt", "form": "fins"}, "excluded": None},
            "form",
            "'fins' is no way of telling birds apart",
        ),
        (
            save_species,
            {"values": {"name": "Stilt", "lookalike": "stilt", "sites": ["beak"]}, "excluded": None},
            "sites",
            "'beak' is no site",
        ),
        (set_limits, {"species_id": -1, "values": {}}, "species", "-1"),
        (save_exhibit, {"name": "Fen", "purpose": "shop"}, "purpose", "'shop' is no purpose"),
        (save_place, {"exhibit_id": -1, "name": "pool"}, "exhibit", "-1"),
        (
            save_person,
            {"login": "x", "display_name": "X", "role": "king"},
            "role",
            "'king' is no role",
        ),
        (
            set_eyes,
            {"person_id": -1, "reads_as": "trained", "colour_vision": "usual", "vision_severity": 0},
            "person",
            "-1",
        ),
        (
            set_rule,
            {"species_id": -1, "from_on": date(2026, 6, 1), "metal": {}, "colours": {}},
            "species",
            "-1",
        ),
    ],
)
def test_whoever_calls_a_setting_by_itself_is_refused_as_well(
    park: Wendlebrook, save: Any, said: dict[str, Any], place: str, reason: str
) -> None:
    with pytest.raises(MalformedInput) as refusal:
        save(by=park.actors.maren, **said)
    assert refusal.value.place == place
    assert reason in str(refusal.value)
    with pytest.raises(MalformedInput, match=r"^by: ") as nobody:
        save(by=-1, **said)
    assert nobody.value.place == "by"


def test_a_second_step_counts_from_a_key_of_ours_alone(says: Teller, park: Wendlebrook) -> None:
    tilda = rows.Person.objects.get(login="tilda")
    tilda.set_password("a long walk to the north spit")
    tilda.save()
    for secret in ("AA", "!!!!", "A" * 31, "1" * 32, "é" * 32, "a" * 32):
        told = {"current": "a long walk to the north spit", "secret": secret, "code": "123456"}
        assert says.tell("tilda", "second_step_set", **told).reason == (
            "secret: is no key that Tarsus gave; open the page anew and take the one it shows"
        )


@pytest.mark.parametrize("number", ["9" * 20, str(2**63), "²", "-1", ""])
def test_a_session_that_no_register_could_number_is_none(
    says: Teller, park: Wendlebrook, number: str
) -> None:
    reason = says.tell("tilda", "own_sessions_ended", sessions=[number]).reason
    assert reason.startswith("sessions"), reason
    of_other = {"person": park.actors.tilda, "sessions": [number]}
    assert says.tell("dunstan", "sessions_ended", **of_other).reason.startswith("sessions")
