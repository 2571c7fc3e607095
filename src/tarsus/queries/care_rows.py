"""What the register holds for the care of birds, by bird, a query a table."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Final
from zoneinfo import ZoneInfo

from django.db.models import Count, Exists, Max, OuterRef, Q, TextField
from django.db.models.functions import Cast

from tarsus.core.care.duties.standing import next_recheck
from tarsus.core.care.facts import CaseOpen, InHand, MarkOn, SampleTaken, SexFound, UnderTreatment
from tarsus.core.care.weights import LONG, SETTLED, Weight
from tarsus.queries.days import day_of
from tarsus.queries.marks import on_day
from tarsus.queries.samples import samples_with_state
from tarsus.records.models import (
    Case,
    CaseNote,
    Handling,
    HealthCheck,
    NaturalMark,
    NextDayCheck,
    NotLookedFor,
    PlannedMarks,
    SexFinding,
    SexTest,
    Sighting,
    Treatment,
    TreatmentEnded,
    TreatmentRecheck,
    Weighing,
)
from tarsus.records.models.words import NotLookedForWhy, WeighedWhere
from tarsus.records.standing import standing

MOULT_SAID_FOR: Final = timedelta(days=28)
"""How long a weighing that said *in moult* says so of the bird. Ours."""

READ_LATELY: Final = timedelta(days=14)

CHECK_WITHIN: Final = timedelta(days=7)
"""A look on the day after a handling is asked for no longer than this."""


def weights_of(birds: Sequence[int], now: datetime, zone: ZoneInfo) -> dict[int, tuple[Weight, ...]]:
    """Weighings that can speak of today or of the years before, the oldest first; hours are the park's."""
    rows = (
        standing(Weighing.objects.filter(bird_id__in=birds))
        .filter(happened_at__lte=now, happened_at__gt=now - LONG - 5 * SETTLED)
        .order_by("happened_at", "pk")
    )
    found: dict[int, list[Weight]] = defaultdict(list)
    columns = ("bird_id", "happened_at", "weight_g", "scale", "where", "fed", "moulting")
    for bird, at, grams, scale, where, fed, moulting in rows.values_list(*columns):
        off_hand = where != WeighedWhere.IN_HAND
        found[bird].append(Weight(at.astimezone(zone), grams, scale or where, fed, moulting, off_hand))
    return {bird: tuple(weights) for bird, weights in found.items()}


def health_checked(birds: Sequence[int], zone: ZoneInfo) -> dict[int, date]:
    """The day of each bird's latest health check."""
    rows = (
        standing(HealthCheck.objects.filter(bird_id__in=birds))
        .values("bird_id")
        .annotate(at=Max("happened_at"))
    )
    return {bird: day_of(at, zone) for bird, at in rows.values_list("bird_id", "at")}


def last_handled(birds: Sequence[int], zone: ZoneInfo) -> dict[int, date]:
    """The day on which each bird was last in hand."""
    rows = (
        standing(Handling.objects.filter(bird_id__in=birds)).values("bird_id").annotate(at=Max("happened_at"))
    )
    return {bird: day_of(at, zone) for bird, at in rows.values_list("bird_id", "at")}


def handlings_of(birds: Sequence[int], now: datetime, zone: ZoneInfo) -> dict[int, tuple[InHand, ...]]:
    """Handlings of the last days, with whether the look on the day after was wanted and was done."""
    looked = standing(NextDayCheck.objects.filter(handling=OuterRef("pk")))
    rows = (
        standing(Handling.objects.filter(bird_id__in=birds, happened_at__gt=now - CHECK_WITHIN))
        .annotate(looked=Exists(looked))
        .order_by("happened_at", "pk")
    )
    found: dict[int, list[InHand]] = defaultdict(list)
    for row in rows:
        on = day_of(row.happened_at, zone)
        looked_at: bool = row.looked
        found[row.bird_id].append(InHand(str(row.pk), on, row.check_next_day, looked_at))
    return {bird: tuple(handled) for bird, handled in found.items()}


def samples_of(birds: Sequence[int], zone: ZoneInfo) -> dict[int, tuple[SampleTaken, ...]]:
    """Samples for sex tests, answered once a finding names them or the laboratory got none."""
    found: dict[int, list[SampleTaken]] = defaultdict(list)
    for one in samples_with_state(SexTest.objects.filter(bird_id__in=birds)):
        sent = None if one.sent_at is None else day_of(one.sent_at, zone)
        taken = SampleTaken(one.label, day_of(one.taken_at, zone), one.done, sent, str(one.test_id))
        found[one.bird_id].append(taken)
    return {bird: tuple(samples) for bird, samples in found.items()}


def findings_of(birds: Sequence[int], zone: ZoneInfo) -> dict[int, tuple[SexFound, ...]]:
    """Everything that was found of each bird's sex, the oldest first."""
    rows = standing(SexFinding.objects.filter(bird_id__in=birds)).order_by("happened_at", "recorded_at", "pk")
    found: dict[int, list[SexFound]] = defaultdict(list)
    for bird, sex, known_by, at, fact in rows.values_list("bird_id", "sex", "known_by", "happened_at", "pk"):
        found[bird].append(SexFound(sex, known_by, day_of(at, zone), str(fact)))
    return {bird: tuple(findings) for bird, findings in found.items()}


