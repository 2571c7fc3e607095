"""What programs are told at the marking desk and of birds that come, as types."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from ninja import Schema
from pydantic import Field

from tarsus.api.bird_schemas import BirdNamed
from tarsus.api.flock_schemas import Marks, PortraitOut
from tarsus.api.park_schemas import FlockOut
from tarsus.api.schemas import Asked
from tarsus.core.deeds.fields import LARGEST_ID


class FlockToMarkOut(Schema):
    """A flock, how many of its birds are to be marked, and for how many marks wait already."""

    flock: FlockOut
    to_mark: int
    kept: int
    rule: bool


class DrawnOut(Schema):
    """Marks to be drawn, on nobody yet."""

    marks: Marks
    form: str


class NamedOut(Schema):
    """How often a reading of the flock is named wrongly, and how often it is left in doubt."""

    wrongly: float
    in_doubt: float
    sureness: float


class NearOut(Schema):
    """A bird that the new one will be taken for most."""

    bird: BirdNamed = Field(validation_alias="portrait")
    chance: float
    proposed: bool


class OtherOut(Schema):
    """Marks one could take instead, and how the flock is then named."""

    drawn: DrawnOut
    named: NamedOut


class ProposalOut(Schema):
    """Marks proposed for one bird; tell the deed `marks_kept` to keep them."""

    bird: int = Field(validation_alias="bird_id")
    name: str
    about: str
    because: str
    growing: bool
    drawn: DrawnOut
    why: list[str]
    near: list[NearOut]
    others: list[OtherOut]


class KeptOut(Schema):
    """Marks that wait for a bird's next handling."""

    id: int = Field(validation_alias="planned_id")
    bird: int = Field(validation_alias="bird_id")
    name: str
    drawn: DrawnOut
    because: str


class LeftOverOut(Schema):
    """What is left of a colour when all is fitted."""

    colour: str
    amount: int
    order: bool


class RestsOut(Schema):
    """Marks of a bird that died or left, and the day from which they are offered again."""

    name: str
    drawn: DrawnOut
    until: date


class DeskOut(Schema):
    """One flock at the marking desk; `refusal` says why nothing is proposed. `waiting`: bird, name, why, and
    whether marks are proposed for it here.
    """

    exhibit: int = Field(validation_alias="exhibit_id")
    lookalike: str
    rule: bool
    says: str
    refusal: str
    named: NamedOut | None
    habit: NamedOut | None
    least_loss: float
    proposals: list[ProposalOut]
    waiting: list[tuple[int, str, str, bool]]
    kept: list[KeptOut]
    stock: list[LeftOverOut]
    resting: list[RestsOut]
    residents: list[str]
    sites: list[str]
    cautions: list[str]


class ChangeOut(Schema):
    """A bird to re-band: why, with what, and how many bands go on."""

    bird: int = Field(validation_alias="bird_id")
    name: str
    drawn: DrawnOut
    because: str
    put_on: int


class ChangesOut(Schema):
    """The fewest birds to re-band so that every two are told apart."""

    says: str
    birds: list[ChangeOut]
    refusal: str


class WishIn(Asked):
    """Marks that somebody wishes for a bird: all that it would wear."""

    bird: int = Field(ge=1, le=LARGEST_ID)
    marks: Marks


class WishOut(Schema):
    """What the wished marks make of the flock, and what speaks against them."""

    bird: int = Field(validation_alias="bird_id")
    name: str
    drawn: DrawnOut
    says: str
    notes: list[str]
    near: list[NearOut]


class ShipmentOut(Schema):
    """Birds that came together; `told` is the deed by which all of it is taken back."""

    told: UUID
    came_from: str
    on: date
    by: str
    exhibit: str
    papers: str
    birds: list[PortraitOut]


class JoinChangeOut(Schema):
    """A bird to change before newcomers join: what it wears, what it would get, who is too alike to it."""

    bird: int = Field(validation_alias="bird_id")
    name: str
    newcomer: bool
    worn: PortraitOut
    given: DrawnOut
    bands: int
    others: list[BirdNamed]
    other_side: bool


class JoiningOut(Schema):
    """Newcomers of one look-alike group, and the fewest changes that settle all clashes."""

    exhibit: int = Field(validation_alias="exhibit_id")
    lookalike: str
    flock: list[str]
    newcomers: list[PortraitOut]
    held: list[int]
    changes: list[JoinChangeOut]
    stay: int
    proven: bool
    refusal: str
    rule: bool


class ArrivalsOut(Schema):
    """Shipments of the last weeks, and newcomers by look-alike group."""

    shipments: list[ShipmentOut]
    joinings: list[JoiningOut]
