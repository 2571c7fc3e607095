"""The park's own rows: settings, people, exhibits, palette, species, stock."""

from __future__ import annotations

from datetime import date, timedelta

from tarsus.actions.loading.keys import Keys
from tarsus.actions.loading.prepared import PreparedPark, PreparedSpecies
from tarsus.core.marks.palette import METAL_LETTER
from tarsus.records.models import (
    Colour,
    Exhibit,
    MetalSeries,
    Park,
    Person,
    Place,
    Rule,
    Species,
    Stock,
)


def load_people(park: PreparedPark, keys: Keys) -> None:
    """Write down the people; the first records officer stands for what nobody in particular told."""
    for person in park.people:
        row = Person.objects.create_user(
            person.username, person.password, display_name=person.name, role=person.role
        )
        keys.people[person.username] = row.pk
    keys.by = next(keys.people[p.username] for p in park.people if p.role == "records")


def load_settings(park: PreparedPark, keys: Keys) -> None:
    """Write down the park, its palette, its exhibits and their places."""
    Park.objects.update_or_create(
        id=1,
        defaults={
            "name": park.name,
            "time_zone": park.time_zone,
            "female_side": park.metal_side["F"],
            "male_side": park.metal_side["M"],
            "metal_letter": METAL_LETTER,
        },
    )
    for order, (name, hex_) in enumerate(park.palette.items()):
        letter = park.letters[name]
        faded_hex, fades = park.fading.get(name, ("", None))
        colour = Colour.objects.create(
            name=name,
            hex=hex_,
            letter=letter,
            order=order,
            held=name not in park.not_held,
            faded_hex=faded_hex,
            fades_in_years=fades,
        )
        keys.colours[name] = colour.pk
    for order, exhibit in enumerate(park.exhibits):
        home = Exhibit.objects.create(name=exhibit.name, purpose=exhibit.purpose, order=order)
        keys.exhibits[exhibit.name] = home.pk
        for nth, (name, kind) in enumerate(exhibit.places):
            place = Place.objects.create(exhibit=home, name=name, kind=kind, order=nth)
            keys.places[exhibit.name, name] = place.pk


def load_species(park: PreparedPark, keys: Keys) -> None:
    """Write down the species, how each is marked here, and the drawer of bands."""
    first_day = park.today - timedelta(days=6000)
    for kind in park.species:
        row = Species.objects.create(**_settings(kind))
        row.excluded_colours.set([keys.colours[colour] for colour in kind.excluded])
        keys.species[kind.name] = row.pk
        _load_rule(park, kind, row, first_day, keys)
    for stock in park.stock:
        Stock.objects.create(
            kind=stock.kind,
            colour_id=keys.colours[stock.colour] if stock.colour else None,
            size=stock.size,
            amount=stock.number,
            order_below=stock.order_below,
        )
    for series in park.metal_series:
        MetalSeries.objects.create(
            series=series.series,
            prefix=series.prefix,
            first=series.first,
            last=series.last,
            size=series.size,
            received_on=first_day,
        )


def _settings(kind: PreparedSpecies) -> dict[str, object]:
    female, male = kind.mass_g.get("F", (None, None)), kind.mass_g.get("M", (None, None))
    moult = kind.moult_months or (None, None)
    return {
        "name": kind.name,
        "scientific_name": kind.scientific,
        "lookalike": kind.lookalike,
        "form": kind.form,
        "sites": list(kind.sites),
        "chews": kind.chews,
        "leg_diameter_mm": kind.leg_mm,
        "band_size": kind.band_size,
        "female_low_g": female[0],
        "female_high_g": female[1],
        "male_low_g": male[0],
        "male_high_g": male[1],
        "mass_source": kind.mass_source,
        "max_unseen_days": kind.max_unseen_days,
        "counts_at_days": kind.counts_from_days,
        "leg_grown_at_days": kind.leg_grown_at_days,
        "chick_check_every_days": kind.chick_check_every_days,
        "bands_off_in_moult": kind.bands_off_in_moult,
        "moult_from_month": moult[0],
        "moult_to_month": moult[1],
    }


def _load_rule(park: PreparedPark, kind: PreparedSpecies, row: Species, since: date, keys: Keys) -> None:
    if not kind.sites:
        return
    left, right = kind.sites
    site_of = {"left": left, "right": right}
    if kind.mates_match:
        metal: dict[str, str | None] = {"F": None, "M": None, "U": None}
        colours = {"F": {right: 1}, "M": {left: 1}, "U": {right: 1}}
    else:
        metal = {sex: site_of.get(side) for sex, side in park.metal_side.items()}
        colours = {
            "F": {_other(metal["F"], left, right): 2},
            "M": {_other(metal["M"], left, right): 2},
            "U": {left: 1, right: 1},
        }
    Rule.objects.create(
        species=row,
        from_on=since,
        metal=metal,
        colours=colours,
        mates_match=kind.mates_match,
        recorded_by_id=keys.by,
    )


def _other(site: str | None, left: str, right: str) -> str:
    return left if site == right else right
