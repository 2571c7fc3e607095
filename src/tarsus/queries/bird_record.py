"""What the record that travels with a bird says of it, in words."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from tarsus.paper.bird_record import RecordPart
from tarsus.queries.bird_page import BirdPage, Weight, bird_page
from tarsus.queries.care_rows import treatments_of
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.marks import WornBand
from tarsus.queries.park import park_face
from tarsus.records.models import (
    Arrival,
    Bird,
    BodyCondition,
    CarcaseNamed,
    Death,
    Departure,
    NaturalMark,
    Ownership,
    SexFinding,
    Stay,
    Transponder,
)
from tarsus.records.standing import standing

WEIGHTS: Final = 24
"""So many of the latest weights travel with a bird."""
_SEX: Final = {"F": "female", "M": "male", "U": "not known"}
Lines = tuple[tuple[str, ...], ...]


def record_of(bird_id: int, now: datetime) -> tuple[str, str, str, tuple[RecordPart, ...]]:
    """The record of a bird as of a moment.

    Args:
        bird_id: which; also one that left or died, which is told as it last was.
        now: the moment of asking.

    Returns:
        The park's name, the bird's, its species, and the parts of the paper.

    Raises:
        NoSuchBird: the register knows none of this id.
    """
    zone, page = park_zone(), bird_page(bird_id, now)
    row = Bird.objects.select_related("species", "dam", "sire", "foster_dam", "foster_sire").get(pk=bird_id)
    scientific = f" ({row.species.scientific_name})" if row.species.scientific_name else ""
    parts = (
        RecordPart("Identity", _identity(row, page)),
        RecordPart("Marks it wears", _bands(page), ("", "where", "number", "since"), "It wears no band."),
        RecordPart("Parents", _parents(row), (), "Not known."),
        RecordPart("Where it lived", _lived(bird_id, zone), ("from", "where", "until"), "Not written down."),
        RecordPart("Weights", _weights(page, zone), ("when", "weight", "how", "fed"), "Never weighed here."),
        RecordPart(
            "Body condition", _conditions(bird_id, zone), ("when", "score", "note"), "Never scored here."
        ),
        RecordPart("Treatments that go on", _treated(bird_id, zone), ("since", "what", "next look"), "None."),
        RecordPart("With the vet", _cases(page, zone), ("since", "what", "keepers"), "No case is open."),
    )
    return park_face().on_paper, page.portrait.name, f"{page.portrait.species}{scientific}", parts


def _day(day: date | None) -> str:
    return f"{day:%-d %B %Y}" if day else ""


def _said(*pairs: tuple[str, str]) -> Lines:
    return tuple((label, text) for label, text in pairs if text)


def _identity(row: Bird, page: BirdPage) -> Lines:
    owned = standing(Ownership.objects.filter(bird=row)).order_by("happened_at", "recorded_at").last()
    left = standing(Departure.objects.filter(bird=row)).order_by("happened_at", "recorded_at").last()
    hatched = _day(row.hatched_on)
    if hatched and row.hatched_precision != "day":
        hatched = f"{hatched} (known to the {row.hatched_precision})"
    goes = ""
    if left is not None and not page.lives_here:
        lent = ", lent and still ours" if left.stays_ours else ""
        papers = f", papers {left.papers}" if left.papers else ""
        goes = f"{left.went_to}, {_day(day_of(left.happened_at, park_zone()))}{lent}{papers}"
    sex = standing(SexFinding.objects.filter(bird=row)).order_by("happened_at", "recorded_at", "pk").last()
    known_by = f", by {sex.known_by}" if sex is not None and sex.known_by != "not said" else ""
    return _said(
        ("Name", row.house_name),
        ("Our number", row.number),
        ("Sex", f"{_SEX[sex.sex if sex else 'U']}{known_by}"),
        ("Hatched", hatched),
        ("Origin", row.origin),
        ("Transponder", ", ".join(_last(Transponder, row, "number"))),
        ("Natural marks", "; ".join(_last(NaturalMark, row, "text"))),
        ("Legal mark", row.legal_mark),
        ("Certificate", row.certificate),
        ("Owned by", (owned.owner if owned else row.owner) or "this park"),
        ("Held by", (owned.holder if owned else row.holder) or "this park"),
        ("Goes to", goes),
        ("Died", _died(row)),
    )


def _last(table: type[Transponder | NaturalMark], row: Bird, column: str) -> list[str]:
    """What it had to the last: also what was given on the day it left."""
    found = table.objects.filter(bird=row, to_on__isnull=True, taken_back_at__isnull=True)
    return [str(value) for value in found.order_by("pk").values_list(column, flat=True)]


def _died(row: Bird) -> str:
    found = standing(Death.objects.filter(bird=row)).first()
    named = standing(CarcaseNamed.objects.filter(bird=row)).select_related("death").first()
    death = found or (named.death if named else None)
    return f"found dead on {_day(day_of(death.happened_at, park_zone()))}" if death else ""


def _bands(page: BirdPage) -> Lines:
    worn = [band for band in page.bands if band.to_on is None]
    return tuple(
        (
            f"{band.word}{', temporary' if band.temporary else ''}",
            band.site,
            _number(band),
            _day(band.from_on),
        )
        for band in worn
    )


def _number(band: WornBand) -> str:
    """Its number with who issued it, said once: many engravings begin with it."""
    said = band.engraving.startswith(band.series)
    return band.engraving if said else f"{band.series} {band.engraving}".strip()


def _parents(row: Bird) -> Lines:
    told = (
        ("Mother", row.dam),
        ("Father", row.sire),
        ("Foster mother", row.foster_dam),
        ("Foster father", row.foster_sire),
    )
    return tuple(
        (label, f"{bird}{f', our number {bird.number}' if bird.number and bird.house_name else ''}")
        for label, bird in told
        if bird is not None
    )


def _lived(bird_id: int, zone: ZoneInfo) -> Lines:
    came = standing(Arrival.objects.filter(bird_id=bird_id)).order_by("happened_at")
    stays = Stay.objects.filter(bird_id=bird_id, taken_back_at__isnull=True).select_related("exhibit")
    told = [(day_of(row.happened_at, zone), 0, f"came from {row.came_from}", "") for row in came]
    told += [(stay.from_on, 1, stay.exhibit.name, _day(stay.to_on) or "now") for stay in stays]
    return tuple((_day(on), what, until) for on, _, what, until in sorted(told))


def _weights(page: BirdPage, zone: ZoneInfo) -> Lines:
    def line(weight: Weight) -> tuple[str, ...]:
        fed = {True: "fed", False: "not fed", None: ""}[weight.fed]
        at = weight.at.astimezone(zone)
        moult = ", in moult" if weight.moulting else ""
        return (f"{at:%-d %B %Y, %H:%M}", f"{weight.weight_g:g} g", f"{weight.where}{moult}", fed)

    return tuple(line(weight) for weight in reversed(page.weights[-WEIGHTS:]))


def _conditions(bird_id: int, zone: ZoneInfo) -> Lines:
    rows = standing(BodyCondition.objects.filter(bird_id=bird_id)).order_by("-happened_at")[:WEIGHTS]
    return tuple(
        (_day(day_of(row.happened_at, zone)), f"{row.score} of {row.scale_to}", row.note) for row in rows
    )


def _treated(bird_id: int, zone: ZoneInfo) -> Lines:
    return tuple(
        (_day(one.since), one.what, _day(one.next_on) or "none set")
        for one in treatments_of([bird_id], zone).get(bird_id, ())
    )


def _cases(page: BirdPage, zone: ZoneInfo) -> Lines:
    return tuple(
        (
            _day(day_of(case.opened_at, zone)),
            case.about if len(case.names) == 1 else f"one of {len(case.names)}: {case.about}",
            case.instruction,
        )
        for case in page.cases
    )
