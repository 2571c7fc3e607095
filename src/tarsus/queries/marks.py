"""What birds wear, and what they wore on any past day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import OuterRef, Q, QuerySet, Subquery

from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.sites import SITES
from tarsus.queries.days import day_ends, park_zone
from tarsus.records.models import Band, BandCheck
from tarsus.records.models.bands import NUMBERED
from tarsus.records.standing import standing


@dataclass(frozen=True, slots=True)
class WornBand:
    """One band as it sits on a bird, with what the last check found of it.

    `word` is what a reading calls it: ``metal`` or the colour's name. `conditions` is empty where no check
    was made; ``missing`` means that the record has the band and the bird has not.
    """

    band_id: int
    bird_id: int
    site: str
    word: str
    kind: str
    engraving: str
    series: str
    size: str
    temporary: bool
    certified: bool
    from_on: date
    to_on: date | None
    why_off: str
    conditions: tuple[str, ...] = ()
    checked_at: datetime | None = None

    @property
    def flags(self) -> tuple[str, ...]:
        """What the drawing shows of it: ``worn``, ``faded``, ``lost``, ``tie``, ``unreadable``, ``tight``."""
        said = tuple("lost" if word == "missing" else word for word in self.conditions if word != "good")
        return (*said, "tie") if self.kind == "cable tie" else said


def on_day(day: date) -> Q:
    """The condition that a spell was running on a day: it had begun, and had not ended by then."""
    return Q(from_on__lte=day, taken_back_at__isnull=True) & (Q(to_on__isnull=True) | Q(to_on__gt=day))


def bands_of(bird_ids: Iterable[int], day: date) -> dict[int, tuple[WornBand, ...]]:
    """The bands that birds wore on a day, each bird's by site and from the body outward, in two queries.

    Args:
        bird_ids: whose bands.
        day: the park's day; a band fitted on it counts, one taken off on it does not.

    Returns:
        bird -> its bands; a bird that wore none is not among the keys.
    """
    bands = list(
        Band.objects.filter(on_day(day), bird_id__in=list(bird_ids))
        .select_related("colour")
        .order_by("bird_id", "order", "id")
    )
    checks = _last_checks([band.pk for band in bands], day)
    found: dict[int, list[WornBand]] = defaultdict(list)
    for band in bands:
        found[band.bird_id].append(worn_band(band, checks.get(band.pk, [])))
    rank = {site: place for place, site in enumerate(SITES)}
    return {bird: tuple(sorted(worn, key=lambda b: rank[b.site])) for bird, worn in found.items()}


def marks_of(bands: Iterable[WornBand]) -> Marks:
    """The marks that bands make together; they must be of one bird and in order."""
    by_site: dict[str, list[str]] = defaultdict(list)
    for band in bands:
        by_site[band.site].append(band.word)
    return Marks.of(by_site)


def marks_on(bird_id: int, day: date) -> Marks:
    """The marks of one bird on any day, past or present, as the register knows them now."""
    return marks_of(bands_of([bird_id], day).get(bird_id, ()))


def band_history(bird_id: int) -> tuple[WornBand, ...]:
    """Every band a bird ever wore, the oldest first, with the last check of each."""
    bands = list(
        Band.objects.filter(bird_id=bird_id, taken_back_at__isnull=True)
        .select_related("colour")
        .order_by("from_on", "id")
    )
    checks = _last_checks([band.pk for band in bands], None)
    return tuple(worn_band(band, checks.get(band.pk, [])) for band in bands)


def worn_band(band: Band, checks: Sequence[BandCheck]) -> WornBand:
    """A row as a plain value, with the checks of its latest moment."""
    return WornBand(
        band_id=band.pk,
        bird_id=band.bird_id,
        site=band.site,
        word=METAL if band.kind in NUMBERED or band.colour is None else band.colour.name,
        kind=band.kind,
        engraving=band.engraving,
        series=band.series,
        size=band.size,
        temporary=band.temporary,
        certified=band.certified,
        from_on=band.from_on,
        to_on=band.to_on,
        why_off=band.why_off,
        conditions=tuple(sorted(check.condition for check in checks)),
        checked_at=max((check.happened_at for check in checks), default=None),
    )


def _last_checks(band_ids: list[int], day: date | None) -> dict[int, list[BandCheck]]:
    """Of each band the checks made at its latest moment, by that day's end."""
    checks = _checks_until(day).filter(band_id__in=band_ids)
    latest = _checks_until(day).filter(band=OuterRef("band")).order_by("-happened_at")
    found: dict[int, list[BandCheck]] = defaultdict(list)
    for check in checks.filter(happened_at=Subquery(latest.values("happened_at")[:1])):
        found[check.band_id].append(check)
    return found


def _checks_until(day: date | None) -> QuerySet[BandCheck]:
    checks = standing(BandCheck.objects.all())
    return checks if day is None else checks.filter(happened_at__lt=day_ends(day, park_zone()))


def bird_of_engraving(engraving: str) -> tuple[tuple[int, int], ...]:
    """Which birds ever wore a band so engraved, as pairs of bird and band; spaces and case do not count."""
    rows = Band.objects.filter(engraving_key=engraving_key(engraving), taken_back_at__isnull=True)
    return tuple(rows.order_by("from_on").values_list("bird_id", "pk"))


def engraving_key(engraving: str) -> str:
    """The engraving as it is compared: capitals, no spaces."""
    return "".join(engraving.split()).upper()
