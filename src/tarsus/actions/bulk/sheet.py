"""Birds of a spreadsheet as plain rows for the bulk reader, with all that must be there before them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any, Final, TypeVar
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

from tarsus.actions.bulk.frozen import FrozenRows, frozen
from tarsus.actions.bulk.inserting import free_numbers
from tarsus.actions.bulk.reader import read_rows
from tarsus.core.marks.marks import METAL
from tarsus.core.marks.palette import BUILT_IN, LETTERS
from tarsus.records.models import Band, Bird, Colour, Exhibit, Place, Species
from tarsus.tables.bird_lines import BirdLine
from tarsus.tables.import_plan import ImportPlan
from tarsus.tables.kin import WORDS
from tarsus.tables.known import engraving_key

REASON: Final = "brought in from a spreadsheet"
_APART: Final = 100
_Row = dict[str, Any]
K = TypeVar("K")


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
    went: dict[int, UUID] = field(default_factory=dict)

    def noon(self, day: date) -> datetime:
        """Noon of a park's day, or now if that is still to come."""
        return min(datetime.combine(day, time(12), self.zone), self.now)

    def fact(self, day: date) -> _Row:
        """What a fact of a day carries."""
        return {**self.fact_now(), "happened_at": self.noon(day)}

    def fact_now(self) -> _Row:
        """What a fact of this moment carries."""
        return {"recorded_by_id": self.by, "recorded_at": self.now, "happened_at": self.now}

    def spell(self, day: date, until: date | None = None) -> _Row:
        """What a spell that runs from a day carries, with its end where it ended."""
        ended = until is not None
        return {
            "recorded_by_id": self.by,
            "recorded_at": self.now,
            "from_on": day,
            "to_on": until,
            "ended_by_id": self.by if ended else None,
            "ended_at": self.now if ended else None,
        }


def write_birds(plan: ImportPlan, *, by: int, now: datetime, zone: ZoneInfo) -> dict[int, int]:
    """Write the birds of a plan, with all that must be there before them.

    Args:
        plan: what goes in.
        by: the person in whose name.
        now: the moment of the act.
        zone: the park's clock, by which days are days.

    Returns:
        line -> the bird it became.

    Raises:
        RowsRefused: a guard of the register holds against a row.
    """
    keys = _Keys(by, now, zone)
    read_rows(content=_rows_of(plan, keys))
    return keys.birds


def _rows_of(plan: ImportPlan, keys: _Keys) -> Iterator[FrozenRows]:
    """Every row of a plan, in the order in which names become ids."""
    yield from _settings(plan.birds, keys)
    yield from _identities(plan, keys)
    yield from _stays(plan.birds, keys)
    yield from _bands(plan.birds, keys)
    yield from _other_marks(plan.birds, keys)
    yield frozen("pair", list(_pairs(plan, keys)))
    yield frozen("note", list(_notes(plan, keys)))


def _settings(birds: Sequence[BirdLine], keys: _Keys) -> Iterator[FrozenRows]:
    """Species, exhibits, places and colours that the register does not have yet."""
    keys.colours = dict(Colour.objects.values_list("name", "id"))
    if not keys.colours:
        yield _palette(birds, keys)
    keys.species = dict(Species.objects.values_list("name", "id"))
    new = list(dict.fromkeys(bird.species for bird in birds if bird.species.is_new))
    keys.species |= dict(zip((one.name for one in new), free_numbers(Species, len(new)), strict=True))
    yield frozen(
        "species",
        [
            {
                "id": keys.species[one.name],
                "name": one.name,
                "lookalike": one.lookalike,
                "form": one.form,
                "sites": list(one.sites),
            }
            for one in new
        ],
    )
    keys.exhibits = dict(Exhibit.objects.values_list("name", "id"))
    homes = _missing((bird.exhibit for bird in birds), keys.exhibits)
    keys.exhibits |= dict(zip(homes, free_numbers(Exhibit, len(homes)), strict=True))
    yield frozen("exhibit", [{"id": keys.exhibits[name], "name": name} for name in homes])
    keys.places = {
        (home, name): key for key, home, name in Place.objects.values_list("id", "exhibit_id", "name")
    }
    wanted = ((keys.exhibits[bird.exhibit], bird.place) for bird in birds if bird.place)
    spots = _missing(wanted, keys.places)
    keys.places |= dict(zip(spots, free_numbers(Place, len(spots)), strict=True))
    yield frozen(
        "place", [{"id": keys.places[spot], "exhibit_id": spot[0], "name": spot[1]} for spot in spots]
    )


