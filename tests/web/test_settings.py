"""Settings: bad input comes back at its field, nothing is lost, and a change is kept with what it was."""

from __future__ import annotations

import json
from collections.abc import Callable
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from pages import shown
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

Browser = Callable[[str], Client]

PARK: dict[str, Any] = {
    "name": "Wendlebrook Bird Garden",
    "time_zone": "Europe/London",
    "female_side": "left",
    "male_side": "right",
    "metal_letter": "m",
    "reader": "trained",
    "sureness": "0.95",
    "wanted_misnaming": "0.01",
    "gone_per_year": "0.05",
    "strangers": "0.001",
    "bands_per_leg": "2",
    "rest_days": "21",
    "minutes_from_chase": "20",
    "too_hot_c": "25",
    "catch_until_hour": "9",
    "condition_scale": "5",
    "marks_rest_days": "365",
    "pictures_days": "90",
}


@pytest.mark.parametrize(
    ("field", "wrong", "said"),
    [
        ("time_zone", "Europe/Lodnon", "did you mean &#x27;Europe/London&#x27;?"),
        ("male_side", "left", "is the females&#x27; side too; choose the other"),
        ("metal_letter", "R", "R is the letter of red; choose another."),
        ("sureness", "0.2", "0.2 is out of range; give 0.5 to 0.999"),
        ("wanted_misnaming", "0.9", "write more than 0 and less than 0.5"),
        ("name", "   ", "Nothing is written here yet; it is needed."),
        ("bands_per_leg", "9", "9 bands are not drawn; write 1 to 4."),
    ],
)
def test_what_cannot_be_set_is_said_at_its_field_and_nothing_is_lost(
    field: str, wrong: str, said: str, garden: Wendlebrook, signed_in: Browser
) -> None:
    sent = {**PARK, "too_hot_c": "26.5", field: wrong}
    answer = signed_in("maren").post("/settings/park/", sent)
    text = shown(answer)
    assert answer.status_code == 422
    assert said.lower() in text.lower()
    at_field = text[text.index(f'id="id_{field}_error"') :]
    assert said.lower() in at_field[: at_field.index("</p>")].lower()
    assert 'value="26.5"' in text, "what was typed elsewhere is still there"
    assert rows.Park.objects.get().too_hot_c == 25.0


def test_a_change_of_the_park_is_kept_with_what_it_was_and_by_whom(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    answer = signed_in("maren").post("/settings/park/", {**PARK, "too_hot_c": "27"})
    assert answer.status_code == 302
    change = rows.Change.objects.get(table="park", field="too_hot_c")
    assert (change.before, change.after, change.by_id) == (25.0, 27.0, garden.actors.maren)
    # An unticked box is an answer too: phones were shared before.
    assert rows.Park.objects.get().shared_phones is False


def test_a_colour_of_ones_own_is_drawn_everywhere_at_once(garden: Wendlebrook, signed_in: Browser) -> None:
    client = signed_in("maren")
    colour = {"name": "Sea  Teal", "letter": "T", "hexed": "#0F6F78", "held": "on", "order": "13"}
    assert client.post("/settings/colours/new/", colour).status_code == 302
    row = rows.Colour.objects.get(name="sea teal")
    assert (row.hex, row.letter) == ("#0f6f78", "T")
    assert "&quot;sea teal&quot;: &quot;#0f6f78&quot;" in shown(client.get("/"))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"letter": "G"}, "G is the letter of green; choose another."),
        ({"letter": "m"}, "M is the letter of metal; choose another."),
        ({"letter": "?"}, "cannot stand in a band"),
        ({"name": "metal"}, "means something else in a reading"),
        ({"name": "green"}, "is in the palette already"),
        ({"hexed": "teal"}, "is no sRGB colour; write it as"),
        ({"faded_hex": "#12"}, "is no sRGB colour; write it as"),
    ],
)
def test_letters_and_names_of_colours_stand_for_one_thing(
    changed: dict[str, str], said: str, garden: Wendlebrook, signed_in: Browser
) -> None:
    colour = {"name": "sea teal", "letter": "T", "hexed": "#0f6f78", "order": "13", **changed}
    answer = signed_in("maren").post("/settings/colours/new/", colour)
    assert answer.status_code == 422
    assert said.lower() in shown(answer).lower()
    assert not rows.Colour.objects.filter(name="sea teal").exists()


def test_a_colour_that_is_worn_keeps_its_name(garden: Wendlebrook, signed_in: Browser) -> None:
    yellow = rows.Colour.objects.get(name="yellow")
    sent = {"name": "gold", "letter": "Y", "hexed": yellow.hex, "held": "on", "order": "2"}
    answer = signed_in("maren").post(f"/settings/colours/{yellow.pk}/", sent)
    assert "add a new colour instead" in shown(answer)


