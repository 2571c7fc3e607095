"""The documents of `tarsus inventory`: what happened to birds in, an inventory that balances out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any, Final

from tarsus.core.care.inventory.balance import InventoryLine, lines_of
from tarsus.core.care.inventory.steps import Step
from tarsus.core.documents.fields import optional, parse_sex
from tarsus.core.documents.values import (
    child,
    parse_choice,
    parse_day,
    parse_each,
    parse_flag,
    parse_object,
    parse_text,
)
from tarsus.core.errors import UnknownKey, WrongValue

HERE, ELSEWHERE, MISSING, DEAD, NOT_YET = "here", "elsewhere", "missing", "dead", "not yet known"

_WHAT: Final = {
    # what happened: (how it must stand with the bird, how it stands afterwards)
    "hatched": ((NOT_YET,), HERE),
    "arrived": ((NOT_YET, ELSEWHERE), HERE),
    "moved in": ((NOT_YET, ELSEWHERE), HERE),
    "found again": ((MISSING,), HERE),
    "resexed": ((NOT_YET, HERE, ELSEWHERE, MISSING, DEAD), ""),
    "died": ((HERE, MISSING, ELSEWHERE), DEAD),
    "departed": ((HERE,), ELSEWHERE),
    "moved out": ((HERE,), ELSEWHERE),
    "missing": ((HERE,), MISSING),
}
_SEXED: Final = ("hatched", "arrived", "resexed")
_KEYS: Final = ("first", "last", "birds")
_BIRD_KEYS: Final = ("id", "species", "owned", "events")
_EVENT_KEYS: Final = ("on", "what", "sex", "owned")


@dataclass(frozen=True)
class Event:
    """One thing that happened to a bird. `owned`: whether it is this park's afterwards, `None` if unsaid."""

    on: date
    what: str
    sex: str
    owned: bool | None


@dataclass(frozen=True)
class InventoryBird:
    """One bird with its events in order of their days; those of one day as the document has them."""

    id: str
    species: str
    owned: bool
    events: tuple[Event, ...]


@dataclass(frozen=True)
class InventoryDocument:
    """What was asked; both days belong to the span."""

    first: date
    last: date
    birds: tuple[InventoryBird, ...]


@dataclass(frozen=True)
class InventoryAnswer:
    """Lines of the birds that are here, and of those that are this park's."""

    held: tuple[InventoryLine, ...]
    owned: tuple[InventoryLine, ...]


@dataclass(frozen=True)
class _Standing:
    """How it stands with a bird. `kept`: it departed and stayed this park's."""

    where: str = NOT_YET
    sex: str = "U"
    ours: bool = True
    kept: bool = False

    def counts(self, owned: bool) -> bool:
        """Whether it is one of the birds held, or one of those owned."""
        here = self.where == HERE
        return self.ours and (here or self.kept) if owned else here


def parse_inventory(value: Any) -> InventoryDocument:
    """Read a document of `tarsus inventory`.

    Raises:
        MalformedInput: a key, a day or a word that cannot be right, or an event that cannot have happened to
            the bird as it then stood, with its place.
    """
    document = parse_object(value, "", _KEYS, required=("first", "last", "birds"))
    first, last = parse_day(document["first"], "first"), parse_day(document["last"], "last")
    if last < first:
        raise WrongValue("last", f"{last} is before {first}; exchange them")
    birds = parse_each(document["birds"], "birds", _bird)
    seen: dict[str, int] = {}
    for at, bird in enumerate(birds):
        if bird.id in seen:
            raise WrongValue(
                f"birds[{at}].id",
                f"'{bird.id}' is already birds[{seen[bird.id]}]; give every bird its own id",
            )
        seen[bird.id] = at
    return InventoryDocument(first, last, birds)


def answer_inventory(asked: InventoryDocument) -> InventoryAnswer:
    """Count what was here, what came and went, and what is here now; every line balances.

    A bird is owned while its `owned` says so and it is here; one that departed stays owned only where that
    event says ``"owned": true`` (a loan).

    Source:
        docs/science/inventory.md, eq. 1.
    """
    held, owned = (
        lines_of((step for bird in asked.birds for step in _steps(bird, of_owned)), asked.first, asked.last)
        for of_owned in (False, True)
    )
    return InventoryAnswer(held, owned)


def inventory_as_document(answer: InventoryAnswer) -> dict[str, Any]:
    """The answer as `documents.md` has it."""
    names = [field.name for field in fields(InventoryLine)]
    return {
        basis: [{name.replace("_", " "): getattr(line, name) for name in names} for line in lines]
        for basis, lines in (("held", answer.held), ("owned", answer.owned))
    }


def _bird(value: Any, place: str) -> InventoryBird:
    bird = parse_object(value, place, _BIRD_KEYS, required=("id", "species", "events"))
    events = parse_each(bird["events"], child(place, "events"), _event)
    in_order = sorted(range(len(events)), key=lambda at: events[at].on)
    made = InventoryBird(
        parse_text(bird["id"], child(place, "id")),
        parse_text(bird["species"], child(place, "species")),
        optional(bird, "owned", parse_flag, True, place),
        tuple(events[at] for at in in_order),
    )
    _refuse_impossible(made, [child(child(place, "events"), at) for at in in_order])
    return made


def _event(value: Any, place: str) -> Event:
    event = parse_object(value, place, _EVENT_KEYS, required=("on", "what"))
    what = parse_choice(event["what"], child(place, "what"), "event of a bird", _WHAT)
    if what in _SEXED and "sex" not in event:
        raise WrongValue(
            child(place, "sex"), f"is missing; a bird that {what} has one, U where it is not known"
        )
    if what not in (*_SEXED, "moved in") and "sex" in event:
        raise UnknownKey(child(place, "sex"), "sex", [key for key in _EVENT_KEYS if key != "sex"])
    return Event(
        on=parse_day(event["on"], child(place, "on")),
        what=what,
        sex=optional(event, "sex", parse_sex, "", place),
        owned=optional(event, "owned", parse_flag, None, place),
    )


def _refuse_impossible(bird: InventoryBird, places: list[str]) -> None:
    now = _Standing(ours=bird.owned)
    for event, place in zip(bird.events, places, strict=True):
        allowed, _ = _WHAT[event.what]
        if now.where not in allowed:
            raise WrongValue(
                place,
                f"{bird.id} cannot have {_done(event.what)} on {event.on}: it was {now.where} then; "
                "add what happened before, or take this out",
            )
        now = _after(now, event)


def _done(what: str) -> str:
    return (
        f"been {what}" if what in ("found again", "resexed") else f"gone {what}" if what == MISSING else what
    )


def _after(now: _Standing, event: Event) -> _Standing:
    _, where = _WHAT[event.what]
    ours = now.ours if event.owned is None else event.owned
    if event.what == "resexed":
        return replace(now, sex=event.sex, ours=ours)
    kept = event.what == "departed" and event.owned is True
    return _Standing(where, event.sex or now.sex, ours, kept)


def _steps(bird: InventoryBird, owned: bool) -> Iterator[Step]:
    now = _Standing(ours=bird.owned)
    for event in bird.events:
        then = _after(now, event)
        was, is_now = now.counts(owned), then.counts(owned)
        name = event.what.replace(" ", "_")
        if was and is_now and now.sex != then.sex:
            yield Step(event.on, bird.species, now.sex, -1, "resexed_out")
            yield Step(event.on, bird.species, then.sex, +1, "resexed_in")
        elif was != is_now:
            column = name if name != "resexed" else "arrived" if is_now else "departed"
            yield Step(event.on, bird.species, then.sex if is_now else now.sex, is_now - was, column)
        now = then
