"""What programs are told of birds, as types. Each takes what it names from the register's own values."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from uuid import UUID

from ninja import Schema
from pydantic import Field


class BirdOut(Schema):
    """A bird as it lives in an exhibit today; `marks` by the bird's own sides, from the body outward."""

    id: int
    name: str
    sex: str
    species: str
    lookalike: str
    exhibit: int
    marks: dict[str, list[str]]
    engraving: str
    transponder: str
    counted: bool
    whereabouts: str


class BirdNamed(Schema):
    """A bird by its id and name."""

    id: int = Field(validation_alias="bird_id")
    name: str


class BandOut(Schema):
    """One band: where it sits or sat, from when to when, and what the last check found of it."""

    id: int = Field(validation_alias="band_id")
    site: str
    word: str
    kind: str
    engraving: str
    size: str
    temporary: bool
    from_on: date
    to_on: date | None


class MateOut(Schema):
    """A mate, from when and until when."""

    bird: int = Field(validation_alias="bird_id")
    name: str
    since: date
    until: date | None


class NaturalMarkOut(Schema):
    """A natural mark in words."""

    text: str
    review_on: date | None


class BirdWholeOut(Schema):
    """All of one bird but its lists; `advice` is empty for one that lives nowhere now or was just seen."""

    id: int
    name: str
    number: str
    species: str
    lookalike: str
    lives_here: bool
    exhibit: str
    place: str
    since: date | None
    sex: str
    sex_known_by: str
    sex_known_on: date | None
    hatched_on: date | None
    hatched_precision: str
    origin: str
    owner: str
    legal_mark: str
    certificate: str
    transponder: str
    whereabouts: str
    excused: str
    advice: str
    bands: list[BandOut]
    planned: dict[str, list[str]] | None
    natural_marks: list[NaturalMarkOut]
    mates: list[MateOut]
    cases: list[int]


class EventOut(Schema):
    """One line of a bird's history; `fact` names the deed that told it."""

    day: date
    text: str
    kind: str
    who: str
    deed: str
    fact: UUID | None


class WeightOut(Schema):
    """One weighing, in grams."""

    at: datetime
    weight_g: float
    where: str
    fed: bool | None
    moulting: bool | None


class DayOut(Schema):
    """How a bird was met on a day; `visited`: a machine knew its transponder, which is no sighting."""

    day: date
    how: str
    excused: str
    visited: bool


class LookalikeOut(Schema):
    """A bird that this one may be taken for, with the chance of it."""

    bird: BirdNamed = Field(validation_alias="portrait")
    chance: float
    why: str


class FoundOut(Schema):
    """A bird that was found by name, number, engraving or transponder."""

    id: int = Field(validation_alias="bird_id")
    name: str
    species: str
    known_by: list[str]
    exhibit: str


class DutyOut(Schema):
    """A job that is due; `settled_by` is the record that makes it go away."""

    kind: str
    bird: int | None
    exhibit: int | None
    subject: str
    what: str
    why: str
    by: date | None
    urgency: int
    in_hand: bool
    settled_by: str


class PresenceOut(Schema):
    """Where a bird stands: the advice, and what it is drawn from."""

    bird: int = Field(validation_alias="bird_id")
    exhibit: int = Field(validation_alias="exhibit_id")
    advice: str
    still_here: float
    unseen_rounds: int
    unseen_days: int
    looks_needed: int | None
    seen_on: date | None
    excused: str


def bird_out(bird: Any) -> dict[str, Any]:
    """A bird of a flock as programs are told it."""
    return {
        "id": bird.bird_id,
        "name": bird.name,
        "sex": bird.sex,
        "species": bird.species,
        "lookalike": bird.lookalike,
        "exhibit": bird.exhibit_id,
        "marks": bird.marks.as_mapping(),
        "engraving": bird.engraving,
        "transponder": bird.transponder,
        "counted": bird.counted,
        "whereabouts": bird.whereabouts,
    }
