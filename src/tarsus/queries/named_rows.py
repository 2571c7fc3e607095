"""Rows of the register as a person calls them: what a form offers to choose from, and what a history says."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, Final

from django.db.models import Q, QuerySet
from django.utils import timezone

from tarsus.core.deeds.fields import SEVERAL, Kind
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.once import once
from tarsus.queries.samples import unanswered
from tarsus.records.models import (
    Band,
    BandFound,
    BandOwnerNamed,
    Bird,
    Case,
    CatchUp,
    Colour,
    Death,
    DeviceToken,
    Exhibit,
    Handling,
    NaturalMark,
    Nest,
    NotLookedFor,
    Pair,
    Person,
    Place,
    PlannedMarks,
    Report,
    ReportAnswered,
    Round,
    SexTest,
    Sighting,
    Species,
    Stock,
    Treatment,
    TreatmentEnded,
)
from tarsus.records.standing import standing

Named = tuple[Any, str]
RECENT: Final = timedelta(days=60)
_ALL: Final = Q()
_LASTS: Final = Q(to_on__isnull=True, taken_back_at__isnull=True)


@dataclass(frozen=True, slots=True)
class _Rows:
    """How rows of a kind are called, which are offered, and how they follow a bird or an exhibit."""

    all: Callable[[], QuerySet[Any]]
    words: Callable[[Any], str]
    offered: Q = _ALL
    of_bird: str = ""
    of_exhibit: str = ""


@once
def choices_of(kind: Kind, *, bird: int | None = None, exhibit: int | None = None) -> tuple[Named, ...]:
    """The rows of a kind that may be chosen now, by name; only those of a bird or exhibit that is known."""
    kind = SEVERAL.get(kind, kind)
    if kind is Kind.COLOUR:
        return tuple((name, name) for name in Colour.objects.order_by("order").values_list("name", flat=True))
    if kind is Kind.LOOKALIKE:
        words = Species.objects.order_by("lookalike").values_list("lookalike", flat=True).distinct()
        return tuple((word, word) for word in words)
    if kind not in _ROWS:
        return ()
    rows = _ROWS[kind]
    found = rows.all().filter(rows.offered)
    narrowed = None
    if bird is not None and rows.of_bird:
        narrowed = found.filter(Q(**{rows.of_bird: bird}))
    elif exhibit is not None and rows.of_exhibit:
        narrowed = found.filter(Q(**{rows.of_exhibit: exhibit}))
    # A species new to an exhibit is among the others; a band of another bird is none of this one's.
    if narrowed is not None and (kind is not Kind.SPECIES or narrowed.exists()):
        found = narrowed
    named = {row.pk: rows.words(row) for row in found}
    return tuple(sorted(named.items(), key=lambda one: one[1].casefold()))


def names_of(kind: Kind, keys: Iterable[Any]) -> dict[Any, str]:
    """What rows are called, in one query; those that are unknown are left out."""
    kind = SEVERAL.get(kind, kind)
    wanted = set(keys)
    if kind not in _ROWS or not wanted:
        return {}
    rows = _ROWS[kind]
    return {row.pk: rows.words(row) for row in rows.all().filter(pk__in=wanted)}


def _day(moment: Any) -> str:
    return f"{day_of(moment, park_zone()):%-d %B %Y}"


def _band(band: Band) -> str:
    word = band.colour.name if band.colour else band.kind
    number = f" {band.engraving}" if band.engraving else ""
    return f"{word}{number} on the {band.site}"


def _death(death: Death) -> str:
    who = str(death.bird) if death.bird else death.species.name
    label = f", {death.carcase_label}" if death.carcase_label else ""
    return f"{who}, {_day(death.happened_at)}{label}"


def _found(found: BandFound) -> str:
    word = found.colour.name if found.colour else found.kind
    return " ".join(filter(None, [word, found.engraving, f"in {found.exhibit}, {_day(found.happened_at)}"]))


def _stock(row: Stock) -> str:
    return " ".join(filter(None, [row.colour.name if row.colour else "", row.kind, f"size {row.size}"]))


def _case(case: Case) -> str:
    return f"{', '.join(str(bird) for bird in case.birds.all())}: {case.about}"


def _spell(spell: NotLookedFor) -> str:
    return f"{spell.bird or spell.exhibit}, {spell.why} since {spell.from_on:%-d %B %Y}"


def _exhibit(exhibit: Exhibit) -> str:
    return exhibit.name


def _lives(bird: str) -> Q:
    """A pair of which one died, or left, is none that breeds here."""
    lasts = {"to_on__isnull": True, "taken_back_at__isnull": True, "isnull": False}
    return Q(**{f"{bird}__stays__{name}": value for name, value in lasts.items()})


_ROWS: Final[dict[Kind, _Rows]] = {
    Kind.BIRD: _Rows(
        Bird.objects.distinct,
        str,
        Q(stays__to_on__isnull=True, stays__taken_back_at__isnull=True, stays__isnull=False),
        of_exhibit="stays__exhibit",
    ),
    Kind.EXHIBIT: _Rows(Exhibit.objects.all, _exhibit, Q(closed_on__isnull=True)),
    Kind.PLACE: _Rows(
        lambda: Place.objects.select_related("exhibit"),
        lambda place: place.name,
        Q(closed_on__isnull=True),
        of_bird="exhibit__stays__bird",
        of_exhibit="exhibit",
    ),
    Kind.SPECIES: _Rows(Species.objects.distinct, str, of_exhibit="birds__stays__exhibit"),
    Kind.PERSON: _Rows(Person.objects.all, str, Q(is_active=True)),
    Kind.BAND: _Rows(
        lambda: Band.objects.select_related("colour", "bird"), _band, _LASTS, "bird", "bird__stays__exhibit"
    ),
    Kind.CASE: _Rows(
        lambda: Case.objects.prefetch_related("birds"), _case, Q(closed_at__isnull=True), of_bird="birds"
    ),
    Kind.NEST: _Rows(Nest.objects.all, lambda nest: nest.name, _LASTS, of_exhibit="exhibit"),
    Kind.PAIR: _Rows(
        lambda: Pair.objects.select_related("first", "second").distinct(),
        lambda pair: f"{pair.first} and {pair.second}",
        _LASTS & _lives("first") & _lives("second"),
        of_exhibit="first__stays__exhibit",
    ),
    Kind.NATURAL_MARK: _Rows(NaturalMark.objects.all, lambda mark: mark.text, _LASTS, of_bird="bird"),
    Kind.NOT_LOOKED_FOR: _Rows(
        lambda: NotLookedFor.objects.select_related("bird", "exhibit"), _spell, _LASTS, of_bird="bird"
    ),
    Kind.PLANNED_MARKS: _Rows(
        lambda: PlannedMarks.objects.select_related("bird"),
        lambda kept: f"{kept.bird}",
        Q(fitted_at__isnull=True, dropped_at__isnull=True),
        of_bird="bird",
    ),
    Kind.STOCK: _Rows(lambda: Stock.objects.select_related("colour"), _stock),
    Kind.CATCH_UP: _Rows(
        lambda: CatchUp.objects.select_related("exhibit"),
        lambda kept: f"{kept.exhibit}, {kept.planned_for:%-d %B %Y}",
        Q(done_at__isnull=True, dropped_at__isnull=True),
        of_exhibit="exhibit",
    ),
    Kind.COLOUR_ROW: _Rows(Colour.objects.all, str),
    Kind.DEVICE: _Rows(DeviceToken.objects.all, lambda device: device.name, Q(revoked_at__isnull=True)),
    Kind.DEATH: _Rows(
        lambda: standing(Death.objects.select_related("bird", "species")),
        _death,
        of_bird="bird",
        of_exhibit="exhibit",
    ),
    Kind.BAND_FOUND: _Rows(
        lambda: standing(BandFound.objects.select_related("colour", "exhibit")),
        _found,
        ~Q(pk__in=standing(BandOwnerNamed.objects.all()).values("found")),
        of_exhibit="exhibit",
    ),
    Kind.SEX_TEST: _Rows(
        lambda: standing(SexTest.objects.select_related("bird")),
        lambda test: f"{test.label}, {test.bird}, {_day(test.happened_at)}",
        unanswered(),
        of_bird="bird",
    ),
    Kind.HANDLING: _Rows(
        lambda: standing(
            Handling.objects.select_related("bird").filter(happened_at__gt=timezone.now() - RECENT)
        ),
        lambda handling: f"{handling.bird}, {_day(handling.happened_at)}: {handling.why}",
        of_bird="bird",
    ),
    Kind.TREATMENT: _Rows(
        lambda: standing(Treatment.objects.select_related("bird")),
        lambda row: f"{row.bird}: {row.what}",
        ~Q(pk__in=standing(TreatmentEnded.objects.all()).values("treatment")),
        of_bird="bird",
    ),
    Kind.REPORT: _Rows(
        lambda: standing(Report.objects.all()),
        lambda report: report.said,
        ~Q(pk__in=standing(ReportAnswered.objects.all()).values("report")),
        of_bird="birds__bird",
        of_exhibit="exhibit",
    ),
    Kind.SIGHTING: _Rows(Sighting.objects.none, str),
    Kind.ROUND: _Rows(Round.objects.none, str),
}
