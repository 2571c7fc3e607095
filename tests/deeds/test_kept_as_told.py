"""What is told through the door is what its row keeps: every field of a deed in its own column."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.apps import apps
from django.db.models import Model

from deeds.test_door import Teller, says
from tarsus.core.deeds.fields import Kind
from tarsus.core.deeds.register import DEEDS
from tarsus.queries.told_deeds import column_of
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]

ROUND, GROUP = str(uuid4()), str(uuid4())
Said = Mapping[str, Any]

# deed, who tells it, every field it has, each with a value of its own
FACTS: tuple[tuple[str, str, Callable[[Wendlebrook], Said]], ...] = (
    ("count", "tilda", lambda _: {"round": ROUND, "lookalike": "avocet", "counted": 4}),
    (
        "group",
        "tilda",
        lambda p: {"round": ROUND, "group": GROUP, "place": p.south_pool, "size": 3, "flew": True},
    ),
    (
        "sighting",
        "tilda",
        lambda p: {
            "round": ROUND,
            "exhibit": p.shingle,
            "bird": p["Kelp"],
            "lookalike": "avocet",
            "how": "by reading",
            "reading": {"left tibia": ["yellow", "green"]},
            "candidates": [{"bird": p["Kelp"], "chance": 0.97}],
            "none_of_these": 0.01,
            "group": GROUP,
            "position": 2,
            "place": p.north_spit,
            "photographed": True,
        },
    ),
    (
        "report",
        "tilda",
        lambda p: {
            "said": "a grey bird on the car park",
            "told_by": "a visitor",
            "birds": [p["Dock"]],
            "exhibit": p.reed,
            "place": p.reed_perch,
            "reading": {"left leg": ["lime"]},
            "candidates": [{"bird": p["Dock"], "chance": 0.8}],
            "none_of_these": 0.15,
        },
    ),
    (
        "band_found",
        "tilda",
        lambda p: {
            "exhibit": p.shingle,
            "place": p.south_pool,
            "what": "metal",
            "engraving": "WB 7",
            "note": "under the ledge",
        },
    ),
    ("note", "tilda", lambda p: {"bird": p["Kelp"], "exhibit": p.reed, "round": ROUND, "text": "sat low"}),
    (
        "whereabouts",
        "tilda",
        lambda p: {"bird": p["Kelp"], "state": "missing", "exhibit": p.shingle, "note": "since the storm"},
    ),
    (
        "departure",
        "corin",
        lambda p: {"bird": p["Kelp"], "went_to": "Marsh Park", "stays_ours": True, "papers": "D-12"},
    ),
    ("owner_changed", "corin", lambda p: {"bird": p["Kelp"], "owner": "Marsh Park", "holder": "Fen House"}),
    (
        "death",
        "tilda",
        lambda p: {
            "bird": p["Kelp"],
            "species": p.avocet,
            "exhibit": p.shingle,
            "found_by": "Oswin",
            "carcase_label": "C-9",
            "post_mortem_asked": True,
            "circumstances": "after hail",
            "euthanised": True,
        },
    ),
    (
        "sex_sample",
        "tilda",
        lambda p: {
            "bird": p["Thrift"],
            "sample": "blood",
            "label": "T-3",
            "band": p.metals["Thrift"],
            "laboratory": "Fen Laboratory",
        },
    ),
    (
        "weighed",
        "tilda",
        lambda p: {
            "bird": p["Kelp"],
            "weight_g": 312.5,
            "where": "perch scale",
            "scale": "blue one",
            "fed": True,
            "moulting": True,
        },
    ),
    ("health_check", "tilda", lambda p: {"bird": p["Kelp"], "well": False, "found": "left eye wet"}),
    (
        "forecast",
        "maren",
        lambda _: {"for_day": "2026-06-12", "high_c": 31.5, "low_c": 14.5, "note": "no wind"},
    ),
    (
        "band_checked",
        "tilda",
        lambda p: {"band": p.metals["Kelp"], "conditions": ["worn"], "in_hand": True, "note": "turns freely"},
    ),
)
# deed, who tells it, every field; the row is the one that the answer names
SPELLS: tuple[tuple[str, str, Callable[[Wendlebrook], Said]], ...] = (
    (
        "bird_added",
        "corin",
        lambda p: {
            "species": p.ruff,
            "house_name": "Reeve",
            "number": "R 44",
            "hatched_on": "2025-05-09",
            "hatched_precision": "month",
            "origin": "hatched here",
            "dam": p["Teasel"],
            "sire": p["Burdock"],
            "foster_dam": p["Samphire"],
            "foster_sire": p["Kelp"],
            "legal_mark": "L 1",
            "certificate": "C 2",
            "owner": "Marsh Park",
            "holder": "Fen House",
        },
    ),
    (
        "not_looked_for",
        "tilda",
        lambda p: {"bird": p["Kelp"], "why": "moult", "to_on": "2026-06-20", "note": "hides"},
    ),
    (
        "transponder_given",
        "corin",
        lambda p: {"bird": p["Kelp"], "number": "978000123", "where": "left breast"},
    ),
    (
        "natural_mark",
        "tilda",
        lambda p: {
            "bird": p["Kelp"],
            "text": "nick in the bill",
            "x": 0.25,
            "y": 0.75,
            "photo": "P-1",
            "review_on": "2027-01-02",
        },
    ),
    ("visitor_story", "maren", lambda p: {"bird": p["Kelp"], "story": "Nods before every meal."}),
    ("case_opened", "tilda", lambda p: {"birds": [p["Kelp"]], "about": "fluffed"}),
    (
        "nest_begun",
        "tilda",
        lambda p: {
            "exhibit": p.shingle,
            "name": "spit 2",
            "species": p.avocet,
            "place": p.north_spit,
            "forbids_chase": True,
        },
    ),
    (
        "metal_series_added",
        "corin",
        lambda _: {"series": "WC", "prefix": "WC ", "first": 5, "last": 90, "size": "4"},
    ),
    (
        "exhibit_saved",
        "maren",
        lambda _: {"name": "Fen House", "purpose": "hospital", "order": 7, "closed_on": "2026-05-01"},
    ),
    (
        "place_saved",
        "maren",
        lambda p: {
            "exhibit": p.reed,
            "name": "low branch",
            "what": "perch",
            "order": 4,
            "closed_on": "2026-05-02",
        },
    ),
    (
        "colour_saved",
        "maren",
        lambda _: {
            "name": "mauve",
            "letter": "q",
            "hexed": "#aa77cc",
            "held": False,
            "material": "celluloid",
            "faded_hex": "#bbaacc",
            "fades_in_years": 3.5,
            "order": 31,
        },
    ),
    (
        "species_saved",
        "maren",
        lambda _: {
            "name": "Stilt",
            "scientific_name": "Himantopus himantopus",
            "lookalike": "stilt",
            "form": "tall",
            "sites": ["left tibia"],
            "chews": True,
            "leg_diameter_mm": 5.5,
            "band_size": "B",
            "max_unseen_days": 9,
            "counts_at_days": 21,
            "bands_off_in_moult": True,
            "natural_mark_review_days": 400,
        },
    ),
    (
        "person_saved",
        "dunstan",
        lambda _: {"login": "wren", "display_name": "Wren", "role": "vet", "is_active": False},
    ),
)


def row_of(deed: str, fact_id: str, wrote: Mapping[str, Any]) -> Model:
    """The row that a deed wrote: the fact's own, or the one that the answer names."""
    table = apps.get_model("records", DEEDS[deed].table)
    key: Any = (
        UUID(fact_id) if table._meta.pk.get_internal_type() == "UUIDField" else next(iter(wrote.values()))
    )
    return table._default_manager.get(pk=key)


