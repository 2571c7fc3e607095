"""What programs are told of the settings and of whether the installation is sound, as types."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from ninja import Schema
from pydantic import Field


class ParkOut(Schema):
    """What the park has chosen; the defaults until it has."""

    name: str
    time_zone: str
    female_side: str
    male_side: str
    metal_letter: str
    reader: str
    strangers: float
    gone_per_year: float
    wanted_misnaming: float
    sureness: float
    bands_per_leg: int
    remark_at_once: bool
    rest_days: int
    minutes_from_chase: int
    too_hot_c: float
    too_cold_c: float | None
    catch_until_hour: int
    condition_scale: int
    marks_rest_days: int
    shared_phones: bool
    pictures_days: int
    idle_lock_minutes: int
    desk_idle_minutes: int
    office_second_step: bool
    visitor_pages: str


class ColourOut(Schema):
    """A colour of the palette with how many bands of it are worn now."""

    id: int = Field(validation_alias="key")
    name: str
    hex: str
    letter: str
    held: bool
    worn: int


class RetireOut(Schema):
    """A colour that is often misread here, most often as another."""

    colour: str
    misread: float
    taken_for: str
    older: bool


class ColourCheckedOut(Schema):
    """A colour that ages otherwise: the share that faded, a little or more, by so many bands checked."""

    colour: str
    now: float
    called: int
    checked: int


class ChecksOut(Schema):
    """How colours age by checks in the hand; `rest` and `thought`: the share of any other that faded."""

    checked: int
    rest: float
    thought: float
    colours: list[ColourCheckedOut]


class ColoursOut(Schema):
    """The palette in the park's order, letters that collide, colours to retire, and how colours age here."""

    colours: list[ColourOut]
    collide: list[str]
    retire: list[RetireOut]
    checked: ChecksOut | None


class ColourWholeOut(Schema):
    """One colour, and how its material looks when it is old."""

    id: int
    name: str
    hex: str
    letter: str
    held: bool
    material: str
    faded_hex: str
    fades_in_years: float | None
    order: int


class ListedOut(Schema):
    """One line of a list in Settings; `off` says that it is no longer in use."""

    id: int = Field(validation_alias="key")
    name: str
    note: str
    off: bool


class RuleOut(Schema):
    """How a species is marked from a day on: the metal's site, and how many colours sit where, by sex."""

    from_on: date
    metal: dict[str, str | None]
    colours: dict[str, dict[str, int]]
    repeat_on_a_site: bool
    mates_match: bool


class SpeciesOut(Schema):
    """One species: what it is, the vet's limits, and its rules, the latest first."""

    id: int
    name: str
    scientific_name: str
    lookalike: str
    form: str
    sites: list[str]
    excluded: list[str]
    chews: bool
    leg_diameter_mm: float | None
    band_size: str
    female_low_g: float | None
    female_high_g: float | None
    male_low_g: float | None
    male_high_g: float | None
    mass_source: str
    weight_prompt_percent: float
    weight_alarm_percent: float
    weigh_every_days: int | None
    health_check_every_days: int | None
    max_unseen_days: int
    counts_at_days: int
    leg_grown_at_days: int
    grown_plumage_at_days: int | None
    chick_check_every_days: int
    natural_mark_review_days: int
    moult_from_month: int | None
    moult_to_month: int | None
    bands_off_in_moult: bool
    rest_days: int | None
    minutes_from_chase: int | None
    too_hot_c: float | None
    too_cold_c: float | None
    rules: list[RuleOut]


class ExhibitSetOut(Schema):
    """An exhibit as it is set, with its places."""

    id: int
    name: str
    purpose: str
    order: int
    opened_on: date | None
    closed_on: date | None
    places: list[ListedOut]


class PersonOut(Schema):
    """One person, without anything by which they sign in but their name for it."""

    id: int
    login: str
    name: str = Field(validation_alias="display_name")
    role: str
    is_active: bool
    joined_at: datetime


class DeviceOut(Schema):
    """A device that was given a token: its exhibits, its people; `over`: it is heard no more."""

    id: int = Field(validation_alias="device_id")
    name: str
    exhibits: list[tuple[int, str]]
    people: list[tuple[int, str]]
    made_by: str
    made_at: datetime
    revoked_at: datetime | None
    expires_at: datetime
    last_used_at: datetime | None
    over: bool


class CheckedOut(Schema):
    """One thing that was looked at, how it stands, and in a sentence what to do."""

    what: str
    state: str
    said: str


class NewParkOut(Schema):
    """How far a new park is: each step and whether it is done, and which comes next."""

    steps: list[tuple[str, bool]]
    following: str
    unruled: list[tuple[int, str]]


class ReasonOut(Schema):
    """Why a line was refused, and the remedy."""

    field: str
    reason: str
    remedy: str


class WaitingRowOut(Schema):
    """A line of a sheet that was refused and waits to be mended."""

    line: int
    sheet: str
    cells: dict[str, str]
    reasons: list[ReasonOut]


class ImportOut(Schema):
    """One import as it went, and how many of its lines wait to be mended."""

    id: int = Field(validation_alias="batch_id")
    file_name: str
    at: datetime
    by: str
    rows_in: int
    warnings: list[str]
    waiting: int

    @staticmethod
    def resolve_waiting(told: Any) -> int:
        """Their lines stand at an address of their own."""
        return len(told.waiting)
