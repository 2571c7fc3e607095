"""Nests with what was found in them, deaths, bands found on the floor."""

from __future__ import annotations

from collections.abc import Iterator
from uuid import UUID, uuid4

from tarsus.actions.bulk.frozen import FrozenRows, frozen
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.prepared import PreparedDeath, PreparedNest, PreparedPark


def nest_and_death_rows(park: PreparedPark, keys: Keys) -> Iterator[FrozenRows]:
    """Nests, deaths and found bands."""
    kinds = {bird.name: bird.species for bird in park.birds}
    told = list(enumerate(park.nests, start=1))
    yield frozen("nest", [_nest(nest, number, kinds[nest.female], keys) for number, nest in told])
    yield frozen(
        "nest_event",
        [
            {"nest_id": key, "kind": what, "amount": number, **keys.told(keys.at_noon(day))}
            for key, nest in told
            for day, what, number in nest.events
        ],
    )
    yield from _deaths(park, kinds, keys)
    yield frozen(
        "band_found",
        [
            {
                "exhibit_id": keys.exhibits[found.exhibit],
                "place_id": keys.places.get((found.exhibit, found.place)),
                "kind": found.kind,
                "colour_id": keys.colours[found.colour] if found.colour else None,
                "note": found.note,
                **keys.told(found.at, found.by),
            }
            for found in park.found_bands
        ],
    )


def _nest(nest: PreparedNest, number: int, species: str, keys: Keys) -> dict[str, object]:
    first, second = sorted((keys.birds[nest.female], keys.birds[nest.male]))
    return {
        "id": number,
        "exhibit_id": keys.exhibits[nest.exhibit],
        "place_id": keys.places[nest.exhibit, nest.place],
        "species_id": keys.species[species],
        "name": nest.name,
        "pair_id": keys.pairs[first, second],
        **keys.spell(nest.since, nest.ended_on),
    }


def _deaths(park: PreparedPark, kinds: dict[str, str], keys: Keys) -> Iterator[FrozenRows]:
    homes = {bird.name: bird.stays[-1].exhibit for bird in park.birds}
    names = {person.username: person.name for person in park.people}
    found = [(one, uuid4()) for one in park.deaths]

    def death(one: PreparedDeath, fact: UUID) -> dict[str, object]:
        return {
            "id": fact,
            "bird_id": keys.birds[one.bird],
            "species_id": keys.species[kinds[one.bird]],
            "exhibit_id": keys.exhibits[homes[one.bird]],
            "found_by": names[one.by],
            "carcase_label": one.label,
            "post_mortem_asked": True,
            "circumstances": one.circumstances,
            **keys.told(one.at, one.by),
        }

    yield frozen("death", [death(one, fact) for one, fact in found])
    vet = next((person.username for person in park.people if person.role == "vet"), "")
    yield frozen(
        "post_mortem",
        [
            {
                "death_id": fact,
                "answer": one.answer,
                "by_whom": names[vet],
                **keys.told(one.answered_at, vet),
            }
            for one, fact in found
            if one.answered_at is not None
        ],
    )
