"""The park's own rows: settings, people, exhibits, palette, species, stock."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from django.contrib.auth.hashers import make_password

from tarsus.actions.bulk.frozen import FrozenRows, frozen
from tarsus.core.marks.palette import METAL_LETTER
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.prepared import PreparedPark, PreparedSpecies


def people_rows(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    """The people; the first records officer stands for what nobody in particular told."""
    keys.people.update({person.username: number for number, person in enumerate(park.people, start=1)})
    keys.by = next(keys.people[person.username] for person in park.people if person.role == "records")
    yield frozen(
        "person",
        [
            {
                "id": keys.people[person.username],
                "login": person.username,
                "display_name": person.name,
                "role": person.role,
                "password": make_password(person.password),
                "pin": make_password(person.pin) if person.pin else "",
            }
            for person in park.people
        ],
    )


def settings_rows(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    """The park, its palette, its exhibits and their places."""
    yield frozen("park", [_park(park)])
    keys.colours.update({name: number for number, name in enumerate(park.palette, start=1)})
    yield frozen("colour", [_colour(park, name, keys) for name in park.palette])
    keys.exhibits.update({exhibit.name: number for number, exhibit in enumerate(park.exhibits, start=1)})
    yield frozen(
        "exhibit",
        [
            {"id": keys.exhibits[one.name], "name": one.name, "purpose": one.purpose, "order": order}
            for order, one in enumerate(park.exhibits)
        ],
    )
    yield frozen("place", list(_places(park, keys)))


def _park(park: PreparedPark) -> dict[str, object]:
    return {
        "id": 1,
        "name": park.name,
        "time_zone": park.time_zone,
        "female_side": park.metal_side["F"],
        "male_side": park.metal_side["M"],
        "metal_letter": METAL_LETTER,
        "invented": True,
        "shared_phones": True,
    }


def _colour(park: PreparedPark, name: str, keys: Keys) -> dict[str, object]:
    faded_hex, fades = park.fading.get(name, ("", None))
    return {
        "id": keys.colours[name],
        "name": name,
        "hex": park.palette[name],
        "letter": park.letters[name],
        "order": keys.colours[name] - 1,
        "held": name not in park.not_held,
        "faded_hex": faded_hex,
        "fades_in_years": fades,
    }


def _places(park: PreparedPark, keys: Keys) -> Iterator[dict[str, object]]:
    for exhibit in park.exhibits:
        for order, (name, kind) in enumerate(exhibit.places):
            number = keys.places[exhibit.name, name] = len(keys.places) + 1
            home = keys.exhibits[exhibit.name]
            yield {"id": number, "exhibit_id": home, "name": name, "kind": kind, "order": order}


def species_rows(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    """The species, how each is marked here, and the drawer of bands."""
    first_day = park.today - timedelta(days=6000)
    keys.species.update({kind.name: number for number, kind in enumerate(park.species, start=1)})
    yield frozen("species", [_settings(kind, keys) for kind in park.species])
    yield frozen(
        "species_excluded_colours",
        [
            {"species_id": keys.species[kind.name], "colour_id": keys.colours[colour]}
            for kind in park.species
            for colour in kind.excluded
        ],
    )
    yield frozen("rule", [_rule(park, kind, first_day, keys) for kind in park.species if kind.sites])
    yield frozen(
        "stock",
        [
            {
                "kind": stock.kind,
                "colour_id": keys.colours[stock.colour] if stock.colour else None,
                "size": stock.size,
                "amount": stock.number,
                "order_below": stock.order_below,
            }
            for stock in park.stock
        ],
    )
    yield frozen(
        "metal_series",
        [
            {
                "series": series.series,
                "prefix": series.prefix,
                "first": series.first,
                "last": series.last,
                "size": series.size,
                "received_on": first_day,
            }
            for series in park.metal_series
        ],
    )


def _settings(kind: PreparedSpecies, keys: Keys) -> dict[str, object]:
    female, male = kind.mass_g.get("F", (None, None)), kind.mass_g.get("M", (None, None))
    moult = kind.moult_months or (None, None)
    return {
        "id": keys.species[kind.name],
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


def _rule(park: PreparedPark, kind: PreparedSpecies, since: date, keys: Keys) -> dict[str, object]:
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
    return {
        "species_id": keys.species[kind.name],
        "from_on": since,
        "metal": metal,
        "colours": colours,
        "mates_match": kind.mates_match,
        "recorded_by_id": keys.by,
    }


def _other(site: str | None, left: str, right: str) -> str:
    return left if site == right else right
