"""Deeds of the settings: the park, its exhibits, colours, species, people and devices."""

from __future__ import annotations

from typing import Final

from tarsus.core.care import cautions
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import (
    FIRST_DAY,
    Field,
    Kind,
    choice,
    flag,
    line,
    number,
    of,
    planned_day,
    whole,
)
from tarsus.core.deeds.rights import ADMINISTRATOR, KEEPER, LEAD, ROLES, VET, VIEWER
from tarsus.core.deeds.words import SIDE, VISITOR_PAGES
from tarsus.core.marks.sites import SITES

AGAIN: Final = "set it as it should be; what it was stays readable"
_LEAD: Final = (LEAD,)
_NO_SIDE: Final = (*SIDE, ("", "no side"))
_READER: Final = ("trained", "untrained")
_ORDER: Final = whole("order", "Place in the list", 0, 30_000, initial=0)
_SITES: Final = tuple((site, site) for site in SITES)


def _grams(name: str, label: str) -> Field:
    return number(name, label, 0, 200_000, unit="g")


def _days(name: str, label: str, low: int = 0, high: int = 30_000) -> Field:
    return whole(name, label, low, high, unit="days")


PARK: Final = Deed(
    "park_set",
    "The park",
    (
        line("name", "Name of the park", 120),
        line("time_zone", "Time zone", 60),
        choice("female_side", "Females wear the metal on the", *_NO_SIDE),
        choice("male_side", "Males wear the metal on the", *_NO_SIDE),
        line("metal_letter", "Letter of a metal band", 2),
        choice("reader", "Readings are weighed as those of a reader who is", *_READER),
        number("strangers", "Chance that a bird seen is none of the flock", 0, 1),
        number("gone_per_year", "Share of birds that vanish unnoticed in a year", 0, 1),
        number("sureness", "Marks are chosen so that a name is said from a chance of", 0.5, 0.999),
        number("wanted_misnaming", "A reading of two birds may cost in wrong names at most", 0, 1),
        whole("bands_per_leg", "Most bands on a leg that Tarsus proposes", 0, 30_000),
        flag("remark_at_once", "A sex result or a clash is a reason to catch a bird"),
        _days("rest_days", "Rest after a handling"),
        whole("minutes_from_chase", "Minutes from the start of catching", 0, 30_000),
        number("too_hot_c", "Too hot to catch from", -40, 60, unit="°C"),
        number("too_cold_c", "Too cold to catch below", -40, 60, unit="°C"),
        whole("catch_until_hour", "On hot days catching is over by the hour", 0, 30_000),
        whole("condition_scale", "Body condition is scored from 1, very thin, to", 3, 9),
        _days("marks_rest_days", "Marks rest after their bird died or left", 0, 3660),
        _days("pictures_days", "Pictures stay with their sightings for", 0, 3650),
        flag("shared_phones", "Phones go from hand to hand"),
        whole("idle_lock_minutes", "Minutes after which a shared phone asks for the PIN", 0, 240),
        flag("office_second_step", "Administrator, vet and records sign in with a second step"),
        choice("visitor_pages", "Visitors may open a page of an exhibit", *VISITOR_PAGES),
    ),
    "The park's choices were set.",
    _LEAD,
    table="park",
    partial=True,
    final=AGAIN,
    when="",
    page="settings-park",
)

