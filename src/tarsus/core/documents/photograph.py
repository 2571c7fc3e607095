"""The document of `tarsus photograph`: tapped pixels in, colours and candidates out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from tarsus.core.documents.fields import optional, palette_of, parse_birds, reader_of
from tarsus.core.documents.identify import listed
from tarsus.core.documents.layout import parse_layout
from tarsus.core.documents.values import (
    child,
    parse_chance,
    parse_list,
    parse_number,
    parse_object,
    shown,
)
from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.palette import Palette
from tarsus.core.photographs.cameras import AS_THOUGHT, Camera
from tarsus.core.photographs.colours import Photographed, photographed
from tarsus.core.photographs.light import Array
from tarsus.core.photographs.pixels import Tapped, tapped
from tarsus.core.photographs.renderings import renderings
from tarsus.core.photographs.whose import Layout, likeliest_reading, posterior, reader_of_photographs
from tarsus.core.readings.identification import STRANGERS, Flock
from tarsus.core.readings.looking import look_next
from tarsus.core.readings.misreading import Misreading

KEYS: Final = ("palette", "mean", "metal", "bands", "birds", "reader", "worn", "strangers", "camera")
CAMERA_KEYS: Final = ("exponent", "ageing", "ageing_of")
MOST_BANDS: Final = 12
MOST_PIXELS: Final = 100_000


@dataclass(frozen=True)
class PhotographDocument:
    """What is asked; `layout` is empty where nothing is asked of birds."""

    palette: Palette
    taps: Tapped
    birds: tuple[Bird, ...]
    misreading: Misreading
    layout: Layout
    swap: float | None
    strangers: float
    camera: Camera = AS_THOUGHT


@dataclass(frozen=True)
class PhotographAnswer:
    """What the photograph tells, and whose legs it may show.

    `candidates` is `None` where no birds were given.
    """

    photo: Photographed
    doubts: tuple[str, ...]
    candidates: tuple[tuple[str, float], ...] | None
    none_of_these: float
    look_next: str | None


def parse_photograph(value: Any) -> PhotographDocument:
    """Read the document of `tarsus photograph`.

    Raises:
        MalformedInput: a key, word or value that it does not have.
    """
    document = parse_object(value, "", KEYS, required=("mean", "bands"))
    palette = palette_of(document)
    bands = [
        _pixels(one, child("bands", at)) for at, one in enumerate(parse_list(document["bands"], "bands"))
    ]
    if not 1 <= len(bands) <= MOST_BANDS:
        raise WrongValue("bands", f"has {len(bands)} bands; tap 1 to {MOST_BANDS}")
    metal = document.get("metal")
    taps = tapped(
        bands,
        None if metal is None else _pixels(metal, "metal"),
        parse_chance(document["mean"], "mean"),
    )
    if ("birds" in document) != ("worn" in document):
        here, missing = ("birds", "worn") if "birds" in document else ("worn", "birds")
        raise WrongValue(missing, f"is missing beside '{here}'; give both, or neither")
    birds: tuple[Bird, ...] = ()
    layout: Layout = {}
    swap: float | None = None
    if "birds" in document:
        birds = parse_birds(document["birds"], "birds", palette)
        layout, swap = parse_layout(document["worn"], "worn", len(bands))
    reader = reader_of_photographs(reader_of(document, palette))
    strangers = optional(document, "strangers", parse_chance, STRANGERS)
    camera = optional(document, "camera", lambda value, place: _camera(value, place, palette), AS_THOUGHT)
    return PhotographDocument(
        palette, taps, birds, Misreading.of(reader, palette), layout, swap, strangers, camera
    )


def answer_photograph(asked: PhotographDocument) -> PhotographAnswer:
    """Say which colours the bands have, and who the bird may be.

    Source:
        docs/science/photographs.md.
    """
    photo = photographed(renderings(asked.palette), asked.taps, asked.camera)
    if not asked.layout:
        return PhotographAnswer(photo, asked.taps.doubts, None, 1.0, None)
    flock = Flock(asked.birds, asked.misreading, strangers=asked.strangers)
    found = posterior(flock, photo, asked.layout, asked.swap)
    return PhotographAnswer(
        photo,
        asked.taps.doubts,
        tuple((flock.birds[at].id, float(found.birds[at])) for at in listed(found.birds)),
        found.none_of_these,
        look_next(flock, likeliest_reading(photo, asked.layout, asked.swap), found),
    )


def photograph_as_document(answer: PhotographAnswer) -> dict[str, Any]:
    """The answer as the contract writes it."""
    names = answer.photo.names
    rows = [dict(zip(names, row.tolist(), strict=True)) for row in answer.photo.chances]
    told: dict[str, Any] = {"bands": rows, "doubts": list(answer.doubts)}
    if answer.candidates is None:
        return told
    return {
        **told,
        "candidates": [{"id": who, "p": chance} for who, chance in answer.candidates],
        "none_of_these": answer.none_of_these,
        "look_next": answer.look_next,
    }


def _pixels(value: Any, place: str) -> Array:
    """``(n, 3)`` codes of a patch.

    Raises:
        WrongValue: no list of triples of codes 0 to 255, or an empty one.
    """
    patch = parse_list(value, place)
    if not 1 <= len(patch) <= MOST_PIXELS:
        raise WrongValue(place, f"has {len(patch)} pixels; give 1 to {MOST_PIXELS:,}")
    return np.array([_pixel(one, child(place, at)) for at, one in enumerate(patch)], dtype=np.float64)


def _pixel(value: Any, place: str) -> Sequence[float]:
    codes = parse_list(value, place)
    if len(codes) != 3:
        raise WrongValue(place, f"{shown(value)} is no pixel; write red, green and blue as [118, 221, 254]")
    return [parse_number(code, child(place, at), 0.0, 255.0) for at, code in enumerate(codes)]


def _camera(value: Any, place: str, palette: Palette) -> Camera:
    """What was learned of a camera and of the park's bands; weights are made to sum to 1."""
    told = parse_object(value, place, CAMERA_KEYS)
    exponent = parse_number(told.get("exponent", 1.0), child(place, "exponent"), 0.05, 4.0)
    ageing = _ageing(told.get("ageing", list(AS_THOUGHT.ageing)), child(place, "ageing"))
    at = child(place, "ageing_of")
    own = parse_object(told.get("ageing_of", {}), at, palette.names)
    return Camera(
        exponent, ageing, tuple((colour, _ageing(ways, child(at, colour))) for colour, ways in own.items())
    )


def _ageing(value: Any, place: str) -> tuple[float, ...]:
    ways = parse_list(value, place)
    if len(ways) != len(AS_THOUGHT.ageing):
        raise WrongValue(place, f"has {len(ways)} weights; give {len(AS_THOUGHT.ageing)}")
    weights = [parse_number(way, child(place, index), 0.0, 1.0) for index, way in enumerate(ways)]
    if not sum(weights) > 0.0:
        raise WrongValue(place, "gives no way of ageing a weight; give one above 0")
    return tuple(weight / sum(weights) for weight in weights)
