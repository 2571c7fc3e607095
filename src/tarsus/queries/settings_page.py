"""What a park has set, as plain values that a form starts from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count, Model, Q

from tarsus.core.errors import NoAnswer
from tarsus.queries.exports import SECRETS
from tarsus.records.models import Bird, Colour, Exhibit, MailWish, Park, Person, Place, Rule, Species


class NoSuchRow(NoAnswer):
    """The settings hold nothing of this kind with this id."""

    def __init__(self, kind: str) -> None:
        self.kind = kind
        super().__init__(f"no such {kind} is in this register; go to Settings and choose one")


@dataclass(frozen=True, slots=True)
class Listed:
    """One line of a list in Settings. `off` says that it is no longer in use."""

    key: int
    name: str
    note: str
    off: bool = False


@dataclass(frozen=True, slots=True)
class ColourListed:
    """A colour of the palette with how many bands of it are worn now."""

    key: int
    name: str
    hex: str
    letter: str
    held: bool
    worn: int


@dataclass(frozen=True, slots=True)
class RuleListed:
    """How a species is marked from a day on."""

    from_on: date
    metal: dict[str, str | None]
    colours: dict[str, dict[str, int]]
    repeat_on_a_site: bool
    mates_match: bool


def values_of(row: Model) -> dict[str, Any]:
    """The fields of a row by name."""
    return {field.name: getattr(row, field.attname) for field in row._meta.concrete_fields}


def park_values() -> dict[str, Any]:
    """What the park has chosen; the defaults until it has."""
    return values_of(Park.objects.filter(pk=1).first() or Park(id=1, name=""))


def colours_listed() -> tuple[ColourListed, ...]:
    """The palette in the park's order."""
    worn = Count("bands", filter=Q(bands__to_on__isnull=True, bands__taken_back_at__isnull=True))
    rows = Colour.objects.annotate(worn=worn).order_by("order", "id")
    return tuple(ColourListed(row.pk, row.name, row.hex, row.letter, row.held, row.worn) for row in rows)


def colour_values(colour_id: int) -> dict[str, Any]:
    """One colour.

    Raises:
        NoSuchRow: there is none of this id.
    """
    row = Colour.objects.filter(pk=colour_id).first()
    if row is None:
        raise NoSuchRow("colour")
    return values_of(row)


def next_colour_place() -> int:
    """The place in the palette for a colour that comes in."""
    last = Colour.objects.order_by("-order").values_list("order", flat=True).first()
    return 0 if last is None else last + 1


def species_listed() -> tuple[Listed, ...]:
    """The species of this park, each with how many of its birds are in the register."""
    rows = Species.objects.annotate(number=Count("birds")).order_by("name")
    return tuple(Listed(row.pk, row.name, f"{row.lookalike} · {row.number} in the register") for row in rows)


def species_values(species_id: int) -> dict[str, Any]:
    """One species, its excluded colours by name.

    Raises:
        NoSuchRow: there is none of this id.
    """
    row = Species.objects.filter(pk=species_id).first()
    if row is None:
        raise NoSuchRow("species")
    return values_of(row) | {"excluded": list(row.excluded_colours.values_list("name", flat=True))}


def rules_of(species_id: int) -> tuple[RuleListed, ...]:
    """How a species was and is marked, the latest rule first."""
    rows = Rule.objects.filter(species_id=species_id).order_by("-from_on")
    return tuple(
        RuleListed(row.from_on, row.metal, row.colours, row.repeat_on_a_site, row.mates_match) for row in rows
    )


def lookalikes_known() -> tuple[str, ...]:
    """The look-alike groups that are in use."""
    return tuple(Species.objects.order_by("lookalike").values_list("lookalike", flat=True).distinct())


def exhibits_listed() -> tuple[Listed, ...]:
    """The exhibits in the park's order, each with its places counted."""
    open_places = Count("places", filter=Q(places__closed_on__isnull=True))
    rows = Exhibit.objects.annotate(number=open_places).order_by("closed_on", "order", "name")
    return tuple(
        Listed(row.pk, row.name, f"{row.purpose} · {row.number} places", off=row.closed_on is not None)
        for row in rows
    )


def exhibit_values(exhibit_id: int) -> dict[str, Any]:
    """One exhibit.

    Raises:
        NoSuchRow: there is none of this id.
    """
    row = Exhibit.objects.filter(pk=exhibit_id).first()
    if row is None:
        raise NoSuchRow("exhibit")
    return values_of(row)


def places_listed(exhibit_id: int) -> tuple[Listed, ...]:
    """The places of an exhibit, those that are closed last."""
    rows = Place.objects.filter(exhibit_id=exhibit_id).order_by("closed_on", "order", "name")
    return tuple(Listed(row.pk, row.name, row.kind, off=row.closed_on is not None) for row in rows)


def place_values(exhibit_id: int, place_id: int) -> dict[str, Any]:
    """One place of an exhibit.

    Raises:
        NoSuchRow: the exhibit has none of this id.
    """
    row = Place.objects.filter(pk=place_id, exhibit_id=exhibit_id).first()
    if row is None:
        raise NoSuchRow("place")
    return values_of(row)


def people_listed() -> tuple[Listed, ...]:
    """The people, those who have left last."""
    rows = Person.objects.order_by("-is_active", "display_name")
    return tuple(
        Listed(row.pk, row.display_name, f"{row.role} · signs in as {row.login}", off=not row.is_active)
        for row in rows
    )


def mail_values(person_id: int) -> dict[str, Any]:
    """What somebody asked to be mailed; nothing where they never did."""
    fields = ("address", "duties", "search", "backups")
    return dict(MailWish.objects.filter(person_id=person_id).values(*fields).first() or {})


def person_values(person_id: int) -> dict[str, Any]:
    """One person, without password and PIN.

    Raises:
        NoSuchRow: there is none of this id.
    """
    row = Person.objects.filter(pk=person_id).first()
    if row is None:
        raise NoSuchRow("person")
    return {name: value for name, value in values_of(row).items() if name not in SECRETS["Person"]}


def is_set_up() -> dict[str, bool]:
    """What a park needs before a roll can be called, and whether it is there."""
    return {
        "park": Park.objects.filter(pk=1).exclude(name="").exists(),
        "colours": Colour.objects.exists(),
        "species": Species.objects.exists(),
        "exhibits": Exhibit.objects.exists(),
        "people": Person.objects.filter(is_active=True).count() > 1,
        "birds": Bird.objects.exists(),
    }