SPECIES: Final = (
    Deed(
        "species_saved",
        "A species",
        (
            Field("species", Kind.SPECIES, "Species that is changed", column="-"),
            line("name", "Name", 80),
            line("scientific_name", "Scientific name", 80),
            line("lookalike", "Look-alike group", 40),
            choice("form", "Its birds are told by", "legs", "tall", "wings", "told"),
            Field("sites", Kind.CHOICES, "Sites it may wear bands on", choices=_SITES, column="-"),
            Field("excluded", Kind.WORDS, "Colours that are never proposed", longest=30, column="-"),
            flag("chews", "It chews its bands"),
            number("leg_diameter_mm", "Diameter of the leg where the band sits", 0, 100, unit="mm"),
            line("band_size", "Size of its bands, as the drawers are labelled", 20),
            _days("max_unseen_days", "Longest unseen", 0, 30_000),
            _days("counts_at_days", "A chick counts from its day"),
            flag("bands_off_in_moult", "Wing bands come off for the moult"),
            _days("natural_mark_review_days", "Natural marks are looked at again every"),
        ),
        "Species {name}[{species}] was set.",
        _LEAD,
        caution=cautions.FIT_BAND,
        table="species",
        partial=True,
        final=AGAIN,
        when="",
        page="settings-species",
    ),
    Deed(
        "limits_set",
        "Limits of a species",
        (
            Field("species", Kind.SPECIES, "Species", required=True, column="-"),
            _grams("female_low_g", "Females weigh from"),
            _grams("female_high_g", "Females weigh to"),
            _grams("male_low_g", "Males weigh from"),
            _grams("male_high_g", "Males weigh to"),
            line("mass_source", "Where these weights come from", 200),
            number("weight_prompt_percent", "Weigh again from", 0, 100, unit="%"),
            number("weight_alarm_percent", "Tell the vet from", 0, 100, unit="%"),
            _days("weigh_every_days", "Weigh every", 1),
            _days("health_check_every_days", "Health check every", 1),
            _days("leg_grown_at_days", "A chick's leg is grown at", 1),
            _days("chick_check_every_days", "A chick's band is looked at every", 1),
            whole("moult_from_month", "Moult from month", 1, 12),
            whole("moult_to_month", "Moult to month", 1, 12),
            _days("rest_days", "Rest after a handling"),
            whole("minutes_from_chase", "Minutes from the start of catching", 0, 30_000),
            number("too_hot_c", "Too hot to catch from", -40, 60, unit="°C"),
            number("too_cold_c", "Too cold to catch below", -40, 60, unit="°C"),
        ),
        "Limits of {species} were set.",
        (VET,),
        table="species",
        partial=True,
        final=AGAIN,
        when="",
        page="settings-species",
    ),
    Deed(
        "rule_set",
        "How a species is marked",
        (
            of(Kind.SPECIES, "Species", required=True),
            planned_day("from_on", "From the day", first=FIRST_DAY, required=True),
            Field("metal", Kind.DOCUMENT, "Site of the metal by sex", required=True, on_form=False),
            Field("colours", Kind.DOCUMENT, "Colours by sex and site", required=True, on_form=False),
            flag("repeat_on_a_site", "One colour may stand twice on a site"),
            flag("mates_match", "Mates wear the same colours on opposite sides"),
        ),
        "How {species} is marked from {from_on} on was set.",
        _LEAD,
        caution=cautions.FIT_BAND,
        table="rule",
        final=AGAIN,
        when="",
        page="settings-species",
    ),
)

