"""Which birds of a flock are to be marked, what waits for them already, and what is in the drawer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Sum

from tarsus.core.choosing.alike_pairs import alike_marks
from tarsus.core.marks.birds import Bird as CoreBird
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.marks.rules import MarkRule
from tarsus.core.marks.sizes import kinds_for
from tarsus.core.readings.misreading import Misreading
from tarsus.queries.decision import Decision
from tarsus.queries.flock import FlockBird, birds_everywhere
from tarsus.queries.marks import on_day
from tarsus.records.models import Colour, Exhibit, Pair, PlannedMarks, Species, Stock
from tarsus.records.models.words import Purpose


@dataclass(frozen=True, slots=True)
class ToMark:
    """A bird that is to be marked, and why; `growing` while its leg still grows."""

    bird: FlockBird
    row: str
    growing: bool
    mate: str | None
    because: str


@dataclass(frozen=True, slots=True)
class Planned:
    """Marks that wait for a bird's next handling."""

    planned_id: int
    bird_id: int
    marks: Marks
    because: str


@dataclass(frozen=True, slots=True)
class InDrawer:
    """Bands to be had: by colour, none where the park keeps no count; `order_below` by colour."""

    held: tuple[str, ...]
    amounts: Mapping[str, int] | None
    order_below: Mapping[str, int]


def birds_to_mark(
    birds: Sequence[FlockBird], rule: MarkRule, day: date, alike: Mapping[int, str] | None = None
) -> tuple[ToMark, ...]:
    """The birds whose marks the rule does not have yet, each with its reason.

    Args:
        birds: one flock.
        rule: how its species is marked.
        day: on which ages are told.
        alike: birds that are too alike to others, with the reason; `too_alike`.

    Returns:
        Birds without bands, metal or colours, with the metal on the side of the other sex, or too alike.
    """
    grown_at = dict(Species.objects.values_list("id", "leg_grown_at_days"))
    found = []
    for bird in birds:
        age = None if bird.hatched_on is None else (day - bird.hatched_on).days
        growing = age is not None and age < grown_at.get(bird.species_id, 0)
        row = rule.row_of(bird.sex, growing)
        because = _reason(bird, rule, row) or (alike or {}).get(bird.bird_id, "")
        if because and row in rule.rows():
            found.append(ToMark(bird, row, growing, None, because))
    return tuple(found)


def with_mates(wanted: Sequence[ToMark], flock: Sequence[FlockBird], day: date) -> tuple[ToMark, ...]:
    """The same with each bird's mate, where that one is of the flock."""
    of_flock = {bird.bird_id for bird in flock}
    mates: dict[int, int] = {}
    for first, second in Pair.objects.filter(on_day(day)).values_list("first_id", "second_id"):
        if first in of_flock and second in of_flock:
            mates[first], mates[second] = second, first
    return tuple(
        ToMark(one.bird, one.row, one.growing, str(mates[one.bird.bird_id]), one.because)
        if one.bird.bird_id in mates
        else one
        for one in wanted
    )


def _reason(bird: FlockBird, rule: MarkRule, row: str) -> str:
    metal = rule.metal_site(row)
    worn = [site for site, bands in bird.marks.sites if METAL in bands]
    colours = any(band != METAL for _, bands in bird.marks.sites for band in bands)
    if not bird.bands:
        return "wears no band yet"
    if metal is not None and worn and metal not in worn:
        return "its metal is on the side of the other sex"
    if metal is not None and not worn:
        return "wears no metal yet"
    if not colours and any(rule.layouts(row)):
        return "wears no colours yet"
    return ""


def plans_of(birds: Sequence[FlockBird]) -> dict[int, Planned]:
    """Marks that were kept at the desk and wait, by bird."""
    rows = PlannedMarks.objects.filter(
        bird_id__in=[bird.bird_id for bird in birds], fitted_at__isnull=True, dropped_at__isnull=True
    )
    return {row.bird_id: Planned(row.pk, row.bird_id, Marks.of(row.marks), row.because) for row in rows}


def too_alike(
    birds: Sequence[FlockBird], residents: Sequence[FlockBird], misreading: Misreading, decision: Decision
) -> dict[int, str]:
    """Newcomers whose readings and a resident's cost more than the park wants, or that wear the same.

    Returns:
        Each such newcomer with the reason in words.
    """
    banded = [bird for bird in (*birds, *residents) if bird.bands]
    if not residents or len(banded) < 2:
        return {}
    new = {bird.bird_id for bird in birds}
    worn = [bird.marks for bird in banded]
    found: dict[int, str] = {}
    for pair in alike_marks(misreading, worn, decision.clarity, decision.sureness):  # the costliest first
        for one, other in ((banded[pair.one], banded[pair.other]), (banded[pair.other], banded[pair.one])):
            if one.bird_id in new and other.bird_id not in new:
                found.setdefault(one.bird_id, f"too alike to {other.name}, whom it will join")
    return found


def residents_of(birds: Sequence[FlockBird], exhibit_id: int, day: date) -> tuple[FlockBird, ...]:
    """Birds of the same look-alike group that newcomers in quarantine will join; nobody elsewhere."""
    quarantine = Exhibit.objects.filter(pk=exhibit_id, purpose=Purpose.QUARANTINE).exists()
    if not quarantine:
        return ()
    groups = {bird.lookalike for bird in birds}
    return tuple(b for b in birds_everywhere(day) if b.lookalike in groups and b.exhibit_id != exhibit_id)


def as_will_be(birds: Sequence[FlockBird], plans: Mapping[int, Planned]) -> list[CoreBird]:
    """The flock as it will read: kept plans count as worn."""
    return [
        CoreBird(
            str(bird.bird_id),
            plans[bird.bird_id].marks if bird.bird_id in plans else bird.marks,
            bird.sex,
            1.0,
            bird.lookalike,
        )
        for bird in birds
        if bird.bands or bird.bird_id in plans
    ]


def drawer(form: str, size: str) -> InDrawer:
    """The colours that are held, and how many bands there are of each that a species can wear.

    Args:
        form: how its birds are told.
        size: of its bands; empty where the park has not said, then all sizes count.
    """
    colours = list(Colour.objects.order_by("order", "id").values_list("name", "held"))
    held = tuple(name for name, is_held in colours if is_held) or BUILT_IN.names
    rows = Stock.objects.filter(kind__in=kinds_for(form, "colour"), colour__isnull=False)
    if size:
        rows = rows.filter(size__iexact=size)
    named = rows.values_list("colour__name")
    amounts = {name: int(amount or 0) for name, amount in named.annotate(Sum("amount"))}
    below = {name: int(amount or 0) for name, amount in named.annotate(Sum("order_below"))}
    return InDrawer(held, {name: amounts.get(name, 0) for name in held} if amounts else None, below)
