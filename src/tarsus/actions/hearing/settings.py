"""What writes the deeds of the settings."""

from __future__ import annotations

from typing import Final

from tarsus.actions.devices import give_device_token, take_device_token_back
from tarsus.actions.handover import hand_over
from tarsus.actions.hearing.bound import Bound, Values, Wrote, fact, spell
from tarsus.actions.settings.colours import save_colour, take_published_colours
from tarsus.actions.settings.exhibits import save_exhibit, save_place
from tarsus.actions.settings.mail import set_mail
from tarsus.actions.settings.park import set_park
from tarsus.actions.settings.people import save_person, set_eyes, set_own_password, set_password
from tarsus.actions.settings.phone_news import ask_phone_news, end_phone_news
from tarsus.actions.settings.pins import set_pin
from tarsus.actions.settings.plans import set_plan
from tarsus.actions.settings.species import save_species, set_limits, set_rule
from tarsus.actions.telling import Told


def _set_park(told: Told, values: Values) -> Wrote:
    set_park(by=told.by, values=values)
    return Wrote()


def _save_species(told: Told, values: Values) -> Wrote:
    said = dict(values)
    species_id, excluded = said.pop("species", None), said.pop("excluded", None)
    if "sites" in said:
        said["sites"] = list(said["sites"])
    saved = save_species(by=told.by, values=said, excluded=excluded, species_id=species_id)
    return Wrote(rows={"species": saved})


def _set_limits(told: Told, values: Values) -> Wrote:
    said = dict(values)
    set_limits(by=told.by, species_id=said.pop("species"), values=said)
    return Wrote()


def _published(told: Told, _values: Values) -> Wrote:
    return Wrote(said=(f"{take_published_colours(by=told.by)} colours entered",))


def _own_password(told: Told, values: Values) -> Wrote:
    set_own_password(by=told.by, current=values["current"], password=values["password"])
    return Wrote()


def _own_pin(told: Told, values: Values) -> Wrote:
    set_pin(by=told.by, person_id=told.by, current=values["current"], pin=values["pin"])
    return Wrote()


def _eyes(told: Told, values: Values) -> Wrote:
    set_eyes(by=told.by, person_id=told.by, **values)
    return Wrote()


def _give_token(told: Told, values: Values) -> Wrote:
    device, token = give_device_token(
        name=values["name"],
        exhibit_ids=values["exhibits"],
        people_ids=values["people"],
        days=values["days"],
        by=told.by,
    )
    return Wrote(rows={"device": device}, shown_once=token)


SETTINGS: Final[dict[str, Bound]] = {
    "park_set": Bound(_set_park, action=set_park),
    "exhibit_saved": spell("exhibit_saved", save_exhibit, row="exhibit", on="", deed=False),
    "place_saved": spell("place_saved", save_place, row="place", on="", deed=False, what="kind"),
    "exhibit_plan_set": fact("exhibit_plan_set", set_plan),
    "colour_saved": spell("colour_saved", save_colour, row="colour", on="", deed=False),
    "published_colours": Bound(_published, action=take_published_colours),
    "species_saved": Bound(_save_species, action=save_species),
    "limits_set": Bound(_set_limits, action=set_limits),
    "rule_set": spell("rule_set", set_rule, row="rule", on="", deed=False),
    "person_saved": spell("person_saved", save_person, row="person", on="", deed=False),
    "password_set": spell("password_set", set_password, on="", deed=False),
    "own_password_set": Bound(_own_password, action=set_own_password),
    "own_pin_set": Bound(_own_pin, action=set_pin),
    "eyes_set": Bound(_eyes, action=set_eyes),
    "mail_set": spell("mail_set", set_mail, on="", deed=False),
    "phone_news_asked": spell("phone_news_asked", ask_phone_news, row="phone", on="", deed=False),
    "phone_news_ended": spell("phone_news_ended", end_phone_news, on="", deed=False),
    "device_token_given": Bound(_give_token, action=give_device_token),
    "device_token_taken_back": spell("device_token_taken_back", take_device_token_back, on="", deed=False),
    "phone_handed_over": fact("phone_handed_over", hand_over, taken_by="taken_by"),
}
