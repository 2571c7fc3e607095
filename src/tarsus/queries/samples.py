"""Samples for sex tests: which are still here, which are at a laboratory, which are answered."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, Q, QuerySet

from tarsus.core.care.facts import StrayResult
from tarsus.queries.days import day_of
from tarsus.records.models import SexFinding, SexTest, ToldDeed
from tarsus.records.standing import standing

SENT: Final = "sample_sent"
NO_ANSWER: Final = "sample_unanswered"
UNPLACED: Final = "result_unplaced"
PLACED: Final = "result_placed"


@dataclass(frozen=True, slots=True)
class Sample:
    """A sample as it stands. `sex` is what the laboratory found, empty where nothing was.

    `sent_at` is empty while it is still here; one taken with its laboratory named went there at once.
    `told`: the deed that says how it stands, to be put right.
    """

    test_id: UUID
    bird_id: int
    bird: str
    label: str
    taken_at: datetime
    laboratory: str
    sent_at: datetime | None
    sex: str
    no_answer: bool
    told: tuple[str, UUID]

    @property
    def done(self) -> bool:
        """Whether nothing is awaited any more."""
        return bool(self.sex) or self.no_answer


def unanswered() -> Q:
    """Samples that no standing finding answers."""
    return ~Q(Exists(standing(SexFinding.objects.filter(test=OuterRef("pk")))))


def samples_with_state(tests: QuerySet[SexTest]) -> tuple[Sample, ...]:
    """How samples stand, the oldest first, in a constant number of queries.

    Args:
        tests: which; those that were withdrawn are left out.
    """
    rows = list(standing(tests).select_related("bird__species").order_by("happened_at", "pk"))
    ids = {row.pk for row in rows}
    told = _told({row.bird_id for row in rows})
    findings = standing(SexFinding.objects.filter(test__in=ids))
    found = {test: (sex, fact) for test, sex, fact in findings.values_list("test", "sex", "pk")}
    facts = [fact for _, fact in found.values()]
    placed = set(ToldDeed.objects.filter(kind=PLACED, pk__in=facts).values_list("pk", flat=True))
    return tuple(_sample(row, found.get(row.pk), told, placed) for row in rows)


def _told(birds: set[int]) -> dict[tuple[str, UUID], ToldDeed]:
    """What the ledger says last of each sample, by kind of deed and sample."""
    deeds = ToldDeed.objects.filter(kind__in=(SENT, NO_ANSWER), birds__bird__in=birds)
    return {
        (deed.kind, UUID(deed.contents["test"])): deed for deed in standing(deeds).order_by("happened_at")
    }


def _sample(
    row: SexTest,
    found: tuple[str, UUID] | None,
    told: dict[tuple[str, UUID], ToldDeed],
    placed: Collection[UUID],
) -> Sample:
    sent, ended = told.get((SENT, row.pk)), told.get((NO_ANSWER, row.pk))
    last: tuple[str, UUID] = ("sex_sample", row.pk)
    if sent is not None:
        last = (SENT, sent.pk)
    if ended is not None:
        last = (NO_ANSWER, ended.pk)
    if found is not None:
        last = (PLACED if found[1] in placed else "sex_finding", found[1])
    return Sample(
        test_id=row.pk,
        bird_id=row.bird_id,
        bird=str(row.bird),
        label=row.label,
        taken_at=row.happened_at,
        laboratory=sent.contents["laboratory"] if sent is not None else row.laboratory,
        sent_at=sent.happened_at if sent is not None else row.happened_at if row.laboratory else None,
        sex=found[0] if found is not None else "",
        no_answer=ended is not None,
        told=last,
    )


def stray_results(zone: ZoneInfo) -> Iterator[StrayResult]:
    """Results for samples that the register does not have, until somebody says whose they were."""
    placed = standing(ToldDeed.objects.filter(kind=PLACED)).values_list("contents", flat=True)
    settled = {UUID(contents["question"]) for contents in placed}
    for row in standing(ToldDeed.objects.filter(kind=UNPLACED)).order_by("happened_at", "pk"):
        if row.pk not in settled:
            said = row.contents
            yield StrayResult(str(row.pk), said["label"], said["sex"], day_of(row.happened_at, zone))
