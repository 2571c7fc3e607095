"""Birds of a spreadsheet, written into the register as one act, in the order rows lean on each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any, Final
from zoneinfo import ZoneInfo

from tarsus.core.marks.marks import METAL
from tarsus.core.marks.palette import BUILT_IN, LETTERS
from tarsus.queries.marks import engraving_key
from tarsus.records.models import (
    Arrival,
    Band,
    BandCheck,
    Bird,
    Colour,
    Exhibit,
    NaturalMark,
    Note,
    Pair,
    Place,
    SexFinding,
    Species,
    Stay,
    Transponder,
)
from tarsus.tables.bird_lines import BirdLine
from tarsus.tables.import_plan import ImportPlan
from tarsus.tables.kin import WORDS

BATCH: Final = 1000
REASON: Final = "brought in from a spreadsheet"
_APART: Final = 100


@dataclass
class _Keys:
    """Ids of names, and what every row of this act carries."""

    by: int
    now: datetime
    zone: ZoneInfo
    species: dict[str, int] = field(default_factory=dict)
    exhibits: dict[str, int] = field(default_factory=dict)
    places: dict[tuple[int, str], int] = field(default_factory=dict)
    colours: dict[str, int] = field(default_factory=dict)
    birds: dict[int, int] = field(default_factory=dict)

    def noon(self, day: date) -> datetime:
        """Noon of a park's day, or now if that is still to come."""
        return min(datetime.combine(day, time(12), self.zone), self.now)

    def fact(self, day: date) -> dict[str, Any]:
        """What a fact of a day carries."""
        return {"recorded_by_id": self.by, "recorded_at": self.now, "happened_at": self.noon(day)}

    def spell(self, day: date) -> dict[str, Any]:
        """What a spell that runs from a day carries."""
        return {"recorded_by_id": self.by, "recorded_at": self.now, "from_on": day}


def write_birds(plan: ImportPlan, *, by: int, now: datetime, zone: ZoneInfo) -> dict[int, int]:
    """Write the birds of a plan, with all that must be there before them.

    Args:
        plan: what goes in.
        by: the person in whose name.
        now: the moment of the act.
        zone: the park's clock, by which days are days.

    Returns:
        line -> the bird it became.
    """
    keys = _Keys(by, now, zone)
    _write_settings(plan.birds, keys)
    _write_identities(plan, keys)
    _write_stays(plan.birds, keys)
    _write_bands(plan.birds, keys)
    _write_other_marks(plan.birds, keys)
    _write_pairs(plan, keys)
    _write_notes(plan, keys)
    return keys.birds


def _write_settings(birds: Sequence[BirdLine], keys: _Keys) -> None:
    """Species, exhibits, places and colours that the register does not have yet."""
    if not Colour.objects.exists():
        Colour.objects.bulk_create(
            Colour(name=name, hex=value, letter=LETTERS[name], order=order)
            for order, (name, value) in enumerate(BUILT_IN.colours)
        )
    keys.colours = dict(Colour.objects.values_list("name", "id"))
    for species in dict.fromkeys(bird.species for bird in birds if bird.species.is_new):
        Species.objects.create(
            name=species.name, lookalike=species.lookalike, form=species.form, sites=list(species.sites)
        )
    keys.species = dict(Species.objects.values_list("name", "id"))
    keys.exhibits = dict(Exhibit.objects.values_list("name", "id"))
    for name in dict.fromkeys(bird.exhibit for bird in birds):
        if name not in keys.exhibits:
            keys.exhibits[name] = Exhibit.objects.create(name=name).pk
    keys.places = {
        (home, name): key for key, home, name in Place.objects.values_list("id", "exhibit_id", "name")
    }
    for bird in birds:
        spot = (keys.exhibits[bird.exhibit], bird.place)
        if bird.place and spot not in keys.places:
            keys.places[spot] = Place.objects.create(exhibit_id=spot[0], name=spot[1]).pk


def _write_identities(plan: ImportPlan, keys: _Keys) -> None:
    rows = [
        Bird(
            species_id=keys.species[bird.species.name],
            house_name=bird.name,
            number=bird.number,
            hatched_on=bird.hatched.day if bird.hatched else None,
            hatched_precision=bird.hatched.precision if bird.hatched else "unknown",
            origin=bird.origin,
            owner=bird.owner,
            certificate=bird.certificate,
            recorded_by_id=keys.by,
            recorded_at=keys.now,
        )
        for bird in plan.birds
    ]
    made = Bird.objects.bulk_create(rows, batch_size=BATCH)
    keys.birds = {bird.line: row.pk for bird, row in zip(plan.birds, made, strict=True)}
    children = []
    for bird, row in zip(plan.birds, made, strict=True):
        row.dam_id, row.sire_id = _kin(plan, keys, bird, "dam"), _kin(plan, keys, bird, "sire")
        if row.dam_id or row.sire_id:
            children.append(row)
    Bird.objects.bulk_update(children, ["dam", "sire"], batch_size=BATCH)
    SexFinding.objects.bulk_create(
        [
            SexFinding(
                bird_id=keys.birds[bird.line],
                sex=bird.sex,
                known_by=bird.sex_known_by,
                **keys.fact(bird.since),
            )
            for bird in plan.birds
            if bird.sex != "U"
        ],
        batch_size=BATCH,
    )


