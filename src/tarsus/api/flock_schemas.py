"""What programs are told of flocks, of exhibits and of who a bird may be, as types."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from ninja import Schema
from pydantic import Field

from tarsus.api.bird_schemas import BirdNamed, DayOut
from tarsus.api.park_schemas import ExhibitTodayOut, FlockOut
from tarsus.api.schemas import Asked, Reading
from tarsus.core.deeds.fields import LARGEST_ID

Marks = dict[str, list[str]]
"""Bands by site, from the body outward."""


class PortraitOut(BirdNamed):
    """A bird with what it wears; `exhibit` is where it lives."""

    species: str
    lookalike: str
    sex: str
    exhibit: int = Field(validation_alias="exhibit_id")
    marks: Marks


class ExhibitWholeOut(Schema):
    """An exhibit with its places by name and kind, and its roll call of today; null where no bird lives."""

    id: int = Field(validation_alias="exhibit_id")
    name: str
    places: list[tuple[str, str]]
    today: ExhibitTodayOut | None
    flocks: list[FlockOut]


class AlikePairOut(Schema):
    """Two birds that are taken for each other, how often, and what makes them alike."""

    one: BirdNamed
    other: BirdNamed
    chance: float
    why: str


class ClarityOut(Schema):
    """How often a reading of the flock names the wrong bird, or nobody, where a name is said from
    `sureness` on.
    """

    misnamed: float
    named_wrongly: float
    left_in_doubt: float
    sureness: float
    worst: list[AlikePairOut]
    share_of_worst: float


class RoomForSexOut(Schema):
    """How many more birds of one sex fit; `at_most` is a bound where not every mark was weighed."""

    sex: str
    birds: int
    at_most: int
    weighed_all: bool


class OrderWorthOut(Schema):
    """A colour that is not held, and how many more birds it makes room for."""

    colour: str
    more_birds: int


class RoomOut(Schema):
    """Room left under the rule, at the clarity that the park wants."""

    clarity: float
    held: list[str]
    by_sex: list[RoomForSexOut]
    to_order: list[OrderWorthOut]


class ColourSightOut(Schema):
    """Colours as one pair of eyes sees them, as sRGB hex; `together` are pairs of indices that draw
    together.
    """

    eyes: str
    names: list[str]
    seen: list[str]
    together: list[tuple[int, int]]


class FlockWholeOut(Schema):
    """A flock; `clarity` is null where no band is worn or one bird lives, `room` where no rule is set."""

    exhibit: int = Field(validation_alias="exhibit_id")
    lookalike: str
    species: list[str]
    mfu: str
    birds: list[PortraitOut]
    clarity: ClarityOut | None
    room: RoomOut | None
    sights: list[ColourSightOut]


class CalendarDayOut(Schema):
    """A day of the calendar: the share seen of the birds looked for, null where none was."""

    day: date
    share: float | None
    hard: bool


class CalendarRowOut(Schema):
    """A bird with its days, the oldest first."""

    bird: BirdNamed = Field(validation_alias="portrait")
    days: list[DayOut]
    says: str


class CalendarOut(Schema):
    """The presence calendar of a flock: its birds in groups, the most worrying first."""

    exhibit: int = Field(validation_alias="exhibit_id")
    lookalike: str
    days: list[CalendarDayOut]
    groups: list[tuple[str, list[CalendarRowOut]]]


class PairIn(Asked):
    """Two birds of a flock; with `one_marks` or `other_marks` they are weighed as if they wore those."""

    one: int = Field(ge=1, le=LARGEST_ID)
    other: int = Field(ge=1, le=LARGEST_ID)
    one_marks: Marks | None = None
    other_marks: Marks | None = None


class PairOut(Schema):
    """Two birds side by side: how often one is named the other, by kind of eyes too, and what makes them
    alike."""

    one: PortraitOut
    other: PortraitOut
    says: str
    why: str
    by_eyes: dict[str, str]
    thought_of: list[str]


class WalkStepOut(Schema):
    """One place of the walk; `by` is the minute when it is looked over, `likely` birds by id, name and
    chance.
    """

    n: int
    place: int
    name: str
    minutes: float
    by: float
    likely: list[tuple[int, str, float]]
    expected: float
    x: float
    y: float


class PlanOut(Schema):
    """The plan of an exhibit and the walk to its missing birds; `drawn` is null where nobody drew one, else
    as in a pack.
    """

    exhibit: int
    drawn: dict[str, Any] | None
    missing: list[BirdNamed]
    steps: list[WalkStepOut]
    says: str


class ReadinessOut(Schema):
    """Which flocks somebody is ready for, as far as they share it."""

    name: str
    ready: list[str]
    not_yet: list[str]
    shared_at: datetime | None


class WhoIn(Asked):
    """Readings of birds of the whole park, in the name of whoever made them; the signed in leave `by`
    out.
    """

    by: int | None = Field(None, ge=1, le=LARGEST_ID)
    readings: list[Reading] = Field(max_length=100)
    visitor: bool = Field(False, description="Whether a visitor read them, and only told of it.")


class WhoCandidateOut(Schema):
    """A bird, where it lives, and the chance that it is the one."""

    bird: int
    name: str
    exhibit: int
    p: float


class WhoOut(Schema):
    """Who a reading may be; with `none_of_these` the chances sum to 1 but for those under a millionth."""

    candidates: list[WhoCandidateOut]
    none_of_these: float
    look_next: str | None
    fits_nobody: bool
    because: list[str]
