"""What a person is told of themselves and by their colleagues, as types."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from ninja import Schema
from pydantic import Field


class NoteOut(Schema):
    """A note that a shift left; `people` are those it mentions, `seen_by` those of them who have seen it."""

    id: UUID = Field(validation_alias="note_id")
    text: str
    exhibit: int | None = Field(validation_alias="exhibit_id")
    by: str
    at: datetime
    people: list[str]
    seen_by: list[str]
    for_you: bool


class ErrorToldOut(Schema):
    """One kind of error: its chance as it was thought, as it is now, and between which bounds with 95 %."""

    what: str
    thought: float
    now: float
    low: float
    high: float


class LearnedOut(Schema):
    """What checks taught of how you read bands; `serves` says that your readings are weighed by it."""

    in_hand: int
    looked_again: int
    first_at: datetime | None
    last_at: datetime | None
    serves: bool
    park_serves: bool
    practised: bool
    errors: list[ErrorToldOut]
    confusions: list[ErrorToldOut]
    cause: str


class MailOut(Schema):
    """What you asked to be mailed; an empty address where you never did."""

    address: str = ""
    duties: bool = False
    search: bool = False
    backups: bool = False


class PhoneToldOut(Schema):
    """A phone of yours that is told once a day what you asked for; `ended_why` is empty while it is."""

    id: int = Field(validation_alias="number")
    name: str
    what: str
    asked_at: datetime
    last_sent_at: datetime | None
    ended_at: datetime | None
    ended_why: str


class OwnSettingsOut(Schema):
    """Your own settings: how you read bands and see colours, what you are told, what you share."""

    name: str
    login: str
    role: str
    reads_as: str
    colour_vision: str
    second_step: bool
    shares_practice: bool
    mail: MailOut
    phones: list[PhoneToldOut]


class SessionOut(Schema):
    """A browser in which somebody is signed in; `here` is the one that asks."""

    id: int = Field(validation_alias="session_id")
    browser: str
    since: datetime
    last_used_at: datetime
    here: bool
