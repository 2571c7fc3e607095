"""Kinds of lists beside a list of birds: weights, sightings, ticks, rounds, results, series, stock, nests.

A kind says which columns it reads, which of them it cannot do without, and which may be said once for the
whole file. The words that head them stand in `words/`, a section a kind and one for what every list may name.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.tables.columns import NOT_BROUGHT_IN, Columns, field_of, folded
from tarsus.tables.park_words import LANGUAGES, language
from tarsus.tables.tick_days import looks_like_day

BIRDS: Final = "birds"
ID: Final = "id"
"""The fact's own id, as a table of an export has it."""
_BIRD_LISTS_ONLY: Final = frozenset(
    {"marks", "left", "right", "left tarsus", "right tarsus", "left tibia", "right tibia", "origin"}
    | {"dam", "sire", "died", "departed", "arrived", "banded"}
)


_TOLD_BESIDE: Final[Mapping[str, frozenset[str]]] = {
    "results": frozenset({"sample", "known by", "on"}),
    "rounds": frozenset({"exhibit", "group", "unseen"}),
}
"""One of these must have a column as well, for a file to be taken for a list of this kind by itself."""
_LEAST_TICKS: Final = 3


@dataclass(frozen=True, slots=True)
class AskedOnce:
    """What no column could say: asked once a file, where a column for `beside` is there if one is named."""

    field: str
    text: str
    ways: tuple[str, ...]
    beside: str = ""


@dataclass(frozen=True, slots=True)
class ListKind:
    """One kind of list. Of each group in `needs` one column must be there, or be said for the whole file.

    Args:
        name: its name, and that of its section in `words/`.
        one: a line of it.
        deeds: what its lines tell, each through the one door.
        fields: what it reads, its own before what every list may name.
        needs: groups of fields of which one must have a column.
        once: fields that may be said once for the file, with what is proposed; nothing is taken unsaid.
        asks: what is asked once and no column says.
        many: the field that many columns may be.
        told_by: what is told together: a line, or a day of an exhibit.
    """

    name: str
    one: str
    deeds: tuple[str, ...]
    fields: tuple[str, ...]
    needs: tuple[tuple[str, ...], ...]
    once: Mapping[str, tuple[str, ...]]
    asks: tuple[AskedOnce, ...] = ()
    many: str = ""
    told_by: str = "line"


TICK: Final = "tick"
SEEN: Final = "seen"
NOT_SEEN: Final = "not seen"
TICKED: Final = (SEEN, NOT_SEEN, "not looked for", "not there yet")
"""What a tick of an old sheet may say of a bird and a day."""
NOTHING_SAID: Final = "nothing said"
TIME_NOT_KNOWN: Final = "not known"

KINDS: Final[Mapping[str, ListKind]] = {
    kind.name: kind
    for kind in (
        ListKind(
            "ticks",
            "day of an exhibit",
            ("round_started", "sighting", "count", "round_closed"),
            (TICK, "bird", "on", "time", "exhibit"),
            ((TICK,), ("bird", "on")),
            {"time": (TIME_NOT_KNOWN,)},
            (
                AskedOnce(
                    "blank",
                    "What does an empty cell say? 'not seen' holds only where everybody was looked for on "
                    "each day that has a tick.",
                    (NOTHING_SAID, NOT_SEEN),
                ),
            ),
            many=TICK,
            told_by="day",
        ),
        ListKind(
            "rounds",
            "round",
            ("round_started", "count", "sighting", "note", "round_closed"),
            ("counted", "group", "unseen", "who", "on", "time", "exhibit"),
            (("counted",), ("on",)),
            {"exhibit": (), "time": (TIME_NOT_KNOWN,)},
            (
                AskedOnce(
                    "others",
                    "Where a line names who was unseen: were all others of that group seen?",
                    (SEEN, NOTHING_SAID),
                    beside="unseen",
                ),
            ),
        ),
        ListKind(
            "nests",
            "nest",
            ("nest_begun", "nest_event", "nest_ended"),
            (
                *("nest", "species", "begun", "eggs", "hatched", "hatched on", "fledged", "fledged on"),
                *("ended", "exhibit", "place"),
            ),
            (("nest",), ("begun",)),
            {"exhibit": (), "species": ()},
        ),
        ListKind(
            "series",
            "series of metal bands",
            ("metal_series_added",),
            ("series", "prefix", "first", "last", "size"),
            (("series",), ("first",), ("last",)),
            {"size": ()},
        ),
        ListKind(
            "stock",
            "drawer",
            ("stock_changed", "stock_counted"),
            ("what", "colour", "size", "amount", "on"),
            (("what", "colour"), ("amount",), ("size",)),
            {"what": ("colour", "metal"), "on": ()},
        ),
        ListKind(
            "weights",
            "weight",
            ("weighed",),
            ("weight", "where", "scale", "fed", "bird", "on", "time"),
            (("weight",), ("bird",), ("on",)),
            {"where": ("in hand", "perch scale")},
        ),
        ListKind(
            "results",
            "result",
            ("sex_finding",),
            ("sample", "sex", "known by", "bird", "on"),
            (("sex",), ("bird", "sample")),
            {"known by": ("DNA", "endoscopy"), "on": ()},
        ),
        ListKind(
            "sightings",
            "sighting",
            ("sighting",),
            ("bird", "on", "time", "exhibit", "place"),
            (("bird",), ("on",)),
            {},
        ),
    )
}
"""By name, in the order in which a file's headings are held against them."""


