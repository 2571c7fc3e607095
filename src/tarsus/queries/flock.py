"""The birds of an exhibit on a day, as plain values: what a roll call, a model and a drawing start from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch, QuerySet

from tarsus.core.marks.birds import Bird as CoreBird
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.presence.chicks import counts_from
from tarsus.core.readings.plumage import looks_young
from tarsus.queries.days import day_ends, park_zone
from tarsus.queries.deaths import carcases_off_the_roll
from tarsus.queries.marks import WornBand, bands_of, marks_of, on_day
from tarsus.queries.once import once
from tarsus.records.models import Bird, Missing, NaturalMark, SexFinding, Stay, Transponder
from tarsus.records.standing import standing

OFF_THE_ROLL = ("missing", "escaped", "presumed dead")
"""States in which a bird is looked for, and not counted on."""


@dataclass(frozen=True, slots=True)
class NoticedMark:
    """A natural mark as it is told and pinned on the drawing (x and y in per cent)."""

    text: str
    x: float | None
    y: float | None
    photo: str
    review_on: date | None
    mark_id: int


@dataclass(frozen=True, slots=True)
class FlockBird:
    """One bird of an exhibit. `counted` is false for chicks that do not count yet and for birds off the roll.
    `young` is the chance that somebody says it is in young plumage, None where that is not known.

    `whereabouts` is empty for a bird that is where it should be, otherwise ``missing``, ``escaped`` …
    """

    bird_id: int
    name: str
    number: str
    species_id: int
    species: str
    lookalike: str
    form: str
    sex: str
    sex_known_by: str
    hatched_on: date | None
    young: float | None
    owner: str
    bands: tuple[WornBand, ...]
    natural_marks: tuple[NoticedMark, ...]
    transponder: str
    exhibit_id: int
    place_id: int | None
    since: date
    counted: bool
    max_unseen_days: int
    whereabouts: str

    @property
    def marks(self) -> Marks:
        """What it wears by the record."""
        return marks_of(self.bands)

    @property
    def engraving(self) -> str:
        """The number on its metal band, the first where it wears two, else on another; empty without one."""
        numbered = [band for band in self.bands if band.engraving]
        return next((band.engraving for band in sorted(numbered, key=lambda band: band.word != METAL)), "")

    def as_core(self, prior: float = 1.0) -> CoreBird:
        """The bird as the computing core takes it; its id is the number in the register, as text."""
        return CoreBird(str(self.bird_id), self.marks, self.sex, prior, self.lookalike, self.young)


@once
def flock_of(exhibit_id: int, day: date) -> tuple[FlockBird, ...]:
    """All birds that lived in an exhibit on a day, in a number of queries that does not grow with them.

    Args:
        exhibit_id: which exhibit.
        day: the park's day; marks, sexes and stays are those of that day as the register knows them now.

    Returns:
        The birds by look-alike group, then name, then id. Birds missing from the exhibit are among them, not
        counted: whoever is seen must be able to be recognised.
    """
    return _birds_of_stays(Stay.objects.filter(on_day(day), exhibit_id=exhibit_id), day)


@once
def birds_everywhere(day: date) -> tuple[FlockBird, ...]:
    """All birds of all exhibits on a day, for *Who is it?* across the park."""
    return _birds_of_stays(Stay.objects.filter(on_day(day)), day)


def birds_named(bird_ids: Iterable[int], day: date) -> tuple[FlockBird, ...]:
    """Certain birds where they lived on a day; one that lived nowhere that day is left out."""
    return _birds_of_ids(tuple(bird_ids), day)


@once
def _birds_of_ids(bird_ids: tuple[int, ...], day: date) -> tuple[FlockBird, ...]:
    return _birds_of_stays(Stay.objects.filter(on_day(day), bird_id__in=bird_ids), day)


def sexes_of(bird_ids: Iterable[int], day: date) -> dict[int, tuple[str, str]]:
    """The sex of birds and how it was known, as found by the end of a day; unsexed ones are left out."""
    findings = (
        standing(SexFinding.objects.all())
        .filter(bird_id__in=list(bird_ids), happened_at__lt=day_ends(day, park_zone()))
        .order_by("happened_at", "recorded_at", "pk")
        .values_list("bird_id", "sex", "known_by")
    )
    return {bird: (sex, known_by) for bird, sex, known_by in findings}


def whereabouts_of(bird_ids: Iterable[int], day: date) -> dict[int, str]:
    """The latest word on birds that are missing, escaped or presumed dead; found ones are left out."""
    told = (
        standing(Missing.objects.all())
        .filter(bird_id__in=list(bird_ids), happened_at__lt=day_ends(day, park_zone()))
        .order_by("happened_at", "recorded_at", "pk")
        .values_list("bird_id", "state")
    )
    latest: dict[int, str] = {bird: str(state) for bird, state in told}
    return {bird: state for bird, state in latest.items() if state in OFF_THE_ROLL}


def counts_on(hatched_on: date | None, counts_at_days: int, day: date) -> bool:
    """Whether a bird is old enough to be counted on a day; one of unknown age is."""
    grown = counts_from(hatched_on, counts_at_days)
    return grown is None or grown <= day


def _birds_of_stays(stays: QuerySet[Stay], day: date) -> tuple[FlockBird, ...]:
    rows: list[Stay] = list(stays.select_related("bird__species").prefetch_related(*_told_by(day)))
    ids = [stay.bird_id for stay in rows]
    bands, sexes, missing = bands_of(ids, day), sexes_of(ids, day), whereabouts_of(ids, day)
    birds = [_flock_bird(stay, bands, sexes, missing, day) for stay in rows]
    return tuple(sorted(birds, key=lambda bird: (bird.lookalike, bird.name, bird.bird_id)))


def _told_by(day: date) -> tuple[Prefetch[str], Prefetch[str]]:
    return (
        Prefetch("bird__natural_marks", NaturalMark.objects.filter(on_day(day)).order_by("id"), "marks_then"),
        Prefetch("bird__transponders", Transponder.objects.filter(on_day(day)), "transponders_then"),
    )


def _flock_bird(
    stay: Stay,
    bands: dict[int, tuple[WornBand, ...]],
    sexes: dict[int, tuple[str, str]],
    missing: dict[int, str],
    day: date,
) -> FlockBird:
    bird, species = stay.bird, stay.bird.species
    sex, known_by = sexes.get(bird.pk, ("U", ""))
    return FlockBird(
        bird_id=bird.pk,
        name=str(bird),
        number=bird.number,
        species_id=species.pk,
        species=species.name,
        lookalike=species.lookalike,
        form=species.form,
        sex=sex,
        sex_known_by=known_by,
        hatched_on=bird.hatched_on,
        young=_looks_young(bird.hatched_on, species.grown_plumage_at_days, day),
        owner=bird.owner,
        bands=bands.get(bird.pk, ()),
        natural_marks=tuple(
            NoticedMark(mark.text, mark.x, mark.y, mark.photo, mark.review_on, mark.pk)
            for mark in bird.marks_then  # type: ignore[attr-defined]  # named by the prefetch above
        ),
        transponder=next(
            (chip.number for chip in bird.transponders_then),  # type: ignore[attr-defined]  # as above
            "",
        ),
        exhibit_id=stay.exhibit_id,
        place_id=stay.place_id,
        since=stay.from_on,
        counted=counts_on(bird.hatched_on, species.counts_at_days, day) and bird.pk not in missing,
        max_unseen_days=species.max_unseen_days,
        whereabouts=missing.get(bird.pk, ""),
    )


def _looks_young(hatched_on: date | None, grown_at_days: int | None, day: date) -> float | None:
    age = None if hatched_on is None else (day - hatched_on).days
    return looks_young(age, grown_at_days)


def roll_of(exhibit_id: int, day: date) -> dict[str, int]:
    """How many birds of each look-alike group should be counted in an exhibit on a day.

    A carcase without bands lowers the number, although nobody knows yet which bird it was.
    """
    roll: dict[str, int] = defaultdict(int)
    for bird in flock_of(exhibit_id, day):
        roll[bird.lookalike] += bird.counted
    for lookalike, carcases in carcases_off_the_roll(exhibit_id, day).items():
        roll[lookalike] -= carcases
    return dict(roll)


def bird_exists(bird_id: int) -> bool:
    """Whether the register knows a bird of this id."""
    return Bird.objects.filter(pk=bird_id).exists()
