"""Marks that were kept for birds and wait: what is still to be done, and which bands that asks for."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from tarsus.core.care.duties.marking import OTHER_SEX
from tarsus.core.care.duty import Duty
from tarsus.core.marks.fitting import OnSite, Step, fitting
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.sizes import kinds_for, serves
from tarsus.queries.marks import WornBand, bands_of
from tarsus.records.models import PlannedMarks, Stock

Fitting = dict[str, tuple[Step, ...]]
WAITS = Q(fitted_at__isnull=True, dropped_at__isnull=True)


@dataclass(frozen=True, slots=True)
class Kept:
    """Marks that wait for a bird: the whole of them, and what is to be done site by site.

    `growing`: its leg still grows, so that whatever goes on is temporary and may stay. `size`: of its
    species' bands.
    """

    planned_id: int
    bird_id: int
    marks: dict[str, list[str]]
    because: str
    growing: bool
    form: str
    size: str
    steps: Fitting


def kept_marks(day: date, bird_ids: Collection[int] | None = None) -> dict[int, Kept]:
    """Marks that wait, by bird, in two queries.

    Args:
        day: on which bands and ages are told.
        bird_ids: of these birds only.
    """
    rows = PlannedMarks.objects.filter(WAITS)
    if bird_ids is not None:
        rows = rows.filter(bird_id__in=bird_ids)
    plans = list(rows.select_related("bird__species"))
    worn = bands_of([plan.bird_id for plan in plans], day) if plans else {}
    return {plan.bird_id: _kept(plan, worn.get(plan.bird_id, ()), day) for plan in plans}


def kept_to_fit(
    day: date,
    bird_ids: Collection[int],
    due: Mapping[int, Sequence[Duty]] | Mapping[int | None, Sequence[Duty]],
) -> dict[int, Kept]:
    """Marks that wait for birds and may be fitted: not those for which others are to be kept first.

    Args:
        day: as in `kept_marks`, and
        bird_ids: likewise.
        due: all that is due for each bird.
    """
    wrong = {bird for bird in bird_ids if any(duty.kind == OTHER_SEX for duty in due.get(bird, ()))}
    return kept_marks(day, [bird for bird in bird_ids if bird not in wrong])


def steps_of(plan: PlannedMarks, day: date) -> Fitting:
    """What is still to be done for one plan on a day."""
    return _kept(plan, bands_of([plan.bird_id], day).get(plan.bird_id, ()), day).steps


def _kept(plan: PlannedMarks, worn: Iterable[WornBand], day: date) -> Kept:
    species, hatched = plan.bird.species, plan.bird.hatched_on
    growing = hatched is not None and (day - hatched).days < species.leg_grown_at_days
    on_site: dict[str, list[OnSite]] = defaultdict(list)
    for band in worn:
        may_stay = "missing" not in band.conditions and (growing or not band.temporary)
        on_site[band.site].append(OnSite(band.band_id, band.word, may_stay))
    return Kept(
        planned_id=plan.pk,
        bird_id=plan.bird_id,
        marks=plan.marks,
        because=plan.because,
        growing=growing,
        form=species.form,
        size=species.band_size,
        steps=fitting(on_site, Marks.of(plan.marks)),
    )


_Asked = Mapping[tuple[str, str, str], int]


def bands_asked_for(day: date) -> _Asked:
    """How many bands kept marks wait for, by form of the bird, word and size."""
    asked: Counter[tuple[str, str, str]] = Counter()
    for kept in kept_marks(day).values():
        for steps in kept.steps.values():
            asked.update((kept.form, step.word, kept.size) for step in steps if step.worn is None)
    return asked


def spoken_for(row: Stock, word: str, asked: _Asked) -> int:
    """How many bands of one compartment kept marks wait for.

    Where the park has not said which size a species wears, each size of a colour is held against all of them.
    """
    return sum(
        number
        for (form, wanted, size), number in asked.items()
        if wanted == word and row.kind in kinds_for(form, word) and _is_for(row, size)
    )


def _is_for(row: Stock, size: str) -> bool:
    # A tie fits any leg, and is not counted on for marks that are to stay.
    return serves("", row.size, size)
