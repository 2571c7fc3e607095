"""What programs ask and are told, as types."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal

from ninja import Schema
from pydantic import ConfigDict, Field, WithJsonSchema

from tarsus.core.deeds.described import schema_of_facts
from tarsus.core.deeds.fields import LARGEST_ID

Reading = dict[str, Any]


class Asked(Schema):
    """A body in which an unknown key is refused by name."""

    model_config = ConfigDict(extra="forbid")


class Amiss(Schema):
    """A field, and what is amiss with it."""

    place: str
    why: str


class Problem(Schema):
    """What was refused, as RFC 9457 has it: `detail` is one sentence with the field and the remedy."""

    type: str
    title: str
    status: int
    detail: str
    errors: list[Amiss] | None = None


class ExhibitOut(Schema):
    """An exhibit of which whoever asks may ask."""

    id: int
    name: str


class CountOut(Schema):
    """A count of a look-alike group that stands; two keepers who counted differently stand side by side."""

    lookalike: str
    counted: int
    at: datetime
    by: int


class SeenOut(Schema):
    """A bird that was named in the roll call: by sight, by reading or inferred."""

    bird: int
    how: str
    at: datetime
    by: int
    chance: float


class GroupOut(Schema):
    """How far a look-alike group was called: begun, called, or not done because; empty of `because`
    otherwise.
    """

    lookalike: str
    state: str
    because: str


class RollOut(Schema):
    """The roll call of an exhibit that is open, or the latest one.

    A bird that was inferred, or named by a doubtful reading, is still unseen; one that is excused, or of a
    group that was not called, is not asked for.
    """

    round: str
    open: bool
    started_at: datetime
    counts: list[CountOut]
    seen: list[SeenOut]
    part_readings: int
    groups: list[GroupOut]
    unseen: list[int]
    not_asked: list[int]


class IdentifyIn(Asked):
    """Readings of birds of one exhibit, in the name of whoever made them; the signed in leave `by` out.

    With `light` or `mud` they are of one round, and tell its light and mud together.
    """

    by: int | None = Field(None, ge=1, le=LARGEST_ID)
    readings: list[Reading] = Field(max_length=1000)
    place: int | None = Field(None, ge=1, le=LARGEST_ID)
    light: Literal["bright", "dull", "dusk", "not said"] | None = None
    mud: bool | None = None


class CandidateOut(Schema):
    """A bird and the chance that it is the one."""

    id: str
    p: float


class IdentifiedOut(Schema):
    """Who it may be; with `none_of_these` the chances sum to 1."""

    candidates: list[CandidateOut]
    none_of_these: float
    look_next: str | None
    fits_nobody: bool
    because: list[str]


class StateOut(Schema):
    """A light and mud, and how likely it was that of the readings."""

    light: str
    mud: bool
    p: float


class IdentifyOut(Schema):
    """One answer a reading, in order; `states` where a light or mud was told."""

    readings: list[IdentifiedOut]
    states: list[StateOut] | None = None


class FactsIn(Asked):
    """Facts as docs/reference/pack-and-facts.md has them, with the device's own clock."""

    clock: datetime | None = None
    facts: list[Annotated[dict[str, Any], WithJsonSchema(schema_of_facts())]] = Field(max_length=500)


class AnswerOut(Schema):
    """What became of one fact: written, known, or refused with the reason; what there is to say; new rows.

    `waits`: the register keeps what it refused as a question.
    """

    id: str
    outcome: str
    reason: str | None = None
    waits: bool | None = None
    said: list[str] | None = None
    wrote: dict[str, Any] | None = None


class FactsOut(Schema):
    """One answer a fact, in order."""

    now: datetime
    answers: list[AnswerOut]