def plain(value: Any) -> Any:
    """A column's value as JSON says it."""
    if isinstance(value, UUID | date | datetime):
        return str(value)
    return float(value) if isinstance(value, Decimal) else value


@pytest.mark.parametrize(
    ("deed", "who", "said"), [*FACTS, *SPELLS], ids=[one[0] for one in [*FACTS, *SPELLS]]
)
def test_every_field_that_is_told_stands_in_its_column(
    says: Teller, park: Wendlebrook, deed: str, who: str, said: Callable[[Wendlebrook], Said]
) -> None:
    says.done("tilda", "round_started", round=ROUND, exhibit=park.shingle)
    told = said(park)
    answer = says.done(who, deed, **told)
    row = row_of(deed, answer.id, answer.wrote)
    kept = {
        field.name: plain(getattr(row, column))
        for field in DEEDS[deed].fields
        if field.name in told and (column := column_of(field))
    }
    # a word that has two ends stands beside its birds; a colour by its number
    assert kept == {name: told[name] for name in kept}
    assert kept, "a deed that keeps nothing is tried elsewhere"
    by = getattr(row, "recorded_by_id", None)
    assert by is None or by == getattr(park.actors, who)


@pytest.mark.parametrize(("deed", "who", "said"), FACTS, ids=[one[0] for one in FACTS])
def test_a_fact_keeps_when_it_happened_and_by_whom(
    says: Teller, park: Wendlebrook, deed: str, who: str, said: Callable[[Wendlebrook], Said]
) -> None:
    says.done("tilda", "round_started", round=ROUND, exhibit=park.shingle)
    answer = says.done(who, deed, **said(park))
    row: Any = row_of(deed, answer.id, answer.wrote)
    from phones import SEVEN

    assert (row.happened_at, row.recorded_by_id) == (SEVEN, getattr(park.actors, who))
    assert [d.kind for d in rows.ToldDeed.objects.filter(pk=answer.id)] == [deed]


def test_most_deeds_that_keep_a_row_of_their_own_are_told_here_in_full() -> None:
    told = {deed: set(said_names(said)) for deed, _, said in [*FACTS, *SPELLS]}
    left_out = {
        deed: sorted(missing)
        for deed, names in told.items()
        if (missing := {f.name for f in DEEDS[deed].fields if f.column != "-"} - names)
    }
    # a nest's pair, a not-looked-for exhibit, stand against another field that is told
    assert left_out == {"nest_begun": ["pair"], "not_looked_for": ["exhibit"]}
    assert all(Kind.SECRET not in {f.kind for f in DEEDS[deed].fields} for deed in told)


def said_names(said: Callable[[Wendlebrook], Said]) -> Said:
    """The fields of a full fact; their values are of no matter."""

    class Any_:
        def __getattr__(self, name: str) -> Any:
            return Any_()

        def __getitem__(self, name: str) -> Any:
            return Any_()

    park: Any = Any_()
    return said(park)
