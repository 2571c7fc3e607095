"""Deeds described for programs: a JSON Schema of each kind of fact, and the table of rights."""

from __future__ import annotations

from typing import Any, Final

from tarsus.core.deeds.days import span_in_words
from tarsus.core.deeds.deed import LONGEST_REASON, Deed
from tarsus.core.deeds.fields import BY_ID, BY_NUMBER, LARGEST_ID, LISTS, MOST, TEXTS, Field, Kind
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import ROLES, in_words

Schema = dict[str, Any]
_ID: Final[Schema] = {"type": "string", "format": "uuid"}
_ROW: Final[Schema] = {"type": "integer", "minimum": 1, "maximum": LARGEST_ID}


def schema_of_facts() -> Schema:
    """One fact of any kind, as JSON Schema: told apart by its ``kind``."""
    return {"oneOf": [schema_of(deed) for deed in DEEDS.values()]}


def schema_of(deed: Deed) -> Schema:
    """A fact of one kind as JSON Schema; whatever it lets through may still be refused by the register."""
    own = {field.name: _of_field(field) for field in deed.fields}
    envelope: dict[str, Schema] = {
        "id": {**_ID, "description": "Chosen by whoever tells it; told twice, it is written once."},
        "kind": {"const": deed.name},
        "at": {"type": "string", "format": "date-time", "description": "When it happened."},
        "by": {**_ROW, "description": "The person who did it."},
    }
    correcting: dict[str, Schema] = {
        "corrects": {**_ID, "description": "The deed of this kind that this one is told in place of."},
        "why_corrected": {"type": "string", "maxLength": LONGEST_REASON},
    }
    return {
        "title": deed.name,
        "description": f"{deed.title}. For {in_words(deed.who_may)}.",
        "type": "object",
        "properties": envelope | correcting | own,
        "required": ["id", "kind", "at", "by", *(field.name for field in deed.fields if field.required)],
        "additionalProperties": False,
    }


def _of_field(field: Field) -> Schema:
    said = f"{field.label}{f', {field.unit}' if field.unit else ''}."
    told = {"description": f"{said}{_span(field)}", **_type(field)}
    if field.required:
        return told
    nullable = {"anyOf": [_type(field), {"type": "null"}]}
    return {"description": told["description"], **nullable}


def _span(field: Field) -> str:
    """The days that may be named: JSON Schema has no limit that moves with today."""
    return f" {span_in_words(field).capitalize()}." if field.ahead is not None else ""


def _type(field: Field) -> Schema:
    kind = field.kind
    if kind in TEXTS:
        return {"type": "string", "maxLength": field.longest}
    if kind in BY_NUMBER:
        return dict(_ROW)
    if kind in BY_ID:
        return dict(_ID)
    if kind in LISTS:
        least = {"minItems": 1} if field.required else {}
        return {"type": "array", "items": _entry(field), "maxItems": MOST, **least}
    return _plain(field)


def _plain(field: Field) -> Schema:
    match field.kind:
        case Kind.NUMBER:
            return {"type": "number", "minimum": field.low, "maximum": field.high}
        case Kind.WHOLE:
            return {"type": "integer", "minimum": field.low, "maximum": field.high}
        case Kind.FLAG:
            return {"type": "boolean"}
        case Kind.DAY:
            return {"type": "string", "format": "date"}
        case Kind.MOMENT:
            return {"type": "string", "format": "date-time"}
        case Kind.CHOICE:
            return {"type": "string", "enum": [*field.words, *([] if field.required else [""])]}
        case Kind.PART:
            return _part(field)
    return {"type": "object"}


def _entry(field: Field) -> Schema:
    match field.kind:
        case Kind.CHOICES:
            return {"type": "string", "enum": list(field.words)}
        case Kind.WORDS:
            return {"type": "string", "maxLength": field.longest or 120}
        case Kind.PARTS:
            return _part(field)
    return dict(_ROW)


def _part(field: Field) -> Schema:
    return {
        "type": "object",
        "properties": {part.name: _of_field(part) for part in field.parts},
        "required": [part.name for part in field.parts if part.required],
        "additionalProperties": False,
    }


def rights() -> dict[str, dict[str, bool]]:
    """Who may do what: by deed and role."""
    return {name: {role: deed.allowed_to(role) for role in ROLES} for name, deed in DEEDS.items()}
