"""The pages in the order of a keeper's day, and what every page shows around its own contents."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any, Final

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse

from tarsus.web.access import KEEPER, LEAD, RECORDS, VET, VIEWER, may_do, passes
from tarsus.web.park_time import park_of


@dataclass(frozen=True)
class Entry:
    """One page of the navigation; `deep` ones stand under *More* on a phone."""

    name: str
    words: str
    icon: str
    roles: tuple[str, ...]
    deep: bool = True


ENTRIES: Final = (
    Entry("today", "Today", "today", (VIEWER,), deep=False),
    Entry("roll-calls", "Roll call", "roll-call", (KEEPER, RECORDS), deep=False),
    Entry("who", "Who is it?", "who", (KEEPER, RECORDS), deep=False),
    Entry("in-hand", "In hand", "in-hand", (KEEPER, RECORDS), deep=False),
    Entry("tell", "Record", "concern", (KEEPER, RECORDS)),
    Entry("exhibits", "Exhibits", "exhibits", (VIEWER,)),
    Entry("flocks", "Flocks", "flocks", (VIEWER,)),
    Entry("catch-up", "Catch-up", "in-hand", (LEAD, VET)),
    Entry("nests", "Nests", "nests", (VIEWER,)),
    Entry("arrivals", "Arrivals", "flocks", (KEEPER, RECORDS)),
    Entry("samples", "Samples", "reports", (KEEPER, RECORDS)),
    Entry("marking-desk", "Marking desk", "marking", (LEAD,)),
    Entry("stock", "Stock", "stock", (LEAD, RECORDS)),
    Entry("reports", "Reports", "reports", (VIEWER,)),
    Entry("export", "Export", "stock", (RECORDS,)),
    Entry("import", "Import", "import", (LEAD, RECORDS)),
    Entry("waiting", "Waiting facts", "reports", (KEEPER, RECORDS)),
    Entry("settings", "Settings", "settings", (VIEWER,)),
)


PART_OF: Final = {"roll-call": "roll-calls", "practice": "roll-calls"}
"""Pages that are no entry themselves: the one that leads to them is marked as open."""


def _address(name: str) -> str | None:
    """Where a page is, `None` while this installation does not have it."""
    try:
        return reverse(name)
    except NoReverseMatch:
        return None


def entries_for(request: HttpRequest) -> list[dict[str, Any]]:
    """The pages this person may open, with the one that is open marked."""
    match = request.resolver_match
    here = match.kwargs.get("section") or match.url_name if match else None
    here = PART_OF.get(here or "", here)
    found = [(entry, _address(entry.name)) for entry in ENTRIES if passes(request.user, *entry.roles)]
    return [
        {"words": e.words, "icon": e.icon, "deep": e.deep, "address": at, "here": here == e.name}
        for e, at in found
        if at is not None
    ]


def page_frame(request: HttpRequest) -> dict[str, Any]:
    """What the base template shows: the park's name and palette and the pages of this person."""
    if not request.user.is_authenticated:
        invented = park_of(request).invented
        return {
            "entries": [],
            "roll_calls": False,
            "palette_json": "{}",
            "park_name": "",
            "invented": invented,
        }
    face = park_of(request)
    return {
        "entries": entries_for(request),
        "roll_calls": _address("who") is not None,
        "import_address": _address("import"),
        "devices_address": _address("settings-devices"),
        "in_hand_address": _address("in-hand"),
        "palette_json": json.dumps({"palette": face.palette, "letters": face.letters}, ensure_ascii=False),
        "park_name": face.name,
        "invented": face.invented,
        "no_birds": not face.begun,
        "may_begin": may_do(request.user, "park_set"),
    }
