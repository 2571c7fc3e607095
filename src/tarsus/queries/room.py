"""How many more birds a flock has room for, and which colours to order."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Final

from tarsus.core.choosing.codes.capacity import MOST_COLOURS, capacity
from tarsus.core.choosing.room import colours_to_order, room_left
from tarsus.core.documents.capacity import capacity_in_words
from tarsus.core.marks.candidates import possible_marks
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, UNTRAINED
from tarsus.queries.decision import Decision, park_decision
from tarsus.queries.flock import FlockBird
from tarsus.queries.marking_rules import rule_of
from tarsus.queries.one_park import one_park
from tarsus.records.models import Colour
from tarsus.records.models.words import ReadsAs

MOST_BANDS_SAID: Final = 4
"""Past so many bands a search may take longer than a page; `tarsus capacity` answers for any."""
SEXES: Final = (("F", "females"), ("M", "males"))


@dataclass(frozen=True, slots=True)
class RoomForSex:
    """Room for birds of one sex; `at_most` is a bound where `weighed_all`."""

    sex: str
    birds: int
    at_most: int
    weighed_all: bool


@dataclass(frozen=True, slots=True)
class OrderWorth:
    """A colour that is not in the drawer, and how many more birds it makes room for."""

    colour: str
    more_birds: int


@dataclass(frozen=True, slots=True)
class Room:
    """Room left in a flock under its rule, at the clarity the park wants; `doubt`: what a reading in doubt
    costs, in wrong names."""

    clarity: float
    doubt: float
    held: tuple[str, ...]
    by_sex: tuple[RoomForSex, ...]
    to_order: tuple[OrderWorth, ...]
    told_apart: tuple[str, ...]


def room_of(birds: tuple[FlockBird, ...], day: date) -> Room | None:
    """How many more birds fit, and what each colour that is not held would add.

    Args:
        birds: one flock; the rule is that of the species most of them are of.
        day: the rule of this day.

    Returns:
        Nothing where the park has set no rule for that species.

    Assumes:
        New bands, whole legs seen, the park's reader; what a colour adds is counted for females, as in the
        core's `colours_to_order`, since both sides of a rule mirror each other.
    """
    species = max({bird.species_id for bird in birds}, key=[bird.species_id for bird in birds].count)
    rule = rule_of(species, day)
    if rule is None:
        return None
    park = one_park()
    colours = list(Colour.objects.order_by("order", "id").values_list("name", "hex", "held"))
    palette = Palette.of({name: value for name, value, _ in colours}) if colours else BUILT_IN
    held = tuple(name for name, _, is_held in colours if is_held) or palette.names
    reader = UNTRAINED if park and park.reader == ReadsAs.UNTRAINED else TRAINED
    worn = tuple(bird.marks for bird in birds if bird.bands)
    return _room(
        _Question(
            misreading=Misreading.of(reader, palette),
            worn=worn,
            rule=rule,
            held=held,
            others=tuple(name for name in palette.names if name not in held),
            decision=park_decision(),
        )
    )


@dataclass(frozen=True, slots=True)
class _Question:
    """Everything the answer depends on, so that an unchanged flock is worked out once."""

    misreading: Misreading
    worn: tuple[Marks, ...]
    rule: MarkRule
    held: tuple[str, ...]
    others: tuple[str, ...]
    decision: Decision


@lru_cache(maxsize=64)
def _room(asked: _Question) -> Room:
    rule = asked.rule
    rooms = []
    for sex, _ in SEXES:
        if rule.layouts(sex):
            offer = possible_marks(rule, sex, asked.held)
            room = room_left(
                asked.misreading, asked.worn, offer, asked.decision.clarity, asked.decision.sureness
            )
            rooms.append(RoomForSex(sex, room.birds, room.at_most, room.weighed_all))
    others = [name for name in asked.others if name not in rule.excluded]
    values = colours_to_order(
        asked.misreading,
        asked.worn,
        asked.held,
        others,
        lambda colours: possible_marks(rule, "F", colours) if rule.layouts("F") else [],
        asked.decision.clarity,
        asked.decision.sureness,
    )
    return Room(
        asked.decision.clarity,
        1.0 - asked.decision.sureness,
        asked.held,
        tuple(rooms),
        tuple(OrderWorth(value.colour, value.more_birds) for value in values),
        _told_apart(rule, asked.held),
    )


def _told_apart(rule: MarkRule, held: tuple[str, ...]) -> tuple[str, ...]:
    """What so many colours and bands reach at best, in keepers' words: the surest first."""
    colours = len([name for name in held if name not in rule.excluded])
    bands = max((sum(count for _, count in layout) for layout in rule.layouts("F")), default=0)
    if not 2 <= colours <= MOST_COLOURS or not 1 <= bands <= MOST_BANDS_SAID:
        return ()
    apart = range(min(bands, 3), 0, -1)
    return tuple(capacity_in_words(capacity(colours, bands, distance)) for distance in apart)
