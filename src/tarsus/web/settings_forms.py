"""The forms of Settings. What they accept is decided by the deeds; they only turn text into values."""

from __future__ import annotations

import zoneinfo
from typing import Any, Final

from django import forms

from tarsus.core.deeds.words import VISITOR_PAGES
from tarsus.core.marks.sites import SITES
from tarsus.core.presence.advice import WHAT_A_LIMIT_COSTS
from tarsus.web.page_form import PageForm

ROLES: Final = (
    ("viewer", "viewer: looks, changes nothing"),
    ("keeper", "keeper: calls rolls, records"),
    ("lead", "lead keeper: and marks, settings, corrections"),
    ("vet", "vet: and cases, limits, releases"),
    ("records", "records office: histories, transfers, inventories"),
    ("administrator", "administrator: everything but what is the vet's"),
)
SIDES: Final = (("left", "left"), ("right", "right"), ("", "no side"))
READERS: Final = (("trained", "trained"), ("untrained", "untrained"))
FORMS: Final = (
    ("legs", "bands on the tarsus"),
    ("tall", "bands above the joint"),
    ("wings", "bands on the wing or flipper"),
    ("told", "told by natural marks"),
)


class ParkForm(PageForm):
    """The park itself."""

    name = forms.CharField(label="Name of the park", max_length=120)
    time_zone = forms.CharField(label="Time zone", help_text="As in Europe/London.", max_length=60)
    female_side = forms.ChoiceField(label="Females wear the metal on the", choices=SIDES, required=False)
    male_side = forms.ChoiceField(label="Males wear the metal on the", choices=SIDES, required=False)
    metal_letter = forms.CharField(label="Letter of a metal band", max_length=2)
    reader = forms.ChoiceField(
        label="Readings are weighed as those of a reader who is",
        choices=READERS,
        help_text="Trained: whole marks wrong in about 5 of 100 readings; untrained: in about 16.",
    )
    sureness = forms.FloatField(
        label="Marks are chosen so that a name is said from a chance of",
        help_text="0.95: one name in doubt costs a twentieth of a wrong one. Higher: fewer wrong names, more"
        " second looks. What phones say of a reading does not change.",
    )
    wanted_misnaming = forms.FloatField(
        label="Two birds may cost in wrong names at most, a reading (0.01 is one in 100)"
    )
    gone_per_year = forms.FloatField(
        label="Share of birds that vanish unnoticed in a year (0.05 is five in 100)"
    )
    strangers = forms.FloatField(label="Chance that a bird seen is none of the flock")
    bands_per_leg = forms.IntegerField(
        label="Most bands on a leg that Tarsus proposes", help_text="Bands hurt: as few as will do."
    )
    remark_at_once = forms.BooleanField(
        label="A sex result or a clash is a reason to catch a bird",
        required=False,
        help_text="Otherwise it waits for a handling that happens anyway.",
    )
    rest_days = forms.IntegerField(label="Days of rest after a handling")
    minutes_from_chase = forms.IntegerField(label="Minutes from the start of catching until it must be over")
    too_hot_c = forms.FloatField(label="Too hot to catch from, °C")
    too_cold_c = forms.FloatField(
        label="Too cold to catch below, °C",
        required=False,
        help_text="The vet says; may stay empty.",
    )
    catch_until_hour = forms.IntegerField(label="On hot days catching is over by the hour")
    condition_scale = forms.IntegerField(
        label="Body condition is scored from 1, very thin, to",
        help_text="3 to 9; what was scored before keeps the scale it was scored on.",
    )
    marks_rest_days = forms.IntegerField(
        label="Days that marks rest after their bird died or left",
        help_text="Meanwhile the marking desk gives them to nobody; a metal number is never given again.",
    )
    pictures_days = forms.IntegerField(
        label="Days that a picture of legs stays with its sighting",
        help_text="0: none is kept. Fewer days also take away what is kept by now, with a record of it.",
    )
    shared_phones = forms.BooleanField(
        label="Phones are shared: they go from keeper to keeper by a PIN",
        required=False,
        help_text="Each keeper sets a PIN. What is more than a keeper's needs a session of one's own.",
    )
    idle_lock_minutes = forms.IntegerField(
        label="A shared phone that lies untouched asks for the PIN after minutes",
        required=False,
        help_text="0: never. What was tapped stays, a reading that is not finished too.",
    )
    desk_idle_minutes = forms.IntegerField(
        label="A session at a desk that nobody uses ends after minutes",
        required=False,
        help_text="5 to 1440; 0: never. Phones stay signed in: a round without signal is not shut away.",
    )
    office_second_step = forms.BooleanField(
        label="Administrator, vet and records sign in with a second step",
        required=False,
        help_text="A code out of an app on their phone. Who has none yet sets it up before any other page.",
    )
    visitor_pages = forms.ChoiceField(
        label="Visitors may open a page of each exhibit on display",
        choices=VISITOR_PAGES,
        required=False,
        help_text="Names, species, sexes, ages, bands and the stories that were written for them; no more.",
    )

    def clean_idle_lock_minutes(self) -> int:
        """Never, where nothing is written."""
        return self.cleaned_data["idle_lock_minutes"] or 0

    def clean_desk_idle_minutes(self) -> int:
        """Never, where nothing is written."""
        return self.cleaned_data["desk_idle_minutes"] or 0

    def clean_visitor_pages(self) -> str:
        """Off where nothing is said."""
        return str(self.cleaned_data["visitor_pages"] or "off")

    def clean_time_zone(self) -> str:
        """The zone, whatever its capitals."""
        said = str(self.cleaned_data["time_zone"]).strip().replace(" ", "_")
        return next((zone for zone in zoneinfo.available_timezones() if zone.lower() == said.lower()), said)


