"""What was tapped in a photograph, as a sighting keeps it: colours of bands and metal, and the brightness.

`worn` says where each band sits, where it was sure which leg is which: by it the bird, read in the hand
later, tells which colour each tapped band has.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

import numpy as np

from tarsus.core.documents.layout import parse_layout
from tarsus.core.documents.values import child, parse_chance, parse_list, parse_number, parse_object
from tarsus.core.errors import WrongValue
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, OPEN_END, Marks
from tarsus.core.photographs.lessons import Lesson
from tarsus.core.photographs.pixels import FEWEST_OF_METAL, tapped

MOST_BANDS: Final = 12


def parse_taps(value: Any, place: str) -> dict[str, Any]:
    """The taps of one photograph, each as the middle code of its patch.

    Args:
        value: ``{"mean": 0.2, "metal": [128, 123, 104] or null, "bands": [[118, 221, 254], …]}``, and as
            known ``"worn": {"left leg": [0, 1]}``.
        place: what a refusal names.

    Returns:
        The same, with every number in its range.

    Raises:
        MalformedInput: a key or a value that taps do not have.
    """
    told = parse_object(value, place, ("mean", "metal", "bands", "worn"), required=("mean", "bands"))
    bands = parse_list(told["bands"], child(place, "bands"))
    if not 1 <= len(bands) <= MOST_BANDS:
        raise WrongValue(child(place, "bands"), f"has {len(bands)} bands; tap 1 to {MOST_BANDS}")
    metal = told.get("metal")
    kept: dict[str, Any] = {
        "mean": parse_chance(told["mean"], child(place, "mean")),
        "metal": None if metal is None else _code(metal, child(place, "metal")),
        "bands": [_code(one, child(child(place, "bands"), at)) for at, one in enumerate(bands)],
    }
    if "worn" in told:
        layout, _ = parse_layout(told["worn"], child(place, "worn"), len(bands))
        kept["worn"] = {site: list(words) for site, words in layout.items()}
    return kept


def lesson_of(taps: Mapping[str, Any], worn: Marks, colours: Sequence[str]) -> Lesson | None:
    """What kept taps teach, now that it is known what the bird wore.

    Args:
        taps: as `parse_taps` gave them.
        worn: the bird's marks when it was photographed.
        colours: the palette's names, in its order.

    Returns:
        Nothing where the taps do not say where each band sits, or where what was tapped is not what the bird
        wears: a band overlooked, one that was taken for metal, a colour that the park has no more.
    """
    true: dict[int, str] = {}
    for site, told in taps.get("worn", {}).items():
        bands, read = worn.at(site), [word for word in told if word != OPEN_END]
        if len(read) > len(bands) or (len(read) < len(bands) and OPEN_END not in told):
            return None
        for word, band in zip(read, bands, strict=False):
            if not isinstance(word, str):
                true[word] = band
            elif word != NOT_MADE_OUT and (word == METAL) != (band == METAL):
                return None
    found = [true.get(at, "") for at in range(len(taps["bands"]))]
    if any(word not in colours for word in found):
        return None
    # Kept is one code a patch, its middle: it stands for as many as a metal must show.
    metal = None if taps["metal"] is None else np.array([taps["metal"]] * FEWEST_OF_METAL, dtype=np.float64)
    seen = tapped([np.array([code], dtype=np.float64) for code in taps["bands"]], metal, taps["mean"])
    return Lesson(seen, tuple(colours.index(word) for word in found))


def _code(value: Any, place: str) -> list[float]:
    codes = parse_list(value, place)
    if len(codes) != 3:
        raise WrongValue(place, "is no colour; write red, green and blue as [118, 221, 254]")
    return [parse_number(code, child(place, at), 0.0, 255.0) for at, code in enumerate(codes)]