def test_the_published_letters_are_entered_once(db: None) -> None:
    person = rows.Person.objects.create_user("first", "x" * 12, display_name="First", role="administrator")
    client = Client()
    client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    client.post("/settings/colours/published/")
    client.post("/settings/colours/published/")
    letters = dict(rows.Colour.objects.values_list("name", "letter"))
    assert len(letters) == 13
    # Published: black is N and pale blue P; pink is K in addition.
    assert (letters["black"], letters["pale blue"], letters["pink"]) == ("N", "P", "K")


def test_a_rule_keeps_to_the_sites_that_the_species_allows(garden: Wendlebrook, signed_in: Browser) -> None:
    client = signed_in("maren")
    page = shown(client.get(f"/settings/species/{garden.avocet}/rule/"))
    assert "left tibia: colours" in page
    assert "left wing" not in page
    sent = {
        "from_on": "2026-06-01",
        "metal_F": "left tibia",
        "metal_M": "right tibia",
        "metal_U": "",
        "colours_F_0": "0",
        "colours_F_1": "2",
        "colours_M_0": "2",
        "colours_M_1": "0",
        "repeat_on_a_site": "on",
    }
    assert client.post(f"/settings/species/{garden.avocet}/rule/", sent).status_code == 302
    rule = rows.Rule.objects.get()
    assert rule.metal == {"F": "left tibia", "M": "right tibia", "U": None}
    assert rule.colours == {"F": {"right tibia": 2}, "M": {"left tibia": 2}, "U": {}}
    # What stands in the fields is drawn on legs, the kept rule and the one that is refused.
    now = unescape(shown(client.get(f"/settings/species/{garden.avocet}/rule/")))
    assert """marks="{"left tibia":["metal"],"right tibia":["?","?"]}\"""" in now
    too_many = client.post(f"/settings/species/{garden.avocet}/rule/", {**sent, "colours_M_1": "4"})
    assert too_many.status_code == 422
    drawn = """marks="{"left tibia":["?","?"],"right tibia":["metal","?","?","?","?"]}\""""
    assert drawn in unescape(shown(too_many))
    assert "are too many; at most 4 bands" in shown(too_many)
    earlier = client.post(f"/settings/species/{garden.avocet}/rule/", {**sent, "from_on": "2026-05-01"})
    assert "a rule of 2026-06-01 exists" in shown(earlier).lower()


def test_limits_are_the_vets(garden: Wendlebrook, signed_in: Browser) -> None:
    address = f"/settings/species/{garden.avocet}/limits/"
    for login in ("tilda", "maren", "dunstan"):
        assert signed_in(login).get(address).status_code == 403
    sent = {
        "female_low_g": "360",
        "female_high_g": "250",
        "weight_prompt_percent": "5",
        "weight_alarm_percent": "10",
        "leg_grown_at_days": "40",
        "chick_check_every_days": "2",
    }
    refused = signed_in("ilse").post(address, sent)
    assert "exchange them" in shown(refused)
    assert signed_in("ilse").post(address, {**sent, "female_high_g": "420"}).status_code == 302
    assert rows.Species.objects.get(pk=garden.avocet).female_high_g == 420.0


def test_an_exhibit_is_not_closed_over_its_birds(garden: Wendlebrook, signed_in: Browser) -> None:
    client = signed_in("maren")
    sent = {"name": "Shingle Aviary", "purpose": "display", "order": "1", "closed_on": "2026-06-11"}
    answer = client.post(f"/settings/exhibits/{garden.shingle}/", sent)
    assert "8 birds live in Shingle Aviary; move them before it is closed" in shown(answer)
    sent = {"name": "Shingle Aviary", "purpose": "quarantine", "order": "1"}
    answer = client.post(f"/settings/exhibits/{garden.reed}/", sent)
    assert "Shingle Aviary is an exhibit already" in shown(answer)