def _missing(wanted: Iterable[K], there: dict[K, int]) -> list[K]:
    """What is wanted and not there yet, each once, in order."""
    return [one for one in dict.fromkeys(wanted) if one not in there]


def _palette(birds: Sequence[BirdLine], keys: _Keys) -> FrozenRows:
    """The built-in palette for a register that has none: every colour is known and may be read, and held are
    those that the birds of the file wear; nobody has said that the others are on a shelf here.
    """
    numbers = free_numbers(Colour, len(BUILT_IN.colours))
    keys.colours = dict(zip(BUILT_IN.names, numbers, strict=True))
    worn = {band.band for bird in birds for _, bands in bird.marks.sites for band in bands}
    # A file that tells of no colour says nothing of which are used.
    held = worn & {*BUILT_IN.names} or {*BUILT_IN.names}
    return frozen(
        "colour",
        [
            {
                "id": keys.colours[name],
                "name": name,
                "hex": value,
                "letter": LETTERS[name],
                "order": order,
                "held": name in held,
            }
            for order, (name, value) in enumerate(BUILT_IN.colours)
        ],
    )


def _identities(plan: ImportPlan, keys: _Keys) -> Iterator[FrozenRows]:
    numbers = free_numbers(Bird, len(plan.birds))
    keys.birds = dict(zip((bird.line for bird in plan.birds), numbers, strict=True))
    yield frozen(
        "bird",
        [
            {
                "id": keys.birds[bird.line],
                "species_id": keys.species[bird.species.name],
                "house_name": bird.name,
                "number": bird.number,
                "hatched_on": bird.hatched.day if bird.hatched else None,
                "hatched_precision": bird.hatched.precision if bird.hatched else "unknown",
                "origin": bird.origin,
                "owner": bird.owner,
                "certificate": bird.certificate,
                "dam_id": _kin(plan, keys, bird, "dam"),
                "sire_id": _kin(plan, keys, bird, "sire"),
                "recorded_by_id": keys.by,
                "recorded_at": keys.now,
            }
            for bird in plan.birds
        ],
    )
    yield frozen(
        "sex_finding",
        [
            {
                "bird_id": keys.birds[bird.line],
                "sex": bird.sex,
                "known_by": bird.sex_known_by,
                **keys.fact(bird.since),
            }
            for bird in plan.birds
            if bird.sex != "U"
        ],
    )


def _kin(plan: ImportPlan, keys: _Keys, bird: BirdLine, word: str) -> int | None:
    ref = plan.kin.get((bird.line, word))
    if ref is None:
        return None
    return keys.birds[ref[1]] if ref[0] == "line" else ref[1]


def _stays(birds: Sequence[BirdLine], keys: _Keys) -> Iterator[FrozenRows]:
    """Where they live, and an arrival for every bird that was not hatched here."""
    stays, arrivals = [], []
    for bird in birds:
        key, home = keys.birds[bird.line], keys.exhibits[bird.exhibit]
        where = {"bird_id": key, "exhibit_id": home}
        place = keys.places.get((home, bird.place))
        left_on = bird.fate_on if bird.fate.how in ("died", "departed") else None
        through = None if left_on is None else keys.went.setdefault(bird.line, uuid4())
        told = {"place_id": place, "reason": REASON, "ended_through": through}
        stays.append({**where, **told, **keys.spell(bird.since, left_on)})
        if bird.origin != "hatched here":
            came = {"came_from": bird.came_from or "not said", "on_loan": bool(bird.owner)}
            arrivals.append({**where, **came, **keys.fact(bird.since)})
    yield frozen("stay", stays)
    yield frozen("arrival", arrivals)
    yield from _fates(birds, keys)


