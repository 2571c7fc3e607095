"""What programs are told of the whole park, as types."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from uuid import UUID

from ninja import Schema
from pydantic import Field

from tarsus.api.bird_schemas import BirdNamed


class MeOut(Schema):
    """Who asks, of which exhibits, in whose names, and what they may tell."""

    device: str
    person: int | None
    exhibits: list[int]
    people: list[int]
    may_tell: list[str]


class GroupTodayOut(Schema):
    """A look-alike group today: on the roll, seen, and how far it was called."""

    lookalike: str
    on_roll: int
    seen: int
    state: str
    because: str


class ExhibitTodayOut(Schema):
    """One exhibit, and how far today's roll call has come."""

    id: int = Field(validation_alias="exhibit_id")
    name: str
    on_roll: int
    mfu: str
    state: str
    groups: list[GroupTodayOut]
    begun_at: datetime | None
    begun_by: str
    ended_at: datetime | None
    seen: int
    inferred: int


class UnseenOut(Schema):
    """A bird that was looked for and not seen, with the advice."""

    bird: BirdNamed = Field(validation_alias="portrait")
    advice: str
    missed: int
    unseen_days: int
    max_unseen_days: int
    still_here: float
    looks_needed: int | None
    since: date


class ShortOut(Schema):
    """A count that is short of the roll."""

    exhibit: int = Field(validation_alias="exhibit_id")
    lookalike: str
    counted: int
    on_roll: int
    at: datetime


class ExcusedOut(Schema):
    """A bird that is not looked for, and why."""

    bird: BirdNamed = Field(validation_alias="portrait")
    why: str


class CaseNoteOut(Schema):
    """A note in a case."""

    text: str
    by: str
    at: datetime


class CaseOut(Schema):
    """An open case of the vet's."""

    id: int = Field(validation_alias="case_id")
    about: str
    opened_at: datetime
    opened_by: str
    birds: list[int] = Field(validation_alias="bird_ids")
    instruction: str
    notes: list[CaseNoteOut]
    see_again_on: date | None


class FoundBandOut(Schema):
    """A band that lay on the floor; whose it is stays open."""

    id: UUID = Field(validation_alias="found_id")
    exhibit: str
    place: str
    word: str
    engraving: str
    note: str
    found_at: datetime
    wearers: list[BirdNamed]


class ReportToldOut(Schema):
    """What a visitor told; it names candidates and clears nobody."""

    id: UUID = Field(validation_alias="report_id")
    at: datetime
    said: str
    exhibit: str
    place: str
    birds: list[BirdNamed]


class CarcaseOut(Schema):
    """A carcase that nobody could name yet."""

    id: UUID = Field(validation_alias="death_id")
    species: str
    exhibit: str
    found_at: datetime
    label: str = Field(validation_alias="carcase_label")


class WeatherOut(Schema):
    """What is forecast for a day, and by whom."""

    high_c: float
    low_c: float | None
    note: str
    by: str
    at: datetime


class TodayOut(Schema):
    """The park today; what is due stands under `/duties`, open catch-ups under `/catch-ups`."""

    as_of: datetime
    day: date
    exhibits: list[ExhibitTodayOut]
    short: list[ShortOut]
    unseen: list[UnseenOut]
    excused: list[ExcusedOut]
    cases: list[CaseOut]
    found: list[FoundBandOut]
    reports: list[ReportToldOut]
    carcases: list[CarcaseOut]
    forecast: WeatherOut | None


class FlockOut(Schema):
    """A flock: the birds of one exhibit that look alike."""

    exhibit: int = Field(validation_alias="exhibit_id")
    lookalike: str
    species: list[str]
    mfu: str
    on_roll: int
    birds: list[BirdNamed]


class NestStandingOut(Schema):
    """What a nest holds, and what became of the others."""

    eggs: int
    chicks: int
    hatched: int
    banded: int
    failed: int
    vanished: int
    dead: int


class NestOut(Schema):
    """A nest with its pair."""

    id: int = Field(validation_alias="nest_id")
    name: str
    species: str
    place: str
    pair: list[BirdNamed]
    from_on: date
    to_on: date | None
    forbids_chase: bool
    standing: NestStandingOut


class CompartmentOut(Schema):
    """Bands on the shelf: held, spoken for, worn, and how many to order."""

    id: int = Field(validation_alias="stock_id")
    kind: str
    colour: str
    size: str
    amount: int
    order_below: int
    spoken_for: int
    worn: int
    order: int


class RunOut(Schema):
    """A run of metal numbers, and the next that is free."""

    series: str
    prefix: str
    first: int
    last: int
    size: str
    used: int
    following: str


class StockOut(Schema):
    """The bands on the shelf and the runs of numbers."""

    compartments: list[CompartmentOut]
    runs: list[RunOut]


class SampleOut(Schema):
    """A sample for the laboratory; `sex` is what it found, empty until then."""

    id: UUID = Field(validation_alias="test_id")
    bird: int = Field(validation_alias="bird_id")
    label: str
    taken_at: datetime
    laboratory: str
    sent_at: datetime | None
    sex: str


class CatchUpOut(Schema):
    """A catch-up that was kept."""

    id: int = Field(validation_alias="catch_up_id")
    exhibit: int = Field(validation_alias="exhibit_id")
    planned_for: date
    planned_by: str
    starts_hour: float
    minutes: float | None
    signed_off_on: date | None
    birds: list[tuple[int, str, list[str]]]


class WaitingOut(Schema):
    """A fact that waits for another, or was refused late."""

    id: UUID
    title: str
    told: str
    by: str
    happened_at: datetime
    received_at: datetime
    refused: bool
    why: str


class NewsOut(Schema):
    """One thing that is new about one bird."""

    kind: str
    bird: int
    name: str
    words: str
    day: date


class ToldOut(Schema):
    """A fact as it was told: what a correction of it begins with, and what it says in a sentence."""

    id: UUID
    kind: str
    at: datetime
    contents: dict[str, Any]
    words: str


class MonthOut(Schema):
    """A month's inventory, and who signed it."""

    first_day: date
    over: bool
    signed_at: datetime | None
    signed_by: str