def test_a_new_person_is_written_down_and_then_given_a_password(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client = signed_in("dunstan")
    sent = {"display_name": "Wren Holloway", "login": "Wren H", "role": "keeper", "is_active": "on"}
    answer = client.post("/settings/people/new/", sent)
    wren = rows.Person.objects.get(login="wren.h")
    assert answer["Location"] == f"/settings/people/{wren.pk}/password/"
    assert not wren.has_usable_password()
    short = client.post(answer["Location"], {"password": "reed"})
    assert "at least 10 characters" in shown(short)
    assert client.post(answer["Location"], {"password": "four herons on one rail"}).status_code == 302
    wren.refresh_from_db()
    assert wren.check_password("four herons on one rail")
    assert "four herons" not in str(list(rows.Change.objects.values_list("before", "after")))


def test_the_last_administrator_stays_one(garden: Wendlebrook, signed_in: Browser) -> None:
    client = signed_in("dunstan")
    sent = {"display_name": "Dunstan", "login": "dunstan", "role": "keeper", "is_active": "on"}
    answer = client.post(f"/settings/people/{garden.actors.dunstan}/", sent)
    assert "Dunstan is the only administrator" in shown(answer)
    assert rows.Person.objects.get(login="dunstan").role == "administrator"


def test_whoever_changes_their_own_password_stays_signed_in(garden: Wendlebrook, signed_in: Browser) -> None:
    client = signed_in("pia")
    pia = rows.Person.objects.get(login="pia")
    pia.set_password("a grebe under the weir")
    pia.save()
    client.force_login(pia, backend="django.contrib.auth.backends.ModelBackend")
    new = {"password": "a heron over the weir"}
    assert client.post("/settings/password/", new).status_code == 422, "nobody asked for the one until now"
    assert client.post("/settings/password/", new | {"current": "a wren"}).status_code == 422
    changed = client.post("/settings/password/", new | {"current": "a grebe under the weir"})
    assert changed.status_code == 302
    assert client.get("/").status_code == 200


def test_how_somebody_sees_colours_is_their_own_to_say(garden: Wendlebrook, signed_in: Browser) -> None:
    client = signed_in("tilda")
    sent = {"reads_as": "untrained", "colour_vision": "deutan", "vision_severity": "0.6"}
    assert client.post("/settings/eyes/", sent).status_code == 302
    tilda = rows.Person.objects.get(login="tilda")
    assert (tilda.reads_as, tilda.colour_vision, tilda.vision_severity) == ("untrained", "deutan", 0.6)
    assert rows.Person.objects.get(login="oswin").colour_vision == "usual"


@pytest.mark.parametrize(
    "address", ["colours/999/", "species/999/", "exhibits/999/", "exhibits/999/places/new/"]
)
def test_settings_of_what_is_not_there_say_so(address: str, garden: Wendlebrook, signed_in: Browser) -> None:
    answer = signed_in("maren").get(f"/settings/{address}")
    assert answer.status_code == 404
    assert "go to Settings and choose one" in shown(answer)


def test_what_is_mailed_is_each_persons_own_and_nothing_until_they_ask(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    oswin, dunstan = signed_in("oswin"), signed_in("dunstan")
    page = shown(oswin.get("/settings/mail/"))
    assert "names no mail server yet" in page
    assert "Backups that are missing" not in page
    assert "Backups that are missing" in shown(dunstan.get("/settings/mail/"))
    assert 'href="/settings/mail/"' in shown(oswin.get("/settings/"))
    refused = oswin.post("/settings/mail/", {"search": "on"})
    assert refused.status_code == 422
    assert "no mail address" in shown(refused)
    assert oswin.post("/settings/mail/", {"address": "o@park.example", "search": "on"}).status_code == 302
    wish = rows.MailWish.objects.get(person_id=garden.actors.oswin)
    assert (wish.address, wish.duties, wish.search, wish.backups) == ("o@park.example", False, True, False)
    assert 'value="o@park.example"' in shown(oswin.get("/settings/mail/"))
    assert oswin.post("/settings/mail/", {"address": ""}).status_code == 302
    wish.refresh_from_db()
    assert (wish.address, wish.search) == ("", False)
    assert rows.MailWish.objects.count() == 1


def test_a_phone_is_told_only_where_the_installation_names_a_push_service_and_its_person_asked(
    garden: Wendlebrook, signed_in: Callable[[str], Client], settings: Any, tmp_path: Path
) -> None:
    settings.HOME = tmp_path
    address, oswin, tilda = "/settings/phone-news/", signed_in("oswin"), signed_in("tilda")
    page = shown(oswin.get(address))
    assert "names no push service" in page
    assert "Tell me on this phone" not in page
    assert list(tmp_path.iterdir()) == [], "no key is made before one is needed"
    settings.PUSH_SERVICES = ["push.example"]
    example = json.loads((Path(__file__).parents[1] / "published" / "push_message.json").read_text("utf-8"))
    asked = {"name": "pocket", "search": "on", "key": example["phone_public"], "auth": example["auth"]}
    refused = oswin.post(address, {**asked, "endpoint": "https://elsewhere.example/1"})
    assert refused.status_code == 422
    assert "https://elsewhere.example" in shown(refused)
    assert oswin.post(address, {**asked, "endpoint": "https://push.example/1"}).status_code == 302
    row = rows.PhoneNews.objects.get()
    page = shown(oswin.get(address))
    assert "pocket" in page
    for secret in (row.endpoint, row.key, row.auth):
        assert secret not in page
        assert secret not in str(list(rows.ToldDeed.objects.values())), "the ledger keeps no secret"
    assert "pocket" not in shown(tilda.get(address))
    tilda.post(f"{address}{row.pk}/end/")
    row.refresh_from_db()
    assert row.ended_at is None
    oswin.post(f"{address}{row.pk}/end/")
    row.refresh_from_db()
    assert row.ended_why == "Its person ended it."
