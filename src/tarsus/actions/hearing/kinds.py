"""Every kind of fact of docs/reference/pack-and-facts.md: which keys it has and which deed it asks for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from tarsus.actions.bands.checks import record_band_found
from tarsus.actions.care.cases import write_note
from tarsus.actions.hearing.fields import (
    any_text,
    given,
    parse_candidate,
    parse_id,
    parse_number_of,
    texts,
)
from tarsus.actions.hearing.in_hand import HANDLING_KEYS, write_handling
from tarsus.actions.roll_call.rounds import (
    close_round,
    give_round_up,
    record_count,
    record_group,
    start_round,
)
from tarsus.actions.roll_call.sightings import WhatTheModelSaid, record_concern, record_sighting, withdraw
from tarsus.actions.telling import Told
from tarsus.core.documents.fields import parse_reading
from tarsus.core.documents.values import (
    parse_chance,
    parse_choice,
    parse_each,
    parse_flag,
    parse_text,
    parse_whole,
)
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.records.models import Colour
from tarsus.records.models.words import BandKind, Side

MOST: Final = 10_000


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of fact: its keys, those it must have, its tables' words, and the deed."""

    keys: tuple[str, ...]
    required: tuple[str, ...]
    table: str
    write: Callable[[Told, Mapping[str, Any]], bool]


def _round_started(told: Told, fact: Mapping[str, Any]) -> bool:
    return start_round(
        told=told,
        round_id=parse_id(fact["round"], "round"),
        exhibit_id=parse_number_of(fact["exhibit"], "exhibit"),
    )


def _round_closed(told: Told, fact: Mapping[str, Any]) -> bool:
    return close_round(told=told, round_id=parse_id(fact["round"], "round"))


def _round_not_done(told: Told, fact: Mapping[str, Any]) -> bool:
    return give_round_up(
        told=told,
        round_id=parse_id(fact["round"], "round"),
        exhibit_id=parse_number_of(fact["exhibit"], "exhibit"),
        because=parse_text(fact["because"], "because"),
        lookalike=given(fact, "lookalike", any_text, ""),
    )


def _count(told: Told, fact: Mapping[str, Any]) -> bool:
    return record_count(
        told=told,
        round_id=parse_id(fact["round"], "round"),
        lookalike=parse_text(fact["lookalike"], "lookalike"),
        counted=parse_whole(fact["counted"], "counted", 0, MOST),
    )


def _group(told: Told, fact: Mapping[str, Any]) -> bool:
    return record_group(
        told=told,
        round_id=parse_id(fact["round"], "round"),
        group=parse_id(fact["group"], "group"),
        size=parse_whole(fact["size"], "size", 1, MOST),
        place_id=given(fact, "place", parse_number_of, None),
        flew=given(fact, "flew", parse_flag, False),
    )


def _sighting(told: Told, fact: Mapping[str, Any]) -> bool:
    palette = park_palette() if fact.get("reading") is not None else BUILT_IN
    said = WhatTheModelSaid(
        candidates=given(fact, "candidates", lambda v, at: parse_each(v, at, parse_candidate), ()),
        none_of_these=given(fact, "none_of_these", parse_chance, None),
    )
    return record_sighting(
        told=told,
        exhibit_id=parse_number_of(fact["exhibit"], "exhibit"),
        how=given(fact, "how", parse_text, None),
        bird_id=given(fact, "bird", parse_number_of, None),
        reading=given(fact, "reading", lambda v, at: parse_reading(v, at, palette), None),
        said=said,
        lookalike=given(fact, "lookalike", any_text, ""),
        round_id=given(fact, "round", parse_id, None),
        group=given(fact, "group", parse_id, None),
        position=given(fact, "position", lambda v, at: parse_whole(v, at, 0, MOST), None),
        place_id=given(fact, "place", parse_number_of, None),
    )


def _withdrawn(told: Told, fact: Mapping[str, Any]) -> bool:
    return withdraw(
        told=told,
        fact_id=parse_id(fact["corrects"], "corrects"),
        because=parse_text(fact["because"], "because"),
    )


def _concern(told: Told, fact: Mapping[str, Any]) -> bool:
    return record_concern(
        told=told,
        bird_ids=parse_each(fact["birds"], "birds", parse_number_of),
        seen=given(fact, "seen", texts, ()),
        sighting_id=given(fact, "sighting", parse_id, None),
        side=given(fact, "side", lambda v, at: parse_choice(v, at, "side", Side.values[:2]), ""),
        note=given(fact, "note", any_text, ""),
        tell_vet=given(fact, "tell_vet", parse_flag, False),
    )


def _band_found(told: Told, fact: Mapping[str, Any]) -> bool:
    return record_band_found(
        told=told,
        exhibit_id=parse_number_of(fact["exhibit"], "exhibit"),
        kind=parse_choice(fact["what"], "what", "kind of band", BandKind.values),
        colour=given(fact, "colour", any_text, ""),
        engraving=given(fact, "engraving", any_text, ""),
        place_id=given(fact, "place", parse_number_of, None),
        note=given(fact, "note", any_text, ""),
    )


def _note(told: Told, fact: Mapping[str, Any]) -> bool:
    return write_note(
        told=told,
        text=parse_text(fact["text"], "text"),
        bird_id=given(fact, "bird", parse_number_of, None),
        exhibit_id=given(fact, "exhibit", parse_number_of, None),
        round_id=given(fact, "round", parse_id, None),
    )


def _handling(told: Told, fact: Mapping[str, Any]) -> bool:
    return write_handling(told, fact, park_palette())


def park_palette() -> Palette:
    """The park's colours, the built-in ones until it has its own."""
    colours = dict(Colour.objects.order_by("order", "id").values_list("name", "hex"))
    return Palette.of(colours) if colours else BUILT_IN


_SIGHTING_KEYS: Final = (
    "round",
    "exhibit",
    "bird",
    "lookalike",
    "how",
    "reading",
    "candidates",
    "none_of_these",
    "group",
    "position",
    "place",
)

KINDS: Final[dict[str, Kind]] = {
    "round_started": Kind(("round", "exhibit"), ("round", "exhibit"), "round started", _round_started),
    "round_closed": Kind(("round",), ("round",), "round closed", _round_closed),
    "round_not_done": Kind(
        ("round", "exhibit", "lookalike", "because"),
        ("round", "exhibit", "because"),
        "round not done",
        _round_not_done,
    ),
    "count": Kind(("round", "lookalike", "counted"), ("round", "lookalike", "counted"), "count", _count),
    "group": Kind(("round", "group", "place", "size", "flew"), ("round", "group", "size"), "group", _group),
    "sighting": Kind(_SIGHTING_KEYS, ("exhibit",), "sighting", _sighting),
    "withdrawn": Kind(("corrects", "because"), ("corrects", "because"), "withdrawal", _withdrawn),
    "concern": Kind(
        ("sighting", "birds", "seen", "side", "note", "tell_vet"), ("birds",), "concern", _concern
    ),
    "band_found": Kind(
        ("exhibit", "place", "what", "colour", "engraving", "note"),
        ("exhibit", "what"),
        "band found",
        _band_found,
    ),
    "note": Kind(("bird", "exhibit", "round", "text"), ("text",), "note", _note),
    "handling": Kind(HANDLING_KEYS, ("bird", "why"), "handling", _handling),
}
