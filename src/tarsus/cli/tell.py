"""`tarsus tell`: write down any deed from a shell, through the same door as pages and phones."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import datetime
from typing import Any, Final
from uuid import uuid4

from tarsus.cli.running import parser_for, print_document
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import LISTS, TEXTS, Field, Kind
from tarsus.core.deeds.register import DEEDS, deed_named
from tarsus.core.deeds.rights import in_words
from tarsus.core.documents.text import parse_json
from tarsus.core.errors import MalformedInput, UnknownKey, WrongValue

SUMMARY: Final = "Record something: any deed, as pages and phones do."
ENVELOPE: Final = ("id", "at", "corrects", "why_corrected")


class NotWritten(MalformedInput):
    """The deed was refused; nothing is written."""


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("tell", SUMMARY)
    options.add_argument("kind", metavar="KIND", nargs="?", help="which deed; left out: they are listed")
    options.add_argument(
        "values",
        metavar="KEY=VALUE",
        nargs="*",
        help="its fields, 'at' and 'id' as in a fact, lists as JSON; left out: its fields are listed",
    )
    options.add_argument("--by", default="", metavar="LOGIN", help="in whose name")
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument("--json", action="store_true", help="print one JSON document instead of a sentence")
    return options


def run(args: list[str]) -> int:
    """Tell one deed, and say what became of it."""
    wishes = parser().parse_args(args)
    if wishes.kind is None:
        print("\n".join(f"{deed.name:<24}{deed.title} ({in_words(deed.who_may)})" for deed in DEEDS.values()))
        return 0
    deed = deed_named(wishes.kind, "KIND")
    if not wishes.values:
        print("\n".join(_listed(deed)))
        return 0
    fact = _fact(deed, wishes.values)
    from tarsus.cli.register import open_register, person_of

    open_register(wishes.home)
    from tarsus.actions.facts import REFUSED, hear_facts

    by = person_of(wishes.by)
    (answer,) = hear_facts(facts=[fact | {"by": by}], clock=None, device="command line", speaker=by)
    if answer.outcome == REFUSED:
        raise NotWritten(answer.place, answer.reason.removeprefix(f"{answer.place}: "))
    if wishes.json:
        print_document(answer.as_mapping())
    else:
        print("\n".join([f"{answer.outcome.capitalize()}: {answer.id}", *answer.said]))
    return 0


def _fact(deed: Deed, pairs: Sequence[str]) -> dict[str, Any]:
    fact: dict[str, Any] = {
        "id": str(uuid4()),
        "kind": deed.name,
        "at": datetime.now().astimezone().isoformat(),
    }
    fields = {field.name: field for field in deed.fields}
    for pair in pairs:
        key, is_one, value = pair.partition("=")
        if not is_one:
            raise MalformedInput(pair, "is no field; write it as KEY=VALUE")
        if key not in fields and key not in ENVELOPE:
            raise UnknownKey(key, key, (*fields, *ENVELOPE))
        fact[key] = _value(fields.get(key), value)
    return fact


def _value(field: Field | None, text: str) -> Any:
    """A value as a shell writes it: text as it is, several numbers with commas between, the rest as JSON."""
    if field is None or field.kind in TEXTS or field.kind in (Kind.CHOICE, Kind.DAY, Kind.MOMENT):
        return text
    if field.kind in LISTS and not text.startswith("["):
        parts = [part.strip() for part in text.split(",")]
        return [int(part) if part.isdecimal() else part for part in parts]
    if field.kind is Kind.FLAG and text in ("yes", "no"):
        return text == "yes"
    try:
        return parse_json(text, field.name)
    except WrongValue:
        raise  # a key that stands twice
    except MalformedInput:
        return text


def _listed(deed: Deed) -> list[str]:
    """The fields of a deed, one a line."""
    lines = [f"{deed.name}: {deed.title}. For {in_words(deed.who_may)}."]
    for field in deed.fields:
        words = f": {', '.join(field.words)}" if field.choices else ""
        needed = " (needed)" if field.required else ""
        lines.append(f"  {field.name:<20}{field.label}, {field.kind.value}{needed}{words}")
    return lines
