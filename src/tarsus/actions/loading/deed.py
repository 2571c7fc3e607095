"""The deed: load a prepared park into an empty register."""

from __future__ import annotations

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.db import transaction

from tarsus.actions.loading.birds import load_birds
from tarsus.actions.loading.care import load_care
from tarsus.actions.loading.keys import Keys
from tarsus.actions.loading.nests import load_nests_and_deaths
from tarsus.actions.loading.park import load_people, load_settings, load_species
from tarsus.actions.loading.prepared import PreparedPark
from tarsus.actions.loading.rounds import load_rounds
from tarsus.core.errors import MalformedInput
from tarsus.records.models import Bird, Park, Person, Round


class RegisterNotEmpty(MalformedInput):
    """The register already holds a park; a prepared one may only go into an empty register."""

    def __init__(self, name: str) -> None:
        super().__init__(
            "register", f"already holds '{name}'; choose another home folder for a park that is loaded whole"
        )


def register_is_empty() -> bool:
    """Whether nothing was recorded yet: no park, no people, no birds, no rounds."""
    return not any(table.objects.exists() for table in (Park, Person, Bird, Round))


@transaction.atomic
def load_prepared_park(*, park: PreparedPark, progress: Callable[[int], None] = lambda _: None) -> Keys:
    """Write a whole park that was prepared as plain values into an empty register.

    Args:
        park: everything about it; names are keys and must be unique.
        progress: hears, each time, how many more rounds were written.

    Returns:
        The ids that names turned into.

    Raises:
        RegisterNotEmpty: a park, people, birds or rounds are there already.

    Assumes:
        Facts are inserted and nothing else, so the guards of the tables stay in force all the while.
    """
    if not register_is_empty():
        known = Park.objects.values_list("name", flat=True).first()
        raise RegisterNotEmpty(known or "people or birds of a park")
    keys = Keys(ZoneInfo(park.time_zone))
    load_people(park, keys)
    load_settings(park, keys)
    load_species(park, keys)
    load_birds(park, keys)
    load_care(park, keys)
    load_nests_and_deaths(park, keys)
    load_rounds(park, keys, progress)
    return keys
