"""The fact of a handling as a phone sends it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from tarsus.actions.bands.fitting import NewBand
from tarsus.actions.care.handling import InHand, Sampled, record_handling
from tarsus.actions.hearing.fields import any_text, given, parse_moment, parse_number_of, texts
from tarsus.actions.telling import Told
from tarsus.core.documents.fields import parse_reading
from tarsus.core.documents.values import (
    child,
    parse_each,
    parse_flag,
    parse_number,
    parse_object,
    parse_text,
    parse_whole,
)
from tarsus.core.marks.palette import Palette

HANDLING_KEYS: Final = (
    "bird",
    "engraving_read",
    "why",
    "weight_g",
    "first_weight_g",
    "fed",
    "scale",
    "nails",
    "condition",
    "treatment",
    "bands",
    "taken_off",
    "put_on",
    "sample",
    "read_before",
    "chase_started_at",
    "release",
    "walked_well",
    "note",
    "tell_vet",
)
_BAND_KEYS: Final = (
    "site",
    "kind",
    "colour",
    "engraving",
    "series",
    "size",
    "place",
    "temporary",
    "certified",
)


def write_handling(told: Told, fact: Mapping[str, Any], palette: Palette) -> bool:
    """Write down one handling as it was sent.

    Raises:
        MalformedInput: a key, word or value that a handling does not have.
    """
    in_hand = InHand(
        why=parse_text(fact["why"], "why"),
        engraving_read=given(fact, "engraving_read", any_text, ""),
        weight_g=given(fact, "weight_g", _grams, None),
        first_weight_g=given(fact, "first_weight_g", _grams, None),
        fed=given(fact, "fed", parse_flag, None),
        scale=given(fact, "scale", any_text, ""),
        nails=given(fact, "nails", any_text, ""),
        condition=given(fact, "condition", any_text, ""),
        treatment=given(fact, "treatment", any_text, ""),
        bands=given(fact, "bands", lambda v, at: parse_each(v, at, _checked), ()),
        taken_off=given(fact, "taken_off", lambda v, at: parse_each(v, at, _off), ()),
        put_on=given(fact, "put_on", lambda v, at: parse_each(v, at, _on), ()),
        sample=given(fact, "sample", _sample, None),
        read_before=given(fact, "read_before", lambda v, at: parse_reading(v, at, palette), None),
        chase_started_at=given(fact, "chase_started_at", parse_moment, None),
        release=given(fact, "release", any_text, ""),
        walked_well=given(fact, "walked_well", parse_flag, None),
        note=given(fact, "note", any_text, ""),
        tell_vet=given(fact, "tell_vet", parse_flag, False),
        said={key: fact[key] for key in HANDLING_KEYS if fact.get(key) is not None},
    )
    return record_handling(told=told, bird_id=parse_number_of(fact["bird"], "bird"), in_hand=in_hand)


def _grams(value: Any, place: str) -> float:
    return parse_number(value, place, 0.1, 200_000)


def _checked(value: Any, place: str) -> tuple[int, tuple[str, ...]]:
    parse_object(value, place, ("band", "conditions"), ("band", "conditions"))
    return (
        parse_number_of(value["band"], child(place, "band")),
        texts(value["conditions"], child(place, "conditions")),
    )


def _off(value: Any, place: str) -> tuple[int, str]:
    parse_object(value, place, ("band", "why"), ("band", "why"))
    return (
        parse_number_of(value["band"], child(place, "band")),
        parse_text(value["why"], child(place, "why")),
    )


def _on(value: Any, place: str) -> NewBand:
    band = parse_object(value, place, _BAND_KEYS, ("site", "kind"))
    where = band.get("place")
    return NewBand(
        site=parse_text(band["site"], child(place, "site")),
        kind=parse_text(band["kind"], child(place, "kind")),
        colour=_text(band, "colour", place),
        engraving=_text(band, "engraving", place),
        series=_text(band, "series", place),
        size=_text(band, "size", place),
        place=None if where is None else parse_whole(where, child(place, "place"), 0, 20),
        temporary=_flag(band, "temporary", place),
        certified=_flag(band, "certified", place),
    )


def _sample(value: Any, place: str) -> Sampled:
    sample = parse_object(value, place, ("sample", "label", "laboratory"), ("sample", "label"))
    return Sampled(
        sample=parse_text(sample["sample"], child(place, "sample")),
        label=parse_text(sample["label"], child(place, "label")),
        laboratory=_text(sample, "laboratory", place),
    )


def _text(value: Mapping[str, Any], key: str, place: str) -> str:
    return "" if value.get(key) is None else any_text(value[key], child(place, key))


def _flag(value: Mapping[str, Any], key: str, place: str) -> bool:
    return value.get(key) is not None and parse_flag(value[key], child(place, key))