def kind_named(name: str) -> ListKind:
    """The kind of list of this name.

    Raises:
        UnknownWord: there is none.
    """
    if name not in KINDS:
        raise UnknownWord("what", name, "kind of list", (BIRDS, *KINDS))
    return KINDS[name]


def headings_of(kind: ListKind) -> Mapping[str, str]:
    """Every heading of a kind in any language -> our field."""
    return _headings(kind.name)


@cache
def _headings(name: str) -> Mapping[str, str]:
    kind = KINDS[name]
    found: dict[str, str] = {}
    for section in (kind.name, "lists"):
        for code in LANGUAGES:
            for field, words in language(code).sections.get(section, {}).items():
                if field in kind.fields:
                    for word in (field, *words):
                        found.setdefault(folded(word), field)
    return found


def known_heading(heading: str) -> bool:
    """Whether a list of any kind, birds among them, knows a heading: what finds the line of headings."""
    return bool(field_of(heading)) or any(folded(heading) in headings_of(kind) for kind in KINDS.values())


def likely_kind(headings: Iterable[str]) -> str:
    """What a file is a list of, by its headings; it is shown, and may be said otherwise.

    Returns:
        The first kind of which every needed column is there; birds where a column speaks of birds alone.
    """
    headings = tuple(headings)
    birds = {field_of(heading) for heading in headings} - {""}
    if _ticks_among(headings):
        return "ticks"
    for kind in KINDS.values():
        if kind.many:
            continue
        fields = set(_by_heading(headings, kind).values())
        needed = all(fields & set(group) for group in kind.needs)
        of_birds = "bird" in fields and (birds & _BIRD_LISTS_ONLY or {"species", "exhibit"} <= birds)
        beside = _TOLD_BESIDE.get(kind.name)
        if needed and (beside is None or fields & beside) and not of_birds:
            return kind.name
    return BIRDS


def _ticks_among(headings: tuple[str, ...]) -> tuple[str, ...]:
    """The columns of ticks: days beside a column of birds, or birds beside a column of days.

    Which headings are birds is not known here; they are what nothing else is, and at least three.
    """
    kind = KINDS["ticks"]
    fields = set(_by_heading(headings, kind).values())
    if "bird" in fields:
        found = tuple(heading for heading in headings if looks_like_day(heading))
    else:
        strange = [heading for heading in headings if not known_heading(heading)]
        said = {field_of(heading) for heading in headings} - {"", "exhibit"}
        found = tuple(strange) if "on" in fields and not said else ()
    return found if len(found) >= _LEAST_TICKS else ()


def _by_heading(headings: Iterable[str], kind: ListKind) -> dict[str, str]:
    found: dict[str, str] = {}
    headings = tuple(headings)
    for heading in headings:
        field = headings_of(kind).get(folded(heading), "")
        if heading == ID:
            field = ID
        if heading == "name" and kind.name == "nests" and "from_on" in headings:
            field = "nest"  # as a table of an export has it; elsewhere a name is a bird's
        if field and field not in found.values():
            found[heading] = field
    return found


def list_columns(headings: Iterable[str], kind: ListKind, said: Mapping[str, str]) -> Columns:
    """Name the columns of a list: as the park said, otherwise by their headings; the rest stays out.

    Raises:
        UnknownWord: a field that this kind does not read.
        WrongValue: two columns are said to be one field.
    """
    headings = tuple(headings)
    wished = {folded(heading): field for heading, field in said.items()}
    there = [heading for heading in headings if folded(heading) in wished]
    by_field: dict[str, str] = {}
    many = _many_of(headings, kind, wished)
    for heading in there:
        field = wished[folded(heading)]
        if field not in (NOT_BROUGHT_IN, ID, *kind.fields):
            raise UnknownWord(f"mapping[{heading!r}]", field, "column of this list", kind.fields)
        if field in by_field and field != kind.many:
            raise WrongValue(
                "mapping", f"'{by_field[field]}' and '{heading}' are both '{field}'; keep one of them"
            )
        if field != NOT_BROUGHT_IN:
            by_field[field] = heading
    rest = _by_heading([one for one in headings if one not in there], kind)
    for heading, field in rest.items():
        by_field.setdefault(field, heading)
    fields = {heading: field for field, heading in by_field.items()} | dict.fromkeys(many, kind.many)
    return Columns(tuple((heading, fields.get(heading, NOT_BROUGHT_IN)) for heading in headings))


def _many_of(headings: tuple[str, ...], kind: ListKind, wished: Mapping[str, str]) -> list[str]:
    """The columns that are the field of which there may be many: said by the park, or found by themselves."""
    if not kind.many:
        return []
    found = _ticks_among(headings)
    return [
        heading
        for heading in headings
        if wished.get(folded(heading), kind.many if heading in found else "") == kind.many
    ]
