"""The documents of `tarsus catch-up`: birds with what they are worth in, whom to catch out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from tarsus.core.care.catch_choice import choose
from tarsus.core.documents.fields import optional
from tarsus.core.documents.values import (
    child,
    parse_choice,
    parse_each,
    parse_flag,
    parse_number,
    parse_object,
    parse_text,
)
from tarsus.core.errors import TooMany, WrongValue

_KEYS: Final = ("minutes", "chase", "birds")
_BIRD_KEYS: Final = ("id", "worth", "minutes", "mate", "must", "never")
_DAY: Final = 1440.0
_MOST: Final = 1e6


@dataclass(frozen=True)
class CatchBird:
    """One bird that might be caught."""

    id: str
    worth: float
    minutes: float
    mate: str | None = None
    must: bool = False
    never: bool = False


@dataclass(frozen=True)
class CatchDocument:
    """What was asked. `minutes` are those allowed, the `chase` included."""

    minutes: float
    chase: float
    birds: tuple[CatchBird, ...]

    @property
    def mates(self) -> list[tuple[int, int]]:
        """Places of birds that are caught together."""
        at = {bird.id: place for place, bird in enumerate(self.birds)}
        return [(place, at[bird.mate]) for place, bird in enumerate(self.birds) if bird.mate is not None]


@dataclass(frozen=True)
class CatchAnswer:
    """Whom to catch, in the order of the document, and why each of the others is not."""

    catch: tuple[CatchBird, ...]
    minutes: float
    worth: float
    left_out: tuple[tuple[str, str], ...]


def parse_catch_up(value: Any) -> CatchDocument:
    """Read a document of `tarsus catch-up`.

    Raises:
        MalformedInput: a key or a number that cannot be right, a mate that is not here, or a bird that must
            be caught and must not, by itself or by its mate.
    """
    document = parse_object(value, "", _KEYS, required=("minutes", "birds"))
    minutes = parse_number(document["minutes"], "minutes", 0.0, _DAY)
    chase = optional(document, "chase", lambda v, at: parse_number(v, at, 0.0, _DAY), 0.0)
    birds = parse_each(document["birds"], "birds", _bird)
    first: dict[str, int] = {}
    for at, bird in enumerate(birds):
        if bird.id in first:
            raise WrongValue(
                f"birds[{at}].id",
                f"'{bird.id}' is already birds[{first[bird.id]}]; give every bird its own id",
            )
        first[bird.id] = at
    for at, bird in enumerate(birds):
        if bird.mate is not None:
            parse_choice(bird.mate, f"birds[{at}].mate", "bird of this document", first)
            if bird.mate == bird.id:
                raise WrongValue(f"birds[{at}].mate", f"'{bird.id}' is the bird itself; name the other one")
    asked = CatchDocument(minutes, chase, birds)
    _refuse_both(asked)
    return asked


def _bird(value: Any, place: str) -> CatchBird:
    bird = parse_object(value, place, _BIRD_KEYS, required=("id", "worth", "minutes"))
    made = CatchBird(
        id=parse_text(bird["id"], child(place, "id")),
        worth=parse_number(bird["worth"], child(place, "worth"), 0.0, _MOST),
        minutes=parse_number(bird["minutes"], child(place, "minutes"), 0.0, _DAY),
        mate=optional(bird, "mate", lambda v, at: None if v is None else parse_text(v, at), None, place),
        must=optional(bird, "must", parse_flag, False, place),
        never=optional(bird, "never", parse_flag, False, place),
    )
    if made.must and made.never:
        raise WrongValue(
            child(place, "never"), f"'{made.id}' must be caught as well; leave one of the two out"
        )
    return made


def _refuse_both(asked: CatchDocument) -> None:
    """Refuse a bird that must be caught together with one that is never caught."""
    for group in _together(asked):
        never = next((asked.birds[at] for at in group if asked.birds[at].never), None)
        must = next((at for at in group if asked.birds[at].must), None)
        if never is not None and must is not None:
            raise WrongValue(
                f"birds[{must}].must",
                f"'{asked.birds[must].id}' is caught together with '{never.id}', who is never caught; "
                "leave out must, never or the mate",
            )


def _together(asked: CatchDocument) -> list[set[int]]:
    groups: list[set[int]] = [{at} for at in range(len(asked.birds))]
    for one, other in asked.mates:
        joined = [group for group in groups if one in group or other in group]
        groups = [group for group in groups if group not in joined] + [set[int]().union(*joined)]
    return groups


def answer_catch_up(asked: CatchDocument) -> CatchAnswer:
    """Choose the birds of greatest worth that fit into the minutes; of choices worth the same the shorter.

    Raises:
        TooMany: those that must be caught do not fit.

    Source:
        docs/science/catch-up.md.
    """
    together = {at: group for group in _together(asked) for at in group}
    worth, minutes = [bird.worth for bird in asked.birds], [bird.minutes for bird in asked.birds]
    must = {at for at, bird in enumerate(asked.birds) if bird.must}
    never = {at for at, bird in enumerate(asked.birds) if bird.never}
    taken = choose(worth, minutes, asked.minutes - asked.chase, asked.mates, must=must, never=never)
    if taken is None:
        needed = {mate for at in must for mate in together[at]}
        total = asked.chase + sum(minutes[at] for at in needed)
        raise TooMany(
            "minutes",
            f"{asked.minutes:g} do not hold the {len(needed)} birds that must be caught; "
            f"with catching they take {total:g}, allow those or ask for fewer",
        )
    caught = sorted(taken)
    return CatchAnswer(
        tuple(asked.birds[at] for at in caught),
        asked.chase + sum(minutes[at] for at in caught) if caught else 0.0,
        sum(worth[at] for at in caught),
        tuple(
            (bird.id, _because(asked, at, together[at]))
            for at, bird in enumerate(asked.birds)
            if at not in taken
        ),
    )


def _because(asked: CatchDocument, at: int, together: set[int]) -> str:
    """Why a bird is not caught."""
    mates = [asked.birds[other] for other in sorted(together - {at})]
    barred = next((mate for mate in mates if mate.never), None)
    if asked.birds[at].never:
        return "not to be caught"
    if barred is not None:
        return f"its mate {barred.id} is not to be caught, and mates are caught together"
    if not sum(asked.birds[other].worth for other in together):
        return "nothing would be settled by it"
    alone = asked.chase + sum(asked.birds[other].minutes for other in together)
    with_mate = f" with {' and '.join(mate.id for mate in mates)}" if mates else ""
    if alone > asked.minutes:
        return f"takes {alone:g} minutes{with_mate} and catching; {asked.minutes:g} are allowed"
    return f"does not fit{with_mate} into {asked.minutes:g} minutes beside those that are worth more"


def catch_up_as_document(answer: CatchAnswer) -> dict[str, Any]:
    """The answer as `documents.md` has it."""
    return {
        "catch": [bird.id for bird in answer.catch],
        "minutes": answer.minutes,
        "worth": answer.worth,
        "left_out": [{"id": bird, "because": because} for bird, because in answer.left_out],
    }
