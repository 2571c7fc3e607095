"""Which birds and exhibits a deed is about, whatever ids it names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.db.models import Model

from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import SEVERAL, Field, Kind
from tarsus.records.fact_tables import fact_tables, kind_of
from tarsus.records.models import (
    Band,
    BandFound,
    Case,
    CatchUp,
    Death,
    DeedBird,
    Handling,
    NaturalMark,
    Nest,
    NotLookedFor,
    Pair,
    Place,
    PlannedMarks,
    Report,
    Round,
    SexTest,
    Sighting,
    Stay,
    ToldDeed,
    Treatment,
)

_PATHS: Final[dict[Kind, tuple[type[Model], str, str]]] = {
    # kind: (table, path to the bird, path to the exhibit)
    Kind.PLACE: (Place, "", "exhibit_id"),
    Kind.BAND: (Band, "bird_id", ""),
    Kind.NATURAL_MARK: (NaturalMark, "bird_id", ""),
    Kind.PLANNED_MARKS: (PlannedMarks, "bird_id", ""),
    Kind.NOT_LOOKED_FOR: (NotLookedFor, "bird_id", "exhibit_id"),
    Kind.NEST: (Nest, "", "exhibit_id"),
    Kind.CATCH_UP: (CatchUp, "", "exhibit_id"),
    Kind.CASE: (Case, "birds", ""),
    Kind.ROUND: (Round, "", "exhibit_id"),
    Kind.SIGHTING: (Sighting, "bird_id", "exhibit_id"),
    Kind.DEATH: (Death, "bird_id", "exhibit_id"),
    Kind.BAND_FOUND: (BandFound, "", "exhibit_id"),
    Kind.REPORT: (Report, "birds__bird_id", "exhibit_id"),
    Kind.SEX_TEST: (SexTest, "bird_id", ""),
    Kind.HANDLING: (Handling, "bird_id", ""),
    Kind.TREATMENT: (Treatment, "bird_id", ""),
}
_OF_FACTS: Final = ("exhibit_id", "to_exhibit_id")
_THROUGH: Final = ("round", "nest", "death", "report")
"""What a fact may belong to that has an exhibit of its own."""


@dataclass(frozen=True, slots=True)
class Reach:
    """Birds and exhibits that a deed is about; `exhibits` are those it names by itself or by its rows.

    `each`: the exhibits of every row that it names, one set a row, empty where nobody can say of a row where
    it belongs; only where they were asked for.
    """

    birds: frozenset[int] = frozenset()
    exhibits: frozenset[int] = frozenset()
    each: tuple[frozenset[int], ...] = ()

    def everywhere(self) -> frozenset[int]:
        """All exhibits that it reaches, those in which its birds live among them."""
        stays = Stay.objects.filter(bird_id__in=self.birds, to_on__isnull=True, taken_back_at__isnull=True)
        return self.exhibits | frozenset(stays.values_list("exhibit_id", flat=True))


def reach_of(
    deed: Deed, values: Mapping[str, Any], corrects: UUID | None = None, *, exhibits_too: bool = True
) -> Reach:
    """What a deed is about, read from its declaration: no id of it escapes this look.

    Args:
        deed: which.
        values: of its fields.
        corrects: the deed that it is told in place of.
        exhibits_too: look up exhibits of rows as well; where nobody asks for them, that saves the questions.
    """
    birds: set[int] = set()
    exhibits: set[int] = set()
    each: list[frozenset[int]] = []
    told = [*_references(deed.fields, values), *([(Kind.FACT, corrects)] if corrects else [])]
    for kind, key in told:
        of_birds, of_exhibits = _reached(kind, key, exhibits_too=exhibits_too)
        birds |= of_birds
        exhibits |= of_exhibits
        if exhibits_too and _is_there(kind, key):
            each.append(frozenset(of_exhibits | _homes(of_birds)))
    return Reach(frozenset(birds), frozenset(exhibits), tuple(each))


def _reached(kind: Kind, key: Any, *, exhibits_too: bool) -> tuple[set[int], set[int]]:
    """The birds and exhibits of one row that a deed names."""
    birds: set[int] = set()
    exhibits: set[int] = set()
    if kind is Kind.BIRD:
        birds.add(key)
    elif kind is Kind.EXHIBIT:
        exhibits.add(key)
    elif kind is Kind.PAIR:
        pairs = Pair.objects.filter(pk=key).values_list("first_id", "second_id")
        birds.update(bird for pair in pairs for bird in pair)
    elif kind is Kind.FACT:
        _add_of_fact(key, birds, exhibits)
    elif kind in _PATHS:
        table, bird, exhibit = _PATHS[kind]
        rows = table._default_manager.filter(pk=key)
        birds.update(_not_none(rows.values_list(bird, flat=True)) if bird else ())
        if exhibit and exhibits_too:
            exhibits.update(_not_none(rows.values_list(exhibit, flat=True)))
    return birds, exhibits


def _is_there(kind: Kind, key: Any) -> bool:
    """Whether the register has the row, where rows of its kind belong to an exhibit at all."""
    if kind is Kind.FACT:
        return ToldDeed.objects.filter(pk=key).exists() or kind_of(key) is not None
    if kind is Kind.PAIR:
        return Pair.objects.filter(pk=key).exists()
    if kind in _PATHS:
        return _PATHS[kind][0]._default_manager.filter(pk=key).exists()
    return kind in (Kind.BIRD, Kind.EXHIBIT)


def _homes(birds: set[int]) -> set[int]:
    """Where each of these birds lives, or lived last: a bird that died or left is still of its exhibit."""
    homes: set[int] = set()
    for bird in birds:
        stays = Stay.objects.filter(bird_id=bird, taken_back_at__isnull=True)
        now = set(stays.filter(to_on__isnull=True).values_list("exhibit_id", flat=True))
        homes |= now or set(stays.order_by("-to_on", "-id").values_list("exhibit_id", flat=True)[:1])
    return homes


def _references(fields: tuple[Field, ...], values: Mapping[str, Any]) -> Iterator[tuple[Kind, Any]]:
    for field in fields:
        said = values.get(field.name)
        if said is None or not field.about:
            continue
        if field.kind in SEVERAL:
            yield from ((SEVERAL[field.kind], key) for key in said)
        elif field.kind is Kind.PARTS:
            for part in said:
                yield from _references(field.parts, part)
        else:
            yield field.kind, said


def _add_of_fact(fact_id: Any, birds: set[int], exhibits: set[int]) -> None:
    """What an earlier deed was about: by the ledger, or by the columns of its row."""
    birds.update(DeedBird.objects.filter(deed_id=fact_id).values_list("bird_id", flat=True))
    kind = kind_of(fact_id)
    if kind is None:
        return
    table: type[Model] = fact_tables()[kind]
    own = {field.attname for field in table._meta.concrete_fields}
    rows = table._default_manager.filter(pk=fact_id)
    through = [f"{one}__exhibit_id" for one in _THROUGH if f"{one}_id" in own]
    for path in (*(one for one in _OF_FACTS if one in own), *through):
        exhibits.update(_not_none(rows.values_list(path, flat=True)))
    if "bird_id" in own:
        birds.update(_not_none(rows.values_list("bird_id", flat=True)))


def _not_none(keys: Any) -> Iterator[int]:
    return (key for key in keys if key is not None)
