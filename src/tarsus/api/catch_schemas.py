"""What programs are told of catch-ups and months, as types."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from ninja import Schema
from pydantic import Field

from tarsus.api.park_schemas import CatchUpOut, WeatherOut


class ChosenOut(Schema):
    """A bird that the plan would catch, why, and for how many minutes it is in hand."""

    bird: int
    name: str
    reasons: list[str]
    minutes: float


class LeftOutOut(Schema):
    """A bird that the plan leaves out, and why."""

    bird: int
    name: str
    because: str


class CatchPlanOut(Schema):
    """A proposal; `forbidden` is what forbids the whole session, `lifted` what was signed away."""

    chosen: list[ChosenOut]
    left_out: list[LeftOutOut]
    forbidden: list[str]
    lifted: list[str]
    minutes: float
    minutes_allowed: float
    worth: float


class LimitsOut(Schema):
    """The vet's limits of a session."""

    minutes: float
    rest_days: int
    too_hot_c: float
    too_cold_c: float | None
    until_hour: float


class SignatureOut(Schema):
    """A reason that lifts a limit for the day; it holds when vet and lead keeper have both signed."""

    ruled: str
    reason: str
    bird: int | None = Field(validation_alias="bird_id")
    vet: str
    lead: str
    holds: bool


class CatchDayOut(Schema):
    """Whether a catch-up could be on a day, and how many birds it would take."""

    day: date
    state: str
    birds: int
    early: bool


class BandsToTakeOut(Schema):
    """Bands to take along: for which birds, and how many are held."""

    species: str
    kind: str
    word: str
    size: str
    birds: list[str]
    held: int


class ToolOut(Schema):
    """A thing to take along, and for which birds where it is for some only."""

    what: str
    birds: list[str]


class KitOut(Schema):
    """The kit of a catch-up."""

    bands: list[BandsToTakeOut]
    tools: list[ToolOut]


class ProposedOut(Schema):
    """A catch-up of one exhibit as it is proposed for a day; tell `catch_up_kept` to keep it."""

    exhibit: int
    day: date
    starts_hour: float
    chase_minutes: float
    plan: CatchPlanOut
    limits: LimitsOut
    forecast: WeatherOut | None
    nests: list[str]
    signatures: list[SignatureOut]
    kept: list[CatchUpOut]
    days: list[CatchDayOut]
    kit: KitOut
    caution: str


class OutcomeOut(Schema):
    """What became of a bird of the plan; `waits` is what of its work is due still."""

    how: str
    because: str
    by: str
    at: datetime | None
    waits: list[str]


class DayBirdOut(Schema):
    """One bird of a catch-up."""

    bird: int
    name: str
    why: list[str]
    outcome: OutcomeOut


class CatchUpDayOut(Schema):
    """One catch-up: whom it takes, the kit, what became of each bird, what forbids it as things stand."""

    plan: CatchUpOut
    birds: list[DayBirdOut]
    untold: list[str]
    kit: KitOut
    limits: LimitsOut
    over_hour: float
    forecast: WeatherOut | None
    forbidden: list[str]
    caution: str


class InventoryLineOut(Schema):
    """One species and sex over a month: from the opening over what came and went to the closing."""

    species: str
    sex: str
    opening: int
    hatched: int
    arrived: int
    moved_in: int
    found_again: int
    resexed_in: int
    died: int
    departed: int
    moved_out: int
    missing: int
    resexed_out: int
    closing: int


class MonthTableOut(Schema):
    """The park's birds, those it owns, or those of one exhibit."""

    title: str
    lines: list[InventoryLineOut]
    closing: int


class SignedOut(Schema):
    """A version of a month that was signed."""

    version: int
    signed_at: datetime
    signed_by: str


class ChangedOut(Schema):
    """What is different now in one line of a signed month: column, as signed, as known now."""

    where: str
    species: str
    sex: str
    numbers: list[tuple[str, int, int]]


class MonthWholeOut(Schema):
    """A month's inventory as it was signed, or as it is known now while nobody has signed it."""

    first_day: date
    last_day: date
    over: bool
    balances: bool
    held: MonthTableOut
    owned: MonthTableOut
    exhibits: list[MonthTableOut]
    eggs: list[tuple[str, int]]
    signed: SignedOut | None
    versions: list[SignedOut]
    changed: list[ChangedOut]

    @staticmethod
    def table(shown: Any) -> dict[str, Any]:
        """A table of the page as its lines."""
        lines = [line for row in shown.rows for line in row.row.lines]
        return {"title": shown.title, "lines": lines, "closing": shown.closing}