class ColourForm(PageForm):
    """One colour of the palette."""

    name = forms.CharField(label="Name", max_length=30, help_text="What keepers call it when they read it.")
    letter = forms.CharField(label="Letter in the band", max_length=2)
    hexed = forms.CharField(
        label="Its colour when new", widget=forms.TextInput(attrs={"type": "color"}), initial="#888888"
    )
    held = forms.BooleanField(label="The park has bands of it", required=False, initial=True)
    material = forms.CharField(label="Material", max_length=40, required=False)
    faded_hex = forms.CharField(
        label="Its colour when old",
        max_length=7,
        required=False,
        help_text="As #d8b4a0; leave it empty if unknown.",
    )
    fades_in_years = forms.FloatField(label="Years until it looks so", required=False)
    order = forms.IntegerField(label="Place in the palette", initial=0)


class SpeciesForm(PageForm):
    """What the lead keeper says of a species."""

    name = forms.CharField(label="Name", max_length=80)
    scientific_name = forms.CharField(label="Scientific name", max_length=80, required=False)
    lookalike = forms.CharField(
        label="Look-alike group", max_length=40, help_text="One word. Birds are mistaken only within a group."
    )
    form = forms.ChoiceField(label="Its birds are told by", choices=FORMS)
    sites = forms.MultipleChoiceField(
        label="Sites allowed by the species and the banding authority",
        choices=[(site, site) for site in SITES],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    excluded = forms.MultipleChoiceField(
        label="Colours never proposed",
        help_text="A red band on a red leg vanishes.",
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    chews = forms.BooleanField(
        label="It chews its bands", required=False, help_text="Then no butt-end and no plastic band."
    )
    leg_diameter_mm = forms.FloatField(label="Diameter of the leg where the band sits, mm", required=False)
    band_size = forms.CharField(
        label="Size of its bands",
        max_length=20,
        required=False,
        help_text="As the drawers are labelled, and as the banding authority's list and the leg allow.",
    )
    max_unseen_days = forms.IntegerField(
        label="Unseen for so many days means search", help_text=WHAT_A_LIMIT_COSTS, initial=3
    )
    counts_at_days = forms.IntegerField(label="A chick counts from its day", initial=30, min_value=0)
    bands_off_in_moult = forms.BooleanField(label="Wing bands come off for the moult", required=False)
    natural_mark_review_days = forms.IntegerField(
        label="Look at natural marks again after days", initial=365, min_value=1
    )

    def __init__(
        self, *args: Any, colours: tuple[str, ...] = (), groups: tuple[str, ...] = (), **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        if groups:
            self.fields["lookalike"].help_text += f" In use: {', '.join(groups)}."
        chosen = self.fields["excluded"]
        assert isinstance(chosen, forms.MultipleChoiceField)
        chosen.choices = [(name, name) for name in colours]


class LimitsForm(PageForm):
    """What the vet says of a species."""

    female_low_g = forms.FloatField(label="Females weigh from, g", required=False, min_value=0)
    female_high_g = forms.FloatField(label="Females weigh to, g", required=False, min_value=0)
    male_low_g = forms.FloatField(label="Males weigh from, g", required=False, min_value=0)
    male_high_g = forms.FloatField(label="Males weigh to, g", required=False, min_value=0)
    mass_source = forms.CharField(label="Where these weights come from", max_length=200, required=False)
    weight_prompt_percent = forms.FloatField(
        label="Weigh again when so many per cent under its own usual",
        help_text="−5 % to start: common practice.",
    )
    weight_alarm_percent = forms.FloatField(
        label="Tell the vet when so many per cent under", help_text="−10 % to start: common practice."
    )
    weigh_every_days = forms.IntegerField(label="Weigh every so many days", required=False, min_value=1)
    health_check_every_days = forms.IntegerField(
        label="Health check every so many days", required=False, min_value=1
    )
    leg_grown_at_days = forms.IntegerField(label="A chick's leg is grown at days", min_value=1)
    grown_plumage_at_days = forms.IntegerField(
        label="Grown plumage at days",
        required=False,
        min_value=1,
        help_text="Empty: young and grown birds look alike, and nobody is asked which it was.",
    )
    chick_check_every_days = forms.IntegerField(
        label="Look at a growing leg's band every so many days", min_value=1
    )
    moult_from_month = forms.IntegerField(label="Moult from month", required=False, min_value=1, max_value=12)
    moult_to_month = forms.IntegerField(label="Moult to month", required=False, min_value=1, max_value=12)
    rest_days = forms.IntegerField(label="Days of rest after a handling", required=False, min_value=0)
    minutes_from_chase = forms.IntegerField(
        label="Minutes from the start of catching", required=False, min_value=1
    )
    too_hot_c = forms.FloatField(label="Too hot to catch from, °C", required=False)
    too_cold_c = forms.FloatField(label="Too cold to catch below, °C", required=False)


class ExhibitForm(PageForm):
    """One exhibit."""

    name = forms.CharField(label="Name", max_length=80)
    purpose = forms.ChoiceField(
        label="Purpose", choices=[(p, p) for p in ("display", "off-show", "hospital", "quarantine")]
    )
    order = forms.IntegerField(label="Place in the list", initial=0, min_value=0)
    closed_on = forms.DateField(
        label="Closed on",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text="Nothing is deleted: a closed exhibit keeps its history.",
    )


class PlaceForm(PageForm):
    """One place of an exhibit."""

    name = forms.CharField(label="Name", max_length=60)
    kind = forms.ChoiceField(
        label="What it is",
        choices=[
            (kind, kind)
            for kind in (
                "perch",
                "pool",
                "ledge",
                "ground",
                "night house",
                "off-show",
                "hospital",
                "quarantine",
            )
        ],
    )
    order = forms.IntegerField(label="Place in the list", initial=0, min_value=0)
    closed_on = forms.DateField(
        label="No more since",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )


class PersonForm(PageForm):
    """One person."""

    display_name = forms.CharField(
        label="Name", max_length=80, help_text="It stands on whatever this person records, for good."
    )
    login = forms.CharField(label="Signs in as", max_length=60)
    role = forms.ChoiceField(label="May", choices=ROLES, widget=forms.RadioSelect)
    is_active = forms.BooleanField(label="May sign in", required=False, initial=True)


class PasswordForm(PageForm):
    """A new password for somebody."""

    password = forms.CharField(
        label="New password",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Ten characters or more; a short sentence is good.",
    )


class OwnPasswordForm(PasswordForm):
    """A new password for oneself."""

    current = forms.CharField(
        label="Password until now", widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )
    field_order = ("current", "password")


class PinForm(PageForm):
    """A PIN for shared phones."""

    current = forms.CharField(
        label="Your password", widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )
    pin = forms.CharField(
        label="PIN",
        max_length=8,
        widget=forms.PasswordInput(attrs={"autocomplete": "off", "inputmode": "numeric"}),
        help_text="Four to eight digits. You type it whenever you take a shared phone in hand.",
    )


class MailForm(PageForm):
    """What is mailed to a person, once a day."""

    address = forms.EmailField(
        label="Mail address",
        max_length=254,
        required=False,
        help_text="By the park’s own mail server, one letter a day at most. Its subject says nothing.",
    )
    duties = forms.BooleanField(label="What is overdue, of your own", required=False)
    search = forms.BooleanField(label="Whom to search for", required=False)
    backups = forms.BooleanField(label="Backups that are missing", required=False)


class EyesForm(PageForm):
    """How a person reads bands and sees colours."""

    reads_as = forms.ChoiceField(label="Reads bands as", choices=READERS)
    colour_vision = forms.ChoiceField(
        label="Sees colours",
        choices=[
            ("usual", "as most people do"),
            ("protan", "with weak or no red (protan)"),
            ("deutan", "with weak or no green (deutan)"),
            ("tritan", "with weak or no blue (tritan)"),
        ],
        help_text="Said by the person alone, if they wish. It changes how likely each bird is held to be.",
    )
    vision_severity = forms.FloatField(
        label="How strongly, from 0 to 1", help_text="1 where it is not known.", min_value=0, max_value=1
    )
