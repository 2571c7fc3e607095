"""The report of duties done: the deeds by which duties are settled, of which bird, when and by whom."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from tarsus.core.care.settling import SEEN, SETTLED_BY
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.register import DEEDS
from tarsus.core.reports.report import Column, Kind, Part, Report, Row
from tarsus.queries.exhibit_names import exhibit_names
from tarsus.queries.park_reports.asked import Asked, at_park, day_at_park, lived_in, names_of_birds
from tarsus.queries.told_deeds import contents_of_row, names_for, told_in_words
from tarsus.records.fact_tables import fact_tables
from tarsus.records.models import BandCheck, DeedBird, ToldDeed
from tarsus.records.models.facts import Fact
from tarsus.records.standing import standing

SETTLING: Final = tuple(
    name
    for name in dict.fromkeys(one for deeds in SETTLED_BY.values() for one in deeds)
    if name not in (SEEN, "withdrawn")
)
"""Deeds that settle a duty. A sighting has the reports of its own; a withdrawal does nothing to a bird."""

OF_A_HANDLING: Final = ("bandcheck", "weighing")
"""Facts that are told as part of a handling, where they were done in one."""

_ABOUT: Final = ("band", "handling", "treatment")

_EACH: Final = (
    Column("when", Kind.MOMENT),
    Column("bird", wide=1),
    Column("exhibit", wide=1),
    Column("deed"),
    Column("what was done", wide=3),
    Column("by"),
)
_SUMS: Final = (Column("deed", wide=1), Column("times", Kind.NUMBER, summed=True))
NOTE: Final = (
    "These are the deeds by which duties are settled. A duty is derived from the records whenever it is"
    " asked for and is kept nowhere; one that was settled shows as its deed here."
)


@dataclass(frozen=True, slots=True)
class Done:
    """One deed that was done, from the ledger or from a fact of before it."""

    id: UUID
    deed: Deed
    contents: Mapping[str, Any]
    at: datetime
    by: str
    birds: tuple[int, ...]


def duties_done(asked: Asked) -> Report:
    """The deeds of a span of days that settle duties, the earliest first."""
    ledger = list(_of_ledger(asked))
    done = sorted(
        [*ledger, *_of_facts(asked, {one.id for one in ledger})], key=lambda one: (one.at, str(one.id))
    )
    homes = _homes(done)
    exhibits = exhibit_names()
    wanted = exhibits.get(asked.exhibit_id) if asked.exhibit_id is not None else None
    told = [(one, _where(one, homes, exhibits)) for one in done]
    if asked.exhibit_id is not None:
        told = [(one, where) for one, where in told if where == wanted]
    names = names_for([(one.deed, one.contents) for one, _ in told])
    birds = names_of_birds(bird for one, _ in told for bird in one.birds)
    rows = tuple(
        Row(
            (str(one.id),),
            (
                at_park(one.at),
                ", ".join(birds[bird].name for bird in one.birds if bird in birds),
                where,
                one.deed.title,
                told_in_words(one.deed, one.contents, names),
                one.by,
            ),
            one.birds[0] if len(one.birds) == 1 else None,
        )
        for one, where in told
    )
    times = Counter(one.deed.title for one, _ in told)
    ordered = sorted(times.items(), key=lambda one: (-one[1], one[0]))
    sums = tuple(Row((title,), (title, number)) for title, number in ordered)
    parts = (
        Part("By deed", _SUMS, sums, "Nothing was done."),
        Part("Each of them", _EACH, rows, "Nothing was done."),
    )
    return Report("duties-done", "Duties done", asked.words, parts, (NOTE,))


def _of_ledger(asked: Asked) -> Iterator[Done]:
    rows = ToldDeed.objects.filter(
        kind__in=SETTLING, happened_at__gte=asked.begins, happened_at__lt=asked.ends
    )
    found = list(standing(rows).select_related("by").order_by("happened_at", "pk"))
    replaced = set(
        standing(ToldDeed.objects.filter(corrects__in=[row.pk for row in found])).values_list(
            "corrects", flat=True
        )
    )
    birds: dict[UUID, list[int]] = defaultdict(list)
    for one in DeedBird.objects.filter(deed__in=[row.pk for row in found]).order_by("pk"):
        birds[one.deed_id].append(one.bird_id)
    for row in found:
        if row.pk not in replaced:
            yield Done(
                row.pk,
                DEEDS[row.kind],
                row.contents,
                row.happened_at,
                row.by.display_name,
                tuple(birds[row.pk]),
            )


def _of_facts(asked: Asked, told: set[UUID]) -> Iterator[Done]:
    """Facts of those deeds that no line of the ledger tells: of an import, or of a park's first days."""
    tables = {table._meta.model_name: table for table in fact_tables().values()}
    seen: set[str] = set()
    for deed in (DEEDS[name] for name in SETTLING):
        if deed.table in seen or deed.table not in tables:
            continue
        seen.add(deed.table)
        where: dict[str, Any] = {"happened_at__gte": asked.begins, "happened_at__lt": asked.ends}
        if deed.table in OF_A_HANDLING:
            where["handling__isnull"] = True
        rows = tables[deed.table]._default_manager.filter(**where)
        ledger = set(ToldDeed.objects.filter(pk__in=rows.values("pk")).values_list("pk", flat=True))
        fields = {field.name: field for field in tables[deed.table]._meta.concrete_fields}
        about = next((name for name in _ABOUT if name in fields and fields[name].is_relation), "")
        for row in standing(rows.exclude(pk__in=ledger | told)).select_related(
            "recorded_by", *filter(None, [about])
        ):
            contents = contents_of_row(deed, row)
            if isinstance(row, BandCheck):
                contents["conditions"] = [row.condition]
            yield Done(
                row.pk, deed, contents, row.happened_at, row.recorded_by.display_name, _birds_of(row, about)
            )


def _birds_of(row: Fact, about: str) -> tuple[int, ...]:
    """Whom a fact is about: its bird, or the bird of the band, handling or treatment that it speaks of."""
    bird = getattr(row, "bird_id", None) or getattr(getattr(row, about or "pk"), "bird_id", None)
    return () if bird is None else (int(bird),)


def _homes(done: Iterable[Done]) -> dict[tuple[int, Any], str]:
    pairs = [(one.birds[0], day_at_park(one.at)) for one in done if one.birds]
    return lived_in([bird for bird, _ in pairs], [day for _, day in pairs])


def _where(one: Done, homes: Mapping[tuple[int, Any], str], exhibits: Mapping[int, str]) -> str:
    if one.birds:
        return homes.get((one.birds[0], day_at_park(one.at)), "")
    return exhibits.get(one.contents.get("exhibit", 0), "")
