"""What was tapped in a photograph, as a sighting keeps it: colours of bands and metal, and the brightness."""

from __future__ import annotations

from typing import Any, Final

from tarsus.core.documents.values import child, parse_chance, parse_list, parse_number, parse_object
from tarsus.core.errors import WrongValue

MOST_BANDS: Final = 12


def parse_taps(value: Any, place: str) -> dict[str, Any]:
    """The taps of one photograph, each as the middle code of its patch.

    Args:
        value: ``{"mean": 0.2, "metal": [128, 123, 104] or null, "bands": [[118, 221, 254], …]}``.
        place: what a refusal names.

    Returns:
        The same, with every number in its range.

    Raises:
        MalformedInput: a key or a value that taps do not have.
    """
    told = parse_object(value, place, ("mean", "metal", "bands"), required=("mean", "bands"))
    bands = parse_list(told["bands"], child(place, "bands"))
    if not 1 <= len(bands) <= MOST_BANDS:
        raise WrongValue(child(place, "bands"), f"has {len(bands)} bands; tap 1 to {MOST_BANDS}")
    metal = told.get("metal")
    return {
        "mean": parse_chance(told["mean"], child(place, "mean")),
        "metal": None if metal is None else _code(metal, child(place, "metal")),
        "bands": [_code(one, child(child(place, "bands"), at)) for at, one in enumerate(bands)],
    }


def _code(value: Any, place: str) -> list[float]:
    codes = parse_list(value, place)
    if len(codes) != 3:
        raise WrongValue(place, "is no colour; write red, green and blue as [118, 221, 254]")
    return [parse_number(code, child(place, at), 0.0, 255.0) for at, code in enumerate(codes)]
