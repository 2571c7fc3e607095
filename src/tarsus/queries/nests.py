"""The nests of an exhibit: whose, where, what is in them, and what they forbid."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Count, Q

from tarsus.core.care.cautions import NEST, caution
from tarsus.core.care.nests import Found, NestStanding, nest_standing
from tarsus.core.errors import NoAnswer
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import birds_named
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.told_deeds import NOTHING_MORE, Provenance, provenance_of
from tarsus.records.models import Bird, Exhibit, Nest, NestEvent, ToldDeed
from tarsus.records.standing import standing

SHOWN_AFTER: timedelta = timedelta(days=120)
"""A nest that is over is shown for the rest of its season."""


class NoSuchExhibit(NoAnswer):
    """No exhibit has this id."""

    def __init__(self, exhibit_id: int) -> None:
        self.exhibit_id = exhibit_id
        super().__init__("no such exhibit is in this register; go to Nests and choose one")


@dataclass(frozen=True, slots=True)
class NestShown:
    """One nest as a page shows it. `to_on` is empty while it lasts."""

    nest_id: int
    name: str
    species: str
    place: str
    pair: tuple[Portrait, ...]
    names: tuple[str, ...]
    from_on: date
    to_on: date | None
    forbids_chase: bool
    deed: UUID | None
    standing: NestStanding
    found: tuple[Found, ...]

    @property
    def eggs_drawn(self) -> tuple[str, ...]:
        """One word an egg: *egg*, *hatched*, *fledged* or *failed*, as the drawing has them."""
        s = self.standing
        unfledged = max(0, s.chicks + s.banded - s.fledged)
        return (
            ("egg",) * s.eggs + ("fledged",) * s.fledged + ("hatched",) * unfledged + ("failed",) * s.failed
        )


@dataclass(frozen=True, slots=True)
class NestPage:
    """The nests of one exhibit; `sums` adds what was found this season.

    `chicks` are still with their parents. `became` says of all that hatched what became of them, in words
    with their numbers; `on_roll` of the banded count on the roll.
    """

    exhibit_id: int
    exhibit: str
    day: date
    nests: tuple[NestShown, ...]
    chicks: int
    became: tuple[tuple[str, int], ...]
    hatched: int
    on_roll: int
    sums: Mapping[str, int]
    forbidding: tuple[str, ...]
    caution: str


def exhibits_with_nests(now: datetime) -> tuple[tuple[int, str, int], ...]:
    """Every exhibit with the number of nests that last today: id, name, number."""
    today = day_of(now, park_zone())
    running = Q(nests__from_on__lte=today, nests__taken_back_at__isnull=True) & (
        Q(nests__to_on__isnull=True) | Q(nests__to_on__gt=today)
    )
    rows = Exhibit.objects.annotate(running=Count("nests", filter=running)).order_by("order", "name")
    return tuple(rows.values_list("pk", "name", "running"))


def nest_page(exhibit_id: int, now: datetime) -> NestPage:
    """The nests of one exhibit, those that are over among them for their season.

    Raises:
        NoSuchExhibit: there is none of this id.
    """
    exhibit = Exhibit.objects.filter(pk=exhibit_id).first()
    if exhibit is None:
        raise NoSuchExhibit(exhibit_id)
    today = day_of(now, park_zone())
    rows = list(
        Nest.objects.filter(exhibit_id=exhibit_id, taken_back_at__isnull=True)
        .filter(Q(to_on__isnull=True) | Q(to_on__gt=today - SHOWN_AFTER))
        .select_related("place", "species", "pair__first", "pair__second")
        .order_by("to_on", "from_on", "pk")
    )
    found = _found([row.pk for row in rows])
    pairs = [bird for row in rows if row.pair for bird in (row.pair.first_id, row.pair.second_id)]
    portraits = {bird.bird_id: portrait_of(bird) for bird in birds_named(pairs, today)}
    told = _last_told(rows)
    nests = tuple(_shown(row, found.get(row.pk, ()), portraits, told.get(row.pk)) for row in rows)
    lasting = [nest for nest in nests if nest.to_on is None]
    return NestPage(
        exhibit_id=exhibit_id,
        exhibit=exhibit.name,
        day=today,
        nests=tuple(sorted(nests, key=lambda nest: (nest.to_on is not None, nest.from_on))),
        chicks=sum(nest.standing.with_parents for nest in lasting),
        became=_became([nest.standing for nest in nests]),
        hatched=sum(nest.standing.hatched for nest in nests),
        on_roll=sum(bird.counted for bird in birds_named(_banded([row.pk for row in rows]), today)),
        sums={
            "eggs": sum(nest.standing.eggs for nest in lasting),
            "hatched": sum(nest.standing.hatched for nest in nests),
            "fledged": sum(nest.standing.fledged for nest in nests),
            "chicks": sum(nest.standing.with_parents for nest in lasting),
            "failed": sum(nest.standing.failed for nest in nests),
        },
        forbidding=tuple(nest.place or nest.name for nest in lasting if nest.forbids_chase),
        caution=caution(NEST),
    )


def _became(nests: Iterable[NestStanding]) -> tuple[tuple[str, int], ...]:
    told = list(nests)
    return (
        ("with their parents", sum(nest.with_parents for nest in told)),
        ("fledged without a band", sum(nest.flown for nest in told)),
        ("banded", sum(nest.banded for nest in told)),
        ("vanished", sum(nest.vanished for nest in told)),
        ("dead", sum(nest.dead for nest in told)),
    )


def _banded(nests: list[int]) -> list[int]:
    """The birds that chicks of these nests became."""
    return list(Bird.objects.filter(nest_id__in=nests).values_list("pk", flat=True))


@dataclass(frozen=True, slots=True)
class NestLine:
    """One thing that was found at a nest, in words; with who found it, and the fact to be put right."""

    day: date
    text: str
    who: str
    deed: str
    fact: UUID
    where_from: Provenance


def lines_of_nests(nest_ids: Iterable[int]) -> dict[int, tuple[NestLine, ...]]:
    """What was found at nests, by nest, the latest first; what was taken back stays and says so."""
    zone = park_zone()
    events = NestEvent.objects.filter(nest_id__in=list(nest_ids)).select_related("recorded_by")
    told: dict[int, list[NestLine]] = defaultdict(list)
    rows = list(events.order_by("-happened_at", "-pk"))
    sources = provenance_of(row.pk for row in rows)
    for row in rows:
        where_from = sources.get(row.pk, NOTHING_MORE)
        if where_from.replaced:
            continue
        amount = "" if row.amount is None else f", {row.amount}"
        note = f". {row.note}" if row.note else ""
        line = NestLine(
            day_of(row.happened_at, zone),
            f"{row.kind.capitalize()}{amount}{note}.",
            row.recorded_by.display_name,
            "bird_from_nest" if row.kind == "banded" else "nest_event",
            row.pk,
            where_from,
        )
        told[row.nest_id].append(line)
    return {nest: tuple(lines) for nest, lines in told.items()}


def _found(nests: list[int]) -> dict[int, tuple[Found, ...]]:
    zone = park_zone()
    rows = standing(NestEvent.objects.filter(nest_id__in=nests)).order_by("happened_at", "recorded_at", "pk")
    found: dict[int, list[Found]] = defaultdict(list)
    for row in rows:
        found[row.nest_id].append(Found(day_of(row.happened_at, zone), row.kind, row.amount, row.note))
    return {nest: tuple(told) for nest, told in found.items()}


def _last_told(rows: Iterable[Nest]) -> dict[int, UUID]:
    """The deeds that said last how nests were begun: what a correction takes the place of."""
    told = {row.pk: row.deed for row in rows if row.deed is not None}
    later = ToldDeed.objects.filter(kind="nest_begun", corrects__isnull=False).order_by("recorded_at")
    return told | {
        wrote["nest"]: deed for wrote, deed in later.values_list("wrote", "pk") if wrote.get("nest") in told
    }


def _shown(
    row: Nest, found: tuple[Found, ...], portraits: Mapping[int, Portrait], deed: UUID | None
) -> NestShown:
    pair = (row.pair.first, row.pair.second) if row.pair else ()
    return NestShown(
        nest_id=row.pk,
        name=row.name,
        species=row.species.name,
        place=row.place.name if row.place else "",
        pair=tuple(portraits[bird.pk] for bird in pair if bird.pk in portraits),
        names=tuple(str(bird) for bird in pair),
        from_on=row.from_on,
        to_on=row.to_on,
        forbids_chase=row.forbids_chase,
        deed=deed,
        standing=nest_standing(found),
        found=found,
    )
