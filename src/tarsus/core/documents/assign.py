"""The document of `tarsus assign`: marks for new birds, so that nobody is mistaken for another."""

from __future__ import annotations

from typing import Any, Final

from tarsus.core.choosing.assignment import SEED, Assignment, assigned
from tarsus.core.choosing.assignment_fewest import rules_to_try, with_fewest_bands
from tarsus.core.choosing.assignment_slots import Wanted
from tarsus.core.documents.fields import optional, palette_of, parse_birds, parse_sex, reader_of
from tarsus.core.documents.rule import parse_rule
from tarsus.core.documents.values import (
    child,
    parse_choice,
    parse_each,
    parse_flag,
    parse_number,
    parse_object,
    parse_text,
    parse_whole,
)
from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import METAL
from tarsus.core.marks.palette import Palette
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading

KEYS: Final = ("palette", "reader", "rule", "worn", "wanted", "stock", "seed")
WANTED_KEYS: Final = ("id", "sex", "mate", "juvenile", "prior", "lookalike")
LEAST_SHOWN: Final = 1e-6
"""Look-alikes that are taken for a bird less often than this are left out."""


def assign(document: Any) -> dict[str, Any]:
    """Answer one document.

    Args:
        document: as `documents.md` has it.

    Returns:
        `marks` with the look-alikes of each wanted bird, `misidentified` and what goes with it. The same
        document has the same answer: `rule.seconds` is counted as work.

    Raises:
        MalformedInput: a key, word or value that the document does not have.
        NotEnoughMarks: too few combinations or bands; says how many birds can be marked.

    Source:
        docs/science/assignment.md.
    """
    fields = parse_object(document, "", KEYS, required=("rule", "wanted"))
    palette = palette_of(fields)
    misreading = Misreading.of(reader_of(fields, palette), palette)
    given = parse_rule(fields["rule"], "rule", palette)
    nobody: tuple[Bird, ...] = ()
    worn = optional(fields, "worn", lambda value, place: parse_birds(value, place, palette), nobody)
    wanted = parse_each(fields["wanted"], "wanted", _wanted)
    _check(worn, wanted, given.rule)
    stock = optional(fields, "stock", lambda value, place: _stock(value, place, palette), None)
    seed = optional(fields, "seed", parse_whole, SEED if given.seed is None else given.seed)
    part = 1 if given.clarity is None else rules_to_try(given.rule)

    def choose(rule: MarkRule) -> Assignment:
        return assigned(
            worn,
            wanted,
            rule,
            palette.names,
            misreading,
            stock=stock,
            seed=seed,
            sureness=given.sureness,
            seconds=given.seconds / part,
        )

    if given.clarity is None:
        return _told(choose(given.rule), wanted, stock is not None)
    found, reached = with_fewest_bands(choose, given.rule, given.clarity)
    return _told(found, wanted, stock is not None) | {"clarity_reached": reached}


def _wanted(value: Any, place: str) -> Wanted:
    bird = parse_object(value, place, WANTED_KEYS, required=("id",))
    return Wanted(
        id=parse_text(bird["id"], child(place, "id")),
        sex=optional(bird, "sex", parse_sex, "U", place),
        juvenile=optional(bird, "juvenile", parse_flag, False, place),
        mate=optional(bird, "mate", parse_text, None, place),
        prior=optional(bird, "prior", lambda v, at: parse_number(v, at, 0.0), 1.0, place),
        lookalike=optional(bird, "lookalike", parse_text, "", place),
    )


def _check(worn: tuple[Bird, ...], wanted: tuple[Wanted, ...], rule: MarkRule) -> None:
    known = {bird.id: f"worn[{at}]" for at, bird in enumerate(worn)}
    if not wanted:
        raise WrongValue("wanted", "names no bird; give at least one")
    for at, bird in enumerate(wanted):
        place = child("wanted", at)
        if bird.id in known:
            raise WrongValue(
                child(place, "id"), f"'{bird.id}' is already {known[bird.id]}; give every bird its own id"
            )
        known[bird.id] = place
        row = rule.row_of(bird.sex, bird.juvenile)
        if row not in rule.rows():
            rows = ", ".join(rule.rows()) or "none"
            raise WrongValue(
                child(place, "sex"), f"the rule has no row '{row}' (it has {rows}); add one to rule.colours"
            )
    groups = {bird.id: bird.lookalike for bird in worn} | {bird.id: bird.lookalike for bird in wanted}
    for at, bird in enumerate(wanted):
        if bird.mate is None:
            continue
        place = child(child("wanted", at), "mate")
        if bird.mate == bird.id:
            raise WrongValue(place, "a bird is no mate of itself; name another bird, or leave it out")
        if bird.mate not in groups:
            raise WrongValue(place, f"'{bird.mate}' is neither worn nor wanted; name a bird that is")
        if groups[bird.mate] != bird.lookalike:
            raise WrongValue(place, f"'{bird.mate}' is of another look-alike group; name a mate of the same")


def _stock(value: Any, place: str, palette: Palette) -> dict[str, int]:
    bands = (METAL, *palette.names)
    return {
        parse_choice(band, child(place, band), "colour of the palette", bands): parse_whole(
            count, child(place, band)
        )
        for band, count in parse_object(value, place).items()
    }


def _told(found: Assignment, wanted: tuple[Wanted, ...], stocked: bool) -> dict[str, Any]:
    clarity, ids = found.clarity, [bird.id for bird in found.birds]
    first = len(ids) - len(wanted)
    worst = clarity.worst_pairs(1)
    told: dict[str, Any] = {
        "marks": [
            {
                "id": bird.id,
                "marks": found.marks[bird.id].as_mapping(),
                "lookalikes": [
                    {"id": ids[other], "p": chance}
                    for other, chance in clarity.lookalikes(first + at)
                    if chance >= LEAST_SHOWN
                ],
            }
            for at, bird in enumerate(wanted)
        ],
        "misidentified": clarity.misnamed,
        "uncertainty": clarity.uncertainty,
        "worst_pair": [ids[worst[0][0]], ids[worst[0][1]]] if worst else None,
        "named_wrongly": clarity.named_wrongly,
        "left_in_doubt": clarity.left_in_doubt,
        "sureness": clarity.sureness,
        "loss": clarity.loss,
        "sure": {"wrong": clarity.named_wrongly, "unnamed": clarity.left_in_doubt},
        "lower_bound": found.lower_bound,
        "loss_lower_bound": found.loss_bound,
        "proven": found.proven,
        "settled": found.settled,
    }
    if stocked:
        told["left_in_stock"] = dict(found.left_in_stock)
    return told