def cases_of(birds: Iterable[int], zone: ZoneInfo) -> dict[int, tuple[CaseOpen, ...]]:
    """The vet's open cases of each bird, with the day it is to be seen again."""
    wanted = set(birds)
    notes = standing(CaseNote.objects.filter(case__closed_at__isnull=True, see_again_on__isnull=False))
    again: dict[int, date | None] = dict(notes.order_by("happened_at").values_list("case_id", "see_again_on"))
    found: dict[int, list[CaseOpen]] = defaultdict(list)
    rows = Case.objects.filter(closed_at__isnull=True).prefetch_related("birds").order_by("opened_at", "pk")
    for row in rows:
        about = list(row.birds.all())
        told = row.about if len(about) == 1 else f"{row.about} (one of {len(about)})"
        for bird in about:
            if bird.pk in wanted:
                opened = day_of(row.opened_at, zone)
                found[bird.pk].append(CaseOpen(row.pk, told, opened, again.get(row.pk)))
    return {bird: tuple(cases) for bird, cases in found.items()}


def treatments_of(birds: Iterable[int], zone: ZoneInfo) -> dict[int, tuple[UnderTreatment, ...]]:
    """Treatments of each bird that nobody ended and that still ask for a look, or never asked for one."""
    ended = standing(TreatmentEnded.objects.filter(treatment=OuterRef("pk")))
    rows = standing(Treatment.objects.filter(~Exists(ended), bird_id__in=list(birds)))
    looks = dict(
        standing(TreatmentRecheck.objects.filter(treatment__in=rows.values("pk")))
        .values_list("treatment_id")
        .annotate(Count("pk"))
        .values_list("treatment_id", "pk__count")
    )
    found: dict[int, list[UnderTreatment]] = defaultdict(list)
    for row in rows.order_by("happened_at", "pk"):
        begun = day_of(row.happened_at, zone)
        again = next_recheck(begun, row.recheck_days, row.rechecks, looks.get(row.pk, 0))
        if again is not None or row.rechecks is None:
            found[row.bird_id].append(UnderTreatment(str(row.pk), row.what, begun, again))
    return {bird: tuple(told) for bird, told in found.items()}


def vet_told(birds: Sequence[int], zone: ZoneInfo) -> dict[int, date]:
    """The day on which each bird's latest case was opened, closed since or not."""
    rows = Case.objects.filter(birds__in=birds).values("birds").annotate(at=Max("opened_at"))
    return {bird: day_of(at, zone) for bird, at in rows.values_list("birds", "at") if at is not None}


def natural_marks_of(birds: Sequence[int], day: date) -> dict[int, tuple[MarkOn, ...]]:
    """Natural marks on a day, with the day on which each is to be looked at again."""
    rows = NaturalMark.objects.filter(on_day(day), bird_id__in=birds).order_by("pk")
    found: dict[int, list[MarkOn]] = defaultdict(list)
    for row in rows:
        found[row.bird_id].append(MarkOn(row.pk, row.text, row.review_on))
    return {bird: tuple(marks) for bird, marks in found.items()}


def planned_of(birds: Sequence[int]) -> dict[int, dict[str, list[str]]]:
    """Marks that wait for the next handling."""
    rows = PlannedMarks.objects.filter(bird_id__in=birds, fitted_at__isnull=True, dropped_at__isnull=True)
    return dict(rows.values_list("bird_id", "marks"))


def moulting_birds(weights: dict[int, tuple[Weight, ...]], now: datetime, day: date) -> frozenset[int]:
    """Birds in moult: a keeper said so, or their latest weighing did not long ago."""
    said = NotLookedFor.objects.filter(on_day(day), why=NotLookedForWhy.MOULT, bird__isnull=False)
    weighed = {
        bird
        for bird, told in weights.items()
        if told and told[-1].moulting and told[-1].at > now - MOULT_SAID_FOR
    }
    return frozenset(bird for bird in said.values_list("bird_id", flat=True) if bird is not None) | weighed


def moults_of(birds: Sequence[int], day: date) -> dict[int, date]:
    """When the moult of each bird began or is expected, as a keeper wrote; past moults are left out."""
    rows = NotLookedFor.objects.filter(
        Q(to_on__isnull=True) | Q(to_on__gt=day),
        bird_id__in=birds,
        why=NotLookedForWhy.MOULT,
        taken_back_at__isnull=True,
    ).order_by("-from_on")
    return {bird: from_on for bird, from_on in rows.values_list("bird_id", "from_on") if bird is not None}


def readings_of(
    birds: Sequence[int], now: datetime
) -> dict[int, list[tuple[datetime, dict[str, list[str]]]]]:
    """What was read lately of each bird that somebody named, the oldest first."""
    rows = (
        standing(Sighting.objects.filter(bird_id__in=birds, how="by reading"))
        .filter(happened_at__lte=now, happened_at__gt=now - READ_LATELY, reading__isnull=False)
        .order_by("happened_at", "pk")
    )
    found: dict[int, list[tuple[datetime, dict[str, list[str]]]]] = defaultdict(list)
    written = Cast("reading", TextField())
    for bird, at, reading in rows.values_list("bird_id", "happened_at", written):
        if bird is not None:
            found[bird].append((at, _sites_read(reading)))
    return dict(found)


@lru_cache(maxsize=4096)
def _sites_read(written: str) -> dict[str, list[str]]:
    """What was read of the sites that were seen. Thousands of readings are of few birds' marks."""
    return {site: read for site, read in json.loads(written).items() if read is not None}
