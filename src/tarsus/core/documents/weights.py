"""The documents of `tarsus weights`: one bird's weighings in, what each of them says out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from tarsus.core.care.weight_told import WeightTold, weights_told
from tarsus.core.care.weights import Weight, WeightLimits
from tarsus.core.documents.fields import optional
from tarsus.core.documents.values import (
    child,
    parse_each,
    parse_flag,
    parse_list,
    parse_moment,
    parse_number,
    parse_object,
    parse_text,
)
from tarsus.core.errors import WrongValue

_KEYS: Final = ("weights", "prompt_percent", "alarm_percent")
_WEIGHT_KEYS: Final = ("at", "grams", "scale", "fed", "moulting")
_LEAST: Final = 1e-6


@dataclass(frozen=True)
class WeightsDocument:
    """What was asked. `written` is each moment as the document wrote it."""

    weights: tuple[Weight, ...]
    written: tuple[str, ...]
    limits: WeightLimits


def parse_weights(value: Any) -> WeightsDocument:
    """Read a document of `tarsus weights`.

    Raises:
        MalformedInput: a key, a moment or a number that cannot be right, with its place.
    """
    document = parse_object(value, "", _KEYS, required=("weights",))
    weights = parse_each(document["weights"], "weights", _weight)
    for at, weight in enumerate(weights):
        if (weight.at.tzinfo is None) != (weights[0].at.tzinfo is None):
            raise WrongValue(
                f"weights[{at}].at", "some moments say their offset from UTC and some do not; say all or none"
            )
    prompt = optional(document, "prompt_percent", _percent, WeightLimits.prompt_percent)
    alarm = optional(document, "alarm_percent", _percent, max(prompt, WeightLimits.alarm_percent))
    if alarm < prompt:
        raise WrongValue("alarm_percent", f"{alarm:g} is below prompt_percent {prompt:g}; exchange them")
    written = tuple(entry["at"] for entry in parse_list(document["weights"], "weights"))
    return WeightsDocument(weights, written, WeightLimits(prompt, alarm))


def answer_weights(asked: WeightsDocument) -> list[WeightTold]:
    """Judge the weighings in order of time, each by what was known when it was taken.

    Source:
        docs/science/weights.md.
    """
    return weights_told(asked.weights, asked.limits)


def weights_as_document(asked: WeightsDocument, told: list[WeightTold]) -> dict[str, Any]:
    """The answer as `documents.md` has it, with `grams` added."""
    written = dict(zip((id(weight) for weight in asked.weights), asked.written, strict=True))
    return {
        "weights": [
            {
                "at": written[id(one.weight)],
                "grams": one.weight.grams,
                "usual": None if one.reference is None else one.reference.usual_g,
                "percent": one.change_percent,
                "advice": one.prompt,
                "because": one.sentence,
            }
            for one in told
        ]
    }


def _weight(value: Any, place: str) -> Weight:
    weight = parse_object(value, place, _WEIGHT_KEYS, required=("at", "grams"))
    at: datetime = parse_moment(weight["at"], child(place, "at"))
    return Weight(
        at=at,
        grams=parse_number(weight["grams"], child(place, "grams"), _LEAST),
        scale=optional(weight, "scale", parse_text, "", place),
        fed=optional(weight, "fed", _flag_or_null, None, place),
        moulting=optional(weight, "moulting", parse_flag, False, place),
    )


def _flag_or_null(value: Any, place: str) -> bool | None:
    return None if value is None else parse_flag(value, place)


def _percent(value: Any, place: str) -> float:
    return parse_number(value, place, _LEAST, 100.0)
