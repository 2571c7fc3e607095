"""What the documents of all commands share: palette, reader, marks, readings, birds.

Every reader takes the value and its place; an absent value is the caller's affair (`optional`).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Any, Final, TypeVar

from tarsus.core.documents.values import (
    child,
    parse_chance,
    parse_choice,
    parse_list,
    parse_number,
    parse_object,
    parse_text,
    shown,
)
from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import SEXES, Bird
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, OPEN_END, PLUMAGE, SWAP, Bands, Marks, Reading
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.sites import SITES
from tarsus.core.readings.open_ends import MOST_BANDS, told_bands
from tarsus.core.readings.plumage import PLUMAGES
from tarsus.core.readings.reader import TRAINED, UNTRAINED, Reader

Answer = TypeVar("Answer")

READERS: Final = {"trained": TRAINED, "untrained": UNTRAINED}
_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")
_CHANCES: Final = ("swap", "flip", "colour", "overlook", "lost")
_LEARNED: Final = ("intervals", "checks", "set_aside", "gain", "evidence", "earned")
"""What `tarsus learn` adds to a reader; a learned reader can be given as it was printed."""

_BIRD_KEYS: Final = ("id", "sex", "marks", "prior", "lookalike", "young")
_COLOUR: Final = "colour of the palette"


def optional(
    document: dict[str, Any], key: str, parse: Callable[[Any, str], Answer], absent: Answer, place: str = ""
) -> Answer:
    """The entry of a key through its reader, or `absent` where the document leaves it out."""
    return parse(document[key], child(place, key)) if key in document else absent


def parse_palette(value: Any, place: str = "palette") -> Palette:
    """Colour names with their sRGB.

    Raises:
        WrongValue: no colours, a name that means something else in a reading, or no sRGB hex.
    """
    colours = parse_object(value, place)
    if not colours:
        raise WrongValue(place, "has no colour; give at least one, or leave the palette out")
    for name, hexed in colours.items():
        at = child(place, name)
        if name in (METAL, NOT_MADE_OUT, OPEN_END) or not name.strip():
            raise WrongValue(at, f"the name '{name}' is taken; call the colour something else")
        if not isinstance(hexed, str) or not _HEX.fullmatch(hexed):
            raise WrongValue(at, f'{shown(hexed)} is no sRGB colour; write it as "#c8102e"')
    return Palette.of(colours)


def palette_of(document: dict[str, Any]) -> Palette:
    """The palette of a document, the built-in one where it names none."""
    return optional(document, "palette", parse_palette, BUILT_IN)


def parse_reader(value: Any, place: str, palette: Palette) -> Reader:
    """Somebody's error chances, by name or one by one; a chance that is left out is 0.

    Raises:
        WrongValue: a chance out of range, or a row of confusions that sums to more than 1.
        UnknownWord, UnknownKey: no such reader, chance or colour.
    """
    if isinstance(value, str):
        return READERS[parse_choice(value, place, "reader", READERS)]
    given = parse_object(value, place, (*_CHANCES, "confusion", *_LEARNED))
    swap, flip, colour, overlook, lost = (optional(given, c, parse_chance, 0.0, place) for c in _CHANCES)
    if "confusion" not in given:
        return Reader(swap, flip, colour, overlook, lost)
    confusion = parse_confusion(given["confusion"], child(place, "confusion"), palette)
    return Reader(swap, flip, colour, overlook, lost, confusion)


def reader_of(document: dict[str, Any], palette: Palette) -> Reader:
    """The reader of a document, the trained one where it names none."""
    return optional(document, "reader", lambda value, place: parse_reader(value, place, palette), TRAINED)


def parse_confusion(value: Any, place: str, palette: Palette) -> dict[str, dict[str, float]]:
    """Chances of reading one colour as another, by worn colour.

    A row may list its own colour; it then has to leave room for the others, and what counts is the others.

    Raises:
        WrongValue: a chance out of range, or a row that sums to more than 1.
        UnknownWord: no colour of the palette.
    """
    words = (METAL, *palette.names)
    table: dict[str, dict[str, float]] = {}
    for worn, row in parse_object(value, place).items():
        at = child(place, worn)
        parse_choice(worn, at, _COLOUR, words)
        table[worn] = {
            parse_choice(read, child(at, read), _COLOUR, words): parse_chance(chance, child(at, read))
            for read, chance in parse_object(row, at).items()
        }
        if sum(table[worn].values()) > 1 + 1e-9:
            raise WrongValue(at, f"the row sums to {sum(table[worn].values()):g}; at most 1 can be had")
    return table


def parse_bands(value: Any, place: str, palette: Palette, *, read: bool) -> Bands:
    """The bands of one site from the body outward; ``?`` and ``*`` only where they were `read`.

    Raises:
        WrongValue: no list of names, or too many bands beside an open end.
        UnknownWord: no colour of the palette.
    """
    words = (METAL, *palette.names, *((NOT_MADE_OUT, OPEN_END) if read else ()))
    told = parse_list(value, place)
    bands = tuple(parse_choice(band, child(place, at), _COLOUR, words) for at, band in enumerate(told))
    if OPEN_END in bands and len(told_bands(bands)) > MOST_BANDS:
        raise WrongValue(place, f"tells more than {MOST_BANDS} bands beside '{OPEN_END}'; leave some out")
    return bands


@lru_cache(maxsize=8)
def _worn(colours: tuple[str, ...]) -> frozenset[str]:
    return frozenset((METAL, *colours))


def _plainly_worn(value: Any, words: frozenset[str]) -> Bands | None:
    """Bands that are as they should be, without the place that a refusal would name: most are."""
    try:
        return tuple(value) if isinstance(value, list) and words.issuperset(value) else None
    except TypeError:  # a list or an object among them
        return None


def parse_marks(value: Any, place: str, palette: Palette) -> Marks:
    """What a bird wears.

    Raises:
        UnknownWord: no such site, or no colour of the palette.
        WrongValue: a site that is no list.
    """
    sites = parse_object(value, place)
    words, worn = _worn(palette.names), dict[str, Bands]()
    for site, told in sites.items():
        bands = _plainly_worn(told, words) if site in SITES else None
        if bands is None:
            at = child(place, site)
            parse_choice(site, at, "site", SITES)
            bands = parse_bands(told, at, palette, read=False)
        worn[site] = bands
    return Marks.of(worn)


def parse_reading(value: Any, place: str, palette: Palette) -> Reading:
    """What somebody saw of one bird; a site that is null or missing was not seen.

    Beside the sites, ``swap`` may say how probable it is that left and right are exchanged in this reading,
    ``plumage`` whether the bird looked young or grown, and ``lookalike`` of which group it is
    (`reading_lookalike`).

    Raises:
        UnknownWord: no such site, or no colour of the palette.
        WrongValue: a site that is neither a list nor null, or a chance out of range.
    """
    read: dict[str, Any] = {}
    for site, bands in parse_object(value, place).items():
        at = child(place, site)
        if site == SWAP:
            read[SWAP] = parse_chance(bands, at)
        elif site == PLUMAGE:
            read[PLUMAGE] = parse_choice(bands, at, "plumage", PLUMAGES)
        elif site != "lookalike":
            parse_choice(site, at, "site", SITES)
            read[site] = None if bands is None else parse_bands(bands, at, palette, read=True)
    return Reading.of(read)


def reading_lookalike(value: Any, place: str) -> str | None:
    """The look-alike group that a reading names, `None` where the bird could be of any."""
    return parse_text(value["lookalike"], child(place, "lookalike")) if "lookalike" in value else None


def parse_bird(value: Any, place: str, palette: Palette) -> Bird:
    """One bird of a flock.

    Raises:
        MalformedInput: a key, word or value that a bird does not have.
    """
    bird = parse_object(value, place, _BIRD_KEYS, required=("id", "marks"))
    return Bird(
        id=parse_text(bird["id"], child(place, "id")),
        marks=parse_marks(bird["marks"], child(place, "marks"), palette),
        sex=optional(bird, "sex", parse_sex, "U", place),
        prior=optional(bird, "prior", lambda v, at: parse_number(v, at, 0.0), 1.0, place),
        lookalike=optional(bird, "lookalike", parse_text, "", place),
        young=optional(bird, "young", parse_chance, None, place),
    )


def parse_birds(value: Any, place: str, palette: Palette) -> tuple[Bird, ...]:
    """A flock, every bird with an id of its own.

    Raises:
        MalformedInput: a bird that is none, or two with one id.
    """
    birds: list[Bird] = []
    first: dict[str, int] = {}
    for at, entry in enumerate(parse_list(value, place)):
        bird = parse_bird(entry, child(place, at), palette)
        if bird.id in first:
            there = child(place, first[bird.id])
            where = child(child(place, at), "id")
            raise WrongValue(where, f"'{bird.id}' is already {there}; give every bird its own id")
        first[bird.id] = at
        birds.append(bird)
    return tuple(birds)


def parse_sex(value: Any, place: str) -> str:
    """``F``, ``M`` or ``U``.

    Raises:
        UnknownWord: another letter.
    """
    return parse_choice(value, place, "sex", SEXES)
