"""Fitting a band, taking one off, and taking back what was written by mistake."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils import timezone

from tarsus.actions.bands.stock import take_from_stock
from tarsus.actions.bands.warnings import warnings_of
from tarsus.actions.known import known, known_bird, known_person
from tarsus.actions.refusals import AlreadySo, OutOfOrder
from tarsus.actions.telling import insert_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.sites import SITES
from tarsus.queries.flock import sexes_of
from tarsus.queries.marks import bands_of, engraving_key
from tarsus.records.models import Band, Bird, Colour
from tarsus.records.models.bands import NUMBERED
from tarsus.records.models.words import BandKind, WhyOff

APART = 100
"""How far apart bands are set, so that one can be put between two others without touching them."""


@dataclass(frozen=True, slots=True)
class NewBand:
    """A band to be fitted: where, what, and with which number.

    `place` counts from the body outward, from 0; `None` is the outermost. `colour` is the name of a colour of
    the palette, empty for metal.
    """

    site: str
    kind: str
    colour: str = ""
    engraving: str = ""
    series: str = ""
    size: str = ""
    place: int | None = None
    temporary: bool = False
    certified: bool = False
    came_with_it: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Fitted:
    """The band as it is written now, and what is to be said about it."""

    band_id: int
    warnings: tuple[str, ...]


@transaction.atomic
def fit_band(
    *, bird_id: int, band: NewBand, on: date, by: int, from_stock: bool = True, deed: UUID | None = None
) -> Fitted:
    """Write down that a band was fitted on a bird, or that it came with one.

    Args:
        bird_id: on which bird.
        band: what and where.
        on: the day from which it is worn.
        by: the person who fitted it or found it there.
        from_stock: take it from the drawer, where the drawer is kept for such bands.
        deed: the form's own id; the same deed told twice writes one band.

    Returns:
        The new band, with a sentence for each rule that what the bird wears now does not keep. Nothing is
        refused because of a rule.

    Raises:
        UnknownWord: no such site, kind or colour.
        WrongValue: a colour band without its colour, or a metal one with a colour.
        AlreadySo: the metal number is or was on a bird; it is never used again.
        OutOfOrder: before the bird hatched.
    """
    bird = known_bird(bird_id)
    if deed is not None and (done := Band.objects.filter(deed=deed).first()) is not None:
        return Fitted(done.pk, _warnings(bird, on))
    known_person(by)
    band = replace(band, engraving=band.engraving.strip())
    _check_words(band)
    colour = _colour(band)
    _check_number(band)
    if bird.hatched_on is not None and bird.hatched_precision == "day" and on < bird.hatched_on:
        raise OutOfOrder("on", f"{on} is before {bird} hatched ({bird.hatched_on}); correct one of the days")
    row = Band(
        deed=deed,
        bird=bird,
        order=_order(bird, band.site, band.place),
        colour=colour,
        engraving_key=engraving_key(band.engraving),
        from_on=on,
        recorded_by_id=by,
        **{name: getattr(band, name) for name in _COPIED},
    )
    try:
        row = insert_once(row, deed)
    except IntegrityError:
        # Another phone was faster between our look and our write.
        _check_number(band)
        raise
    said = () if band.came_with_it or not from_stock else take_from_stock(row, by)
    return Fitted(row.pk, (*said, *_warnings(bird, on)))


_COPIED = ("site", "kind", "engraving", "series", "size", "temporary", "certified", "came_with_it", "note")


def _check_words(band: NewBand) -> None:
    if band.site not in SITES:
        raise UnknownWord("site", band.site, "site", SITES)
    if band.kind not in BandKind.values:
        raise UnknownWord("kind", band.kind, "kind of band", BandKind.values)


def _colour(band: NewBand) -> Colour | None:
    if band.kind in NUMBERED:
        if band.colour:
            raise WrongValue("colour", f"a {band.kind} band has none; leave the colour out")
        return None
    if not band.colour:
        raise WrongValue("colour", f"is missing; say which colour the {band.kind} band has")
    colour = Colour.objects.filter(name=band.colour).first()
    if colour is None:
        names = Colour.objects.order_by("order").values_list("name", flat=True)
        raise UnknownWord("colour", band.colour, "colour of the palette", names)
    return colour


def _check_number(band: NewBand) -> None:
    if band.kind not in NUMBERED or not band.engraving:
        return
    alike = Band.objects.filter(
        engraving_key=engraving_key(band.engraving), kind__in=NUMBERED, taken_back_at__isnull=True
    )
    # Where nobody said who issued it, a number known under any issuer is taken for the same band.
    worn = (alike.filter(series=band.series) if band.series else alike).first()
    if worn is not None:
        since = f"since {worn.from_on}" if worn.to_on is None else f"until {worn.to_on}"
        raise AlreadySo(
            "engraving", f"{band.engraving} is {worn.bird}'s ({since}); read the number on the band again"
        )


def _order(bird: Bird, site: str, place: int | None) -> int:
    """The relative order that puts a new band at its place among those worn; the others keep theirs."""
    worn = list(
        Band.objects.filter(bird=bird, site=site, to_on__isnull=True, taken_back_at__isnull=True)
        .order_by("order", "pk")
        .values_list("order", flat=True)
    )
    if place is None or place >= len(worn):
        return worn[-1] + APART if worn else 0
    if place <= 0:
        return worn[0] - APART
    above, below = worn[place - 1], worn[place]
    if below - above < 2:
        raise WrongValue("place", f"there is no room left between two bands on the {site}; fit it outermost")
    return (above + below) // 2


def _warnings(bird: Bird, on: date) -> tuple[str, ...]:
    sex, _ = sexes_of([bird.pk], on).get(bird.pk, ("U", ""))
    return warnings_of(bird, bands_of([bird.pk], on).get(bird.pk, ()), sex)


@transaction.atomic
def take_off_band(*, band_id: int, on: date, why: str, by: int, note: str = "") -> bool:
    """Write down that a band is no longer on its bird. Its record stays.

    Returns:
        Whether it was written now; `False` when it was off since that day for that reason already.

    Raises:
        Unknown: no such band.
        UnknownWord: no such reason.
        AlreadySo: it was taken off on another day or for another reason.
        OutOfOrder: before it was fitted.
    """
    row = known(Band, band_id, "band")
    known_person(by)
    if why not in WhyOff.values:
        raise UnknownWord("why", why, "reason", WhyOff.values)
    if row.to_on is not None:
        if (row.to_on, row.why_off) == (on, why):
            return False
        raise AlreadySo("band", f"it is off since {row.to_on} ({row.why_off}); correct that record instead")
    if on < row.from_on:
        raise OutOfOrder("on", f"{on} is before it was fitted ({row.from_on}); correct one of the days")
    row.to_on, row.why_off, row.note = on, why, note or row.note
    row.ended_by_id, row.ended_at = by, timezone.now()
    row.save(update_fields=["to_on", "why_off", "note", "ended_by", "ended_at"])
    return True


@transaction.atomic
def take_back_band(*, band_id: int, because: str, by: int) -> bool:
    """Say that a band was written down by mistake and never was on that bird. The line stays readable.

    Its number may then be written down anew: it was never used.

    Returns:
        Whether it was written now; `False` when it was taken back before.

    Raises:
        Unknown: no such band.
        WrongValue: no reason was given.
    """
    row = known(Band, band_id, "band")
    known_person(by)
    if not because.strip():
        raise WrongValue("because", "is empty; say why it was a mistake")
    if row.taken_back_at is not None:
        return False
    row.taken_back_by_id, row.taken_back_at, row.taken_back_because = by, timezone.now(), because.strip()
    row.save(update_fields=["taken_back_by", "taken_back_at", "taken_back_because"])
    return True
