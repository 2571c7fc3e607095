"""The document of `tarsus reconcile`: readings of one round, by groups, weighed together."""

from __future__ import annotations

from typing import Any

import numpy as np

from tarsus.core.documents import lights
from tarsus.core.documents.fields import (
    optional,
    palette_of,
    parse_birds,
    parse_reading,
    reader_of,
    reading_lookalike,
)
from tarsus.core.documents.values import child, parse_chance, parse_each, parse_object
from tarsus.core.errors import WrongValue
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.identification import STRANGERS
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reconciliation import GroupChances
from tarsus.core.readings.reconciliation_of_readings import (
    SeenInView,
    reconciled_readings,
    reconciled_readings_in_states,
)

KEYS = ("palette", "reader", "birds", "groups", "strangers", *lights.KEYS)


def reconcile(document: Any) -> dict[str, Any]:
    """Answer one document.

    Args:
        document: as `documents.md` has it.

    Returns:
        `seen` (chance of each bird, at least once), `groups` (for each reading the likeliest bird, its chance
        and that of none of these), `method`; where a `light` or `mud` is told, `states` (how likely each
        was).

    Raises:
        MalformedInput: a key, word or value that the document does not have.
        ImpossibleReading: the readings of a group cannot all be of different birds.

    Source:
        docs/science/reconciliation.md.
    """
    fields = parse_object(document, "", KEYS, required=("birds", "groups"))
    palette = palette_of(fields)
    misreading = Misreading.of(reader_of(fields, palette), palette)
    birds = parse_birds(fields["birds"], "birds", palette)
    if not birds:
        raise WrongValue("birds", "has no bird; give at least one")
    groups = parse_each(
        fields["groups"],
        "groups",
        lambda group, place: parse_each(group, place, lambda seen, at: _seen(seen, at, palette)),
    )
    strangers = optional(fields, "strangers", parse_chance, STRANGERS)
    known = {bird.lookalike for bird in birds}
    for g, group in enumerate(groups):
        for r, seen in enumerate(group):
            if seen.lookalike is not None and seen.lookalike not in known:
                place = child(child(child("groups", g), r), "lookalike")
                raise WrongValue(
                    place, f"no bird is a '{seen.lookalike}'; name a look-alike group of the birds"
                )
    in_light = lights.parse_in_light(fields, misreading, palette)
    states: dict[str, Any] = {}
    if in_light is None:
        answer = reconciled_readings(birds, misreading, groups, strangers=strangers)
    else:
        observers, prior = in_light.observers, in_light.prior
        told = reconciled_readings_in_states(birds, observers, prior, groups, strangers=strangers)
        answer, states = told.round, {"states": lights.states_as_document(told.states)}
    return {
        "seen": {bird.id: float(chance) for bird, chance in zip(birds, answer.seen, strict=True)},
        "groups": [_likeliest(group, [bird.id for bird in birds]) for group in answer.groups],
        "method": answer.method,
        **states,
    }


def _seen(value: Any, place: str, palette: Palette) -> SeenInView:
    return SeenInView(parse_reading(value, place, palette), reading_lookalike(value, place))


def _likeliest(group: GroupChances, ids: list[str]) -> list[dict[str, Any]]:
    best = np.argmax(group.chances, axis=1) if len(group.chances) else []
    return [
        {"id": ids[at], "p": float(chances[at]), "none_of_these": float(stranger)}
        for at, chances, stranger in zip(best, group.chances, group.stranger, strict=True)
    ]