SETTINGS: Final = (
    PARK,
    Deed(
        "exhibit_saved",
        "An exhibit",
        (
            Field("exhibit", Kind.EXHIBIT, "Exhibit that is changed", column="-"),
            line("name", "Name", 80, required=True),
            choice(
                "purpose", "What it is for", "display", "off-show", "hospital", "quarantine", required=True
            ),
            _ORDER,
            planned_day("closed_on", "Closed on", first=FIRST_DAY),
        ),
        "Exhibit {name} was set.",
        _LEAD,
        table="exhibit",
        final=AGAIN,
        when="",
    ),
    Deed(
        "place_saved",
        "A place of an exhibit",
        (
            Field("exhibit", Kind.EXHIBIT, "Exhibit", required=True),
            Field("place", Kind.PLACE, "Place that is changed", column="-"),
            line("name", "Name", 60, required=True),
            choice(
                "what",
                "What it is",
                "perch",
                "pool",
                "ledge",
                "ground",
                "night house",
                "off-show",
                "hospital",
                "quarantine",
                required=True,
                column="kind",
            ),
            _ORDER,
            planned_day("closed_on", "Closed on", first=FIRST_DAY),
        ),
        "Place {name} of {exhibit} was set.",
        _LEAD,
        table="place",
        final=AGAIN,
        when="",
    ),
    Deed(
        "colour_saved",
        "A colour of the palette",
        (
            Field("colour", Kind.COLOUR_ROW, "Colour that is changed", column="-"),
            line("name", "Name", 30, required=True),
            line("letter", "Letter in the band", 2, required=True),
            line("hexed", "Its colour when new", 7, required=True, column="hex"),
            flag("held", "The park has bands of it"),
            line("material", "Material", 40),
            line("faded_hex", "Its colour when old", 7),
            number("fades_in_years", "Years until it looks so", 0, 1000),
            _ORDER,
        ),
        "Colour {name} was set.",
        _LEAD,
        table="colour",
        final=AGAIN,
        when="",
    ),
    Deed(
        "published_colours",
        "Enter the built-in colours",
        (),
        "The built-in colours were entered with the published letters.",
        _LEAD,
        final=AGAIN,
        when="",
    ),
    *SPECIES,
    Deed(
        "person_saved",
        "A person",
        (
            Field("person", Kind.PERSON, "Person who is changed", column="-"),
            line("login", "Signs in as", 60, required=True),
            line("display_name", "Name that stands on what is recorded", 80, required=True),
            choice("role", "May", *ROLES, required=True),
            flag("is_active", "May sign in", initial=True),
        ),
        "{display_name} was written down as {role}.",
        (ADMINISTRATOR,),
        table="person",
        final=AGAIN,
        when="",
    ),
    Deed(
        "password_set",
        "A password for somebody",
        (
            Field("person", Kind.PERSON, "Person", required=True, column="-"),
            Field("password", Kind.SECRET, "New password", required=True, longest=128, column="-"),
        ),
        "A new password was set for {person}.",
        (ADMINISTRATOR,),
        final="set another",
        when="",
    ),
    Deed(
        "own_password_set",
        "Your own password",
        (
            Field("current", Kind.SECRET, "Password until now", required=True, longest=128, column="-"),
            Field("password", Kind.SECRET, "New password", required=True, longest=128, column="-"),
        ),
        "A new password was set.",
        (VIEWER,),
        final="set another",
        when="",
        of_oneself=True,
    ),
    Deed(
        "own_pin_set",
        "Your PIN for shared phones",
        (
            Field("current", Kind.SECRET, "Your password", required=True, longest=128, column="-"),
            Field("pin", Kind.SECRET, "PIN", required=True, longest=8, column="-"),
        ),
        "A PIN for shared phones was set.",
        (KEEPER,),
        final="set another",
        when="",
        of_oneself=True,
    ),
    Deed(
        "eyes_set",
        "How you read bands",
        (
            choice("reads_as", "Reads bands as", *_READER, required=True),
            choice("colour_vision", "Sees colours as", "usual", "protan", "deutan", "tritan", required=True),
            number("vision_severity", "How strongly", 0, 1, required=True),
        ),
        "Reads bands as {reads_as}, sees colours as {colour_vision}.",
        (VIEWER,),
        table="person",
        final=AGAIN,
        when="",
        of_oneself=True,
    ),
    Deed(
        "mail_set",
        "What is mailed to you",
        (
            line("address", "Mail address", 254),
            flag("duties", "What is overdue, of your own"),
            flag("search", "Whom to search for"),
            flag("backups", "Backups that are missing"),
        ),
        "What is mailed was set.",
        (VIEWER,),
        table="mailwish",
        final=AGAIN,
        when="",
        of_oneself=True,
    ),
    Deed(
        "device_token_given",
        "A device's token",
        (
            line("name", "Device", 80, required=True),
            Field("exhibits", Kind.EXHIBITS, "Exhibits it may send for", required=True, column="-"),
            Field("people", Kind.PEOPLE, "People in whose names it may speak", required=True, column="-"),
            whole("days", "Known for", 1, 730, unit="days", initial=365, column="-"),
        ),
        "A token was given to {name}.",
        (ADMINISTRATOR, LEAD),
        table="devicetoken",
        final="take the token back",
        when="",
    ),
    Deed(
        "device_token_taken_back",
        "Take a device's token back",
        (Field("device", Kind.DEVICE, "Device", required=True, column="-"),),
        "The token of {device} was taken back.",
        (ADMINISTRATOR, LEAD),
        table="devicetoken",
        final="give it a new one",
        when="",
    ),
    Deed(
        "phone_handed_over",
        "Hand the phone over",
        (
            Field("taken_by", Kind.PERSON, "To", required=True),
            Field("pin", Kind.SECRET, "PIN of whoever takes it", required=True, longest=8, column="-"),
        ),
        "The phone was handed to {taken_by}.",
        (KEEPER,),
        table="handover",
        final="hand it over again",
        when="",
        of_oneself=True,
    ),
)
