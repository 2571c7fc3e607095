"""The whole invented park as plain rows, in the order in which its names become ids."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from tarsus.actions.bulk.frozen import FrozenRows
from tarsus.demo.frozen.birds import bird_rows
from tarsus.demo.frozen.care import care_rows
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.frozen.nests import nest_and_death_rows
from tarsus.demo.frozen.park import people_rows, settings_rows, species_rows
from tarsus.demo.frozen.photographs import photograph_rows
from tarsus.demo.frozen.plans import plan_rows
from tarsus.demo.frozen.rounds import round_rows
from tarsus.demo.prepared import PreparedPark


def park_rows(
    park: PreparedPark, keys: Keys, progress: Callable[[int], None] = lambda _: None
) -> Iterator[FrozenRows]:
    """Every row of a park that was prepared as plain values.

    Args:
        park: everything about it; names are keys and must be unique.
        keys: filled with the ids that names turn into, while the rows are walked.
        progress: hears, each time, how many more rounds were told.
    """
    yield from people_rows(park, keys)
    yield from settings_rows(park, keys)
    yield from plan_rows(park, keys)
    yield from species_rows(park, keys)
    yield from bird_rows(park, keys)
    yield from care_rows(park, keys)
    yield from nest_and_death_rows(park, keys)
    yield from round_rows(park, keys, progress)
    yield from photograph_rows(park, keys)
