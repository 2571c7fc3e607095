"""Everything the page of one bird tells."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from tarsus.core.errors import NoAnswer
from tarsus.queries.bird_events import Event, events_of
from tarsus.queries.bird_strip import DAYS, DayOfBird, strips_of
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import FlockBird, NoticedMark, birds_named, flock_of
from tarsus.queries.marks import WornBand, band_history, on_day
from tarsus.queries.once import once
from tarsus.queries.open_matters import OpenCase, open_cases
from tarsus.queries.pairs import Mate, mates_of
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.presence import presence_of_exhibit
from tarsus.queries.roll_today import pointed_at, short_counts
from tarsus.queries.unseen import Unseen, unseen_birds
from tarsus.queries.visit_days import with_visits
from tarsus.records.models import Bird, Exhibit, PlannedMarks, SexFinding, Stay, Weighing
from tarsus.records.standing import standing


class NoSuchBird(NoAnswer):
    """No bird has this id."""

    def __init__(self, bird_id: int) -> None:
        self.bird_id = bird_id
        super().__init__("no such bird is in this register; go to Exhibits and choose one")


@dataclass(frozen=True, slots=True)
class Weight:
    """One weighing as the plot shows it."""

    at: datetime
    weight_g: float
    where: str
    fed: bool | None
    moulting: bool


@dataclass(frozen=True, slots=True)
class Limits:
    """What the vet has set for the species, and its months of moult."""

    prompt_percent: float
    alarm_percent: float
    moult_from_month: int | None
    moult_to_month: int | None


@dataclass(frozen=True, slots=True)
class BirdPage:
    """One bird. `lives_here` is false for one that has left or died; it is shown as it last was."""

    portrait: Portrait
    house_name: str
    number: str
    lives_here: bool
    as_on: date
    exhibit: str
    since: date | None
    place: str
    sex: str
    sex_known_by: str
    sex_known_on: date | None
    hatched_on: date | None
    hatched_precision: str
    origin: str
    owner: str
    legal_mark: str
    certificate: str
    transponder: str
    engravings: tuple[str, ...]
    whereabouts: str
    mates: tuple[Mate, ...]
    natural_marks: tuple[NoticedMark, ...]
    bands: tuple[WornBand, ...]
    worn_band_ids: frozenset[int]
    planned: dict[str, list[str]] | None
    planned_id: int | None
    unseen: Unseen | None
    excused: str
    cases: tuple[OpenCase, ...]
    events: tuple[Event, ...]
    strip: tuple[DayOfBird, ...]
    weights: tuple[Weight, ...]
    limits: Limits


@once
def bird_page(bird_id: int, now: datetime) -> BirdPage:
    """One bird as of a moment, in a constant number of queries.

    Raises:
        NoSuchBird: the register knows none of this id.
    """
    row = Bird.objects.select_related("species").filter(pk=bird_id).first()
    if row is None:
        raise NoSuchBird(bird_id)
    zone = park_zone()
    today = day_of(now, zone)
    as_on, lives_here = _shown_on(bird_id, today)
    bird = _flock_bird(row, as_on)
    bands = band_history(bird_id)
    presence = presence_of_exhibit(bird.exhibit_id, now) if lives_here else {}
    short = short_counts(_with_its_flock(bird, as_on), presence, now) if lives_here else ()
    unseen = unseen_birds([bird], presence, now, pointed_at(short))
    found = (
        standing(SexFinding.objects.filter(bird_id=bird_id)).order_by("-happened_at", "-recorded_at").first()
    )
    planned = PlannedMarks.objects.filter(
        bird_id=bird_id, fitted_at__isnull=True, dropped_at__isnull=True
    ).first()
    exhibit = Exhibit.objects.filter(pk=bird.exhibit_id).first()
    place = exhibit.places.filter(pk=bird.place_id).first() if exhibit and bird.place_id else None
    return BirdPage(
        portrait=portrait_of(bird),
        house_name=row.house_name,
        number=row.number,
        lives_here=lives_here,
        as_on=as_on,
        exhibit=exhibit.name if exhibit else "",
        since=bird.since if exhibit else None,
        place=place.name if place else "",
        sex=bird.sex,
        sex_known_by=bird.sex_known_by,
        sex_known_on=day_of(found.happened_at, zone) if found else None,
        hatched_on=row.hatched_on,
        hatched_precision=row.hatched_precision,
        origin=row.origin,
        owner=row.owner,
        legal_mark=row.legal_mark,
        certificate=row.certificate,
        transponder=bird.transponder,
        engravings=tuple(band.engraving for band in bird.bands if band.engraving),
        whereabouts=bird.whereabouts,
        mates=mates_of(bird_id),
        natural_marks=bird.natural_marks,
        bands=tuple(sorted(bands, key=lambda band: (band.to_on is not None, band.site, band.from_on))),
        worn_band_ids=frozenset(band.band_id for band in bird.bands),
        planned=planned.marks if planned else None,
        planned_id=planned.pk if planned else None,
        unseen=unseen[0] if unseen else None,
        excused=presence[bird_id].excused if bird_id in presence else "",
        cases=_cases(bird, as_on),
        events=events_of(bird_id),
        strip=with_visits(strips_of((bird_id,), now, DAYS), now)[bird_id],
        weights=_weights(bird_id),
        limits=_limits(row),
    )


def _cases(bird: FlockBird, as_on: date) -> tuple[OpenCase, ...]:
    found = [case for case in open_cases({bird.bird_id: bird}) if bird.bird_id in case.bird_ids]
    others = {one for case in found for one in case.bird_ids} - {bird.bird_id}
    if not others:
        return tuple(found)
    known = {one.bird_id: one for one in (bird, *birds_named(others, as_on))}
    return tuple(case for case in open_cases(known) if bird.bird_id in case.bird_ids)


def _limits(row: Bird) -> Limits:
    species = row.species
    return Limits(
        species.weight_prompt_percent,
        species.weight_alarm_percent,
        species.moult_from_month,
        species.moult_to_month,
    )


def _shown_on(bird_id: int, today: date) -> tuple[date, bool]:
    """The day as of which a bird is shown, and whether it lives here today."""
    stays = Stay.objects.filter(bird_id=bird_id, taken_back_at__isnull=True)
    if stays.filter(on_day(today)).exists():
        return today, True
    last = stays.filter(from_on__lte=today).order_by("-from_on").first()
    if last is None or last.to_on is None:
        return today, False
    return max(last.from_on, last.to_on - timedelta(days=1)), False


def _flock_bird(row: Bird, as_on: date) -> FlockBird:
    found = birds_named([row.pk], as_on)
    if found:
        return found[0]
    # It never lived anywhere by the record: it is shown by its name alone.
    return FlockBird(
        bird_id=row.pk,
        name=str(row),
        number=row.number,
        species_id=row.species_id,
        species=row.species.name,
        lookalike=row.species.lookalike,
        form=row.species.form,
        sex="U",
        sex_known_by="",
        hatched_on=row.hatched_on,
        young=None,
        owner=row.owner,
        bands=(),
        natural_marks=(),
        transponder="",
        exhibit_id=0,
        place_id=None,
        since=as_on,
        counted=False,
        max_unseen_days=row.species.max_unseen_days,
        whereabouts="",
    )


def _with_its_flock(bird: FlockBird, day: date) -> list[FlockBird]:
    return [one for one in flock_of(bird.exhibit_id, day) if one.lookalike == bird.lookalike]


def _weights(bird_id: int) -> tuple[Weight, ...]:
    rows = standing(Weighing.objects.filter(bird_id=bird_id)).order_by("happened_at")
    return tuple(Weight(row.happened_at, row.weight_g, row.where, row.fed, row.moulting) for row in rows)
