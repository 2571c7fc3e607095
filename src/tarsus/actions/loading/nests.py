"""Nests with what was found in them, deaths, bands found on the floor."""

from __future__ import annotations

from tarsus.actions.loading.keys import Keys
from tarsus.actions.loading.prepared import PreparedNest, PreparedPark
from tarsus.records.models import BandFound, Bird, Death, Nest, NestEvent, Pair, PostMortem


def load_nests_and_deaths(park: PreparedPark, keys: Keys) -> None:
    """Write down nests, deaths and found bands."""
    for nest in park.nests:
        _load_nest(nest, keys)
    _load_deaths(park, keys)
    for found in park.found_bands:
        BandFound.objects.create(
            exhibit_id=keys.exhibits[found.exhibit],
            place_id=keys.places.get((found.exhibit, found.place)),
            kind=found.kind,
            colour_id=keys.colours[found.colour] if found.colour else None,
            note=found.note,
            **keys.told(found.at, found.by),
        )


def _load_nest(nest: PreparedNest, keys: Keys) -> None:
    first, second = sorted((keys.birds[nest.female], keys.birds[nest.male]))
    row = Nest.objects.create(
        exhibit_id=keys.exhibits[nest.exhibit],
        place_id=keys.places[nest.exhibit, nest.place],
        species=Bird.objects.get(pk=first).species,
        name=nest.name,
        pair=Pair.objects.get(first_id=first, second_id=second),
        from_on=nest.since,
        to_on=nest.ended_on,
        recorded_by_id=keys.by,
        recorded_at=keys.at_noon(nest.since),
        ended_by_id=None if nest.ended_on is None else keys.by,
        ended_at=None if nest.ended_on is None else keys.at_noon(nest.ended_on),
    )
    for day, what, number in nest.events:
        told = keys.told(keys.at_noon(day))
        NestEvent.objects.create(nest=row, kind=what, amount=number, **told)


def _load_deaths(park: PreparedPark, keys: Keys) -> None:
    homes = {bird.name: bird.stays[-1].exhibit for bird in park.birds}
    kinds = {bird.name: bird.species for bird in park.birds}
    names = {person.username: person.name for person in park.people}
    vet = next(p.username for p in park.people if p.role == "vet")
    for one in park.deaths:
        death = Death.objects.create(
            bird_id=keys.birds[one.bird],
            species_id=keys.species[kinds[one.bird]],
            exhibit_id=keys.exhibits[homes[one.bird]],
            found_by=names[one.by],
            carcase_label=one.label,
            post_mortem_asked=True,
            circumstances=one.circumstances,
            **keys.told(one.at, one.by),
        )
        if one.answered_at is not None:
            told = keys.told(one.answered_at, vet)
            PostMortem.objects.create(death=death, answer=one.answer, by_whom=names[vet], **told)