def _kin(plan: ImportPlan, keys: _Keys, bird: BirdLine, word: str) -> int | None:
    ref = plan.kin.get((bird.line, word))
    if ref is None:
        return None
    return keys.birds[ref[1]] if ref[0] == "line" else ref[1]


def _write_stays(birds: Sequence[BirdLine], keys: _Keys) -> None:
    """Where they live, and an arrival for every bird that was not hatched here."""
    stays, arrivals = [], []
    for bird in birds:
        key, home = keys.birds[bird.line], keys.exhibits[bird.exhibit]
        place = keys.places.get((home, bird.place))
        stays.append(
            Stay(bird_id=key, exhibit_id=home, place_id=place, reason=REASON, **keys.spell(bird.since))
        )
        if bird.origin != "hatched here":
            came_from = bird.came_from or "not said"
            on_loan = bool(bird.owner)
            fact = keys.fact(bird.since)
            arrivals.append(
                Arrival(bird_id=key, came_from=came_from, exhibit_id=home, on_loan=on_loan, **fact)
            )
    Stay.objects.bulk_create(stays, batch_size=BATCH)
    Arrival.objects.bulk_create(arrivals, batch_size=BATCH)


def _write_bands(birds: Sequence[BirdLine], keys: _Keys) -> None:
    """Bands from the body outward, and what was noted of their condition."""
    rows: list[Band] = []
    conditions: list[str] = []
    for bird in birds:
        for site, bands in bird.marks.sites:
            for place, band in enumerate(bands, start=1):
                metal = band.band == METAL
                rows.append(
                    Band(
                        bird_id=keys.birds[bird.line],
                        site=site,
                        order=place * _APART,
                        kind=_kind(metal, band.tie, band.closed, site),
                        colour_id=None if metal else keys.colours[band.band],
                        series=_series(band.engraving) if metal else "",
                        engraving=band.engraving,
                        engraving_key=engraving_key(band.engraving),
                        temporary=band.tie,
                        came_with_it=bird.came_with_bands,
                        note="closed" if band.closed and not metal else "",
                        **keys.spell(bird.banded),
                    )
                )
                conditions.append(band.condition)
    made = Band.objects.bulk_create(rows, batch_size=BATCH)
    fact = {"recorded_by_id": keys.by, "recorded_at": keys.now, "happened_at": keys.now, "note": REASON}
    checks = [
        BandCheck(band_id=row.pk, condition=condition, **fact)
        for row, condition in zip(made, conditions, strict=True)
        if condition
    ]
    BandCheck.objects.bulk_create(checks, batch_size=BATCH)


def _kind(metal: bool, tie: bool, closed: bool, site: str) -> str:
    if metal:
        return "closed" if closed else "metal"
    if tie:
        return "cable tie"
    return "wing" if site.endswith("wing") else "colour"


def _series(engraving: str) -> str:
    """Who issued a metal band, as far as the engraving tells: the letters before its number."""
    head = "".join(engraving.split())
    letters = head[: len(head) - len(head.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ"))]
    return letters[:20]


def _write_other_marks(birds: Sequence[BirdLine], keys: _Keys) -> None:
    chips = [
        Transponder(bird_id=keys.birds[bird.line], number=bird.transponder, **keys.spell(bird.since))
        for bird in birds
        if bird.transponder
    ]
    marks = [
        NaturalMark(bird_id=keys.birds[bird.line], text=text, **keys.spell(bird.since))
        for bird in birds
        for text in bird.natural_marks
    ]
    Transponder.objects.bulk_create(chips, batch_size=BATCH)
    NaturalMark.objects.bulk_create(marks, batch_size=BATCH)


def _write_pairs(plan: ImportPlan, keys: _Keys) -> None:
    """Mates; two lines that name each other are one pair. A bird of the register keeps the mate it has."""
    since = {keys.birds[bird.line]: bird.since for bird in plan.birds}
    pairs: dict[tuple[int, int], date] = {}
    for bird in plan.birds:
        mate = _kin(plan, keys, bird, "mate")
        if mate is not None:
            own = keys.birds[bird.line]
            day = max(since[own], since.get(mate, since[own]))
            pairs.setdefault((min(own, mate), max(own, mate)), day)
    Pair.objects.bulk_create(
        [Pair(first_id=first, second_id=second, **keys.spell(day)) for (first, second), day in pairs.items()],
        batch_size=BATCH,
    )


def _write_notes(plan: ImportPlan, keys: _Keys) -> None:
    """Remarks of the file, and kin whom nobody could be found for."""
    notes = []
    for bird in plan.birds:
        unfound = [
            f"{word}: {getattr(bird, word)}"
            for word in WORDS
            if getattr(bird, word) not in ("", "?") and (bird.line, word) not in plan.kin
        ]
        text = "; ".join(part for part in (bird.note, *unfound) if part)
        if text:
            fact = {"recorded_by_id": keys.by, "recorded_at": keys.now, "happened_at": keys.now}
            notes.append(Note(bird_id=keys.birds[bird.line], text=text, **fact))
    Note.objects.bulk_create(notes, batch_size=BATCH)