def _fates(birds: Sequence[BirdLine], keys: _Keys) -> Iterator[FrozenRows]:
    """Deaths, departures and birds that are missing. Their bands stay theirs, and their numbers used."""
    deaths, departures, missing = [], [], []
    for bird in birds:
        if bird.fate_on is None:
            continue
        whose = {"bird_id": keys.birds[bird.line], **keys.fact(bird.fate_on)}
        home = keys.exhibits[bird.exhibit]
        told = "; ".join(dict.fromkeys(part for part in (REASON, bird.fate.told) if part))
        if bird.fate.how == "died":
            species = keys.species[bird.species.name]
            found = {"species_id": species, "exhibit_id": home, "found_by": "not said"}
            deaths.append({"id": keys.went[bird.line], **found, "circumstances": told[:400], **whose})
        elif bird.fate.how == "departed":
            # Where to is not always told in a column of its own: then the words that say it is gone are kept.
            to = bird.fate.went_to or bird.fate.told or "not said"
            departures.append({"id": keys.went[bird.line], "went_to": to[:120], **whose})
        else:
            missing.append({"state": "missing", "exhibit_id": home, "note": told[:300], **whose})
    yield frozen("death", deaths)
    yield frozen("departure", departures)
    yield frozen("missing", missing)


def _bands(birds: Sequence[BirdLine], keys: _Keys) -> Iterator[FrozenRows]:
    """Bands from the body outward, and what was noted of their condition."""
    worn = [
        (bird, site, order, band)
        for bird in birds
        for site, bands in bird.marks.sites
        for order, band in enumerate(bands, start=1)
    ]
    rows, checks = [], []
    for number, (bird, site, order, band) in zip(free_numbers(Band, len(worn)), worn, strict=True):
        metal = band.band == METAL
        rows.append(
            {
                "id": number,
                "bird_id": keys.birds[bird.line],
                "site": site,
                "order": order * _APART,
                "kind": _kind(metal, band.tie, band.closed, site),
                "colour_id": None if metal else keys.colours[band.band],
                "series": _series(band.engraving) if metal else "",
                "engraving": band.engraving,
                "engraving_key": engraving_key(band.engraving),
                "temporary": band.tie or band.temporary,
                "came_with_it": bird.came_with_bands,
                "note": "closed" if band.closed and not metal else "",
                **keys.spell(bird.banded),
            }
        )
        if band.condition:
            found = {"band_id": number, "condition": band.condition, "note": REASON}
            checks.append({**found, **keys.fact_now()})
    yield frozen("band", rows)
    yield frozen("band_check", checks)


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


def _other_marks(birds: Sequence[BirdLine], keys: _Keys) -> Iterator[FrozenRows]:
    yield frozen(
        "transponder",
        [
            {"bird_id": keys.birds[bird.line], "number": bird.transponder, **keys.spell(bird.since)}
            for bird in birds
            if bird.transponder
        ],
    )
    yield frozen(
        "natural_mark",
        [
            {"bird_id": keys.birds[bird.line], "text": text, **keys.spell(bird.since)}
            for bird in birds
            for text in bird.natural_marks
        ],
    )


def _pairs(plan: ImportPlan, keys: _Keys) -> Iterator[_Row]:
    """Mates; two lines that name each other are one pair. A bird of the register keeps the mate it has."""
    since = {keys.birds[bird.line]: bird.since for bird in plan.birds}
    until = {keys.birds[bird.line]: (bird.fate_on or date.max, bird.fate.how) for bird in plan.birds}
    pairs: dict[tuple[int, int], date] = {}
    for bird in plan.birds:
        mate = _kin(plan, keys, bird, "mate")
        if mate is not None:
            own = keys.birds[bird.line]
            day = max(since[own], since.get(mate, since[own]))
            pairs.setdefault((min(own, mate), max(own, mate)), day)
    for (first, second), day in pairs.items():
        ended, how = min(until.get(one, (date.max, "")) for one in (first, second))
        # Two birds that were never here at one time are mates all the same: that day alone.
        to = None if ended == date.max or how == "missing" else max(ended, day)
        told = {"first_id": first, "second_id": second, "why_ended": "" if to is None else f"one {how}"}
        yield {**told, **keys.spell(day, to)}


def _notes(plan: ImportPlan, keys: _Keys) -> Iterator[_Row]:
    """Remarks of the file, and kin whom nobody could be found for."""
    for bird in plan.birds:
        unfound = [
            f"{word}: {getattr(bird, word)}"
            for word in WORDS
            if getattr(bird, word) not in ("", "?") and (bird.line, word) not in plan.kin
        ]
        text = "; ".join(part for part in (bird.note, *unfound) if part)
        if text:
            yield {"bird_id": keys.birds[bird.line], "text": text, **keys.fact_now()}
