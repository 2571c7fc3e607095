"""The invented park put into a register, for `tarsus demo` and for the tests of pages."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from tarsus.actions.bulk.reader import read_whole_park
from tarsus.actions.learning import learn_readers
from tarsus.actions.learning_cameras import learn_cameras
from tarsus.actions.presence import keep_checkpoints
from tarsus.demo import garden
from tarsus.demo.chance import SEED
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.frozen.whole import park_rows
from tarsus.demo.prepared import PreparedPark
from tarsus.demo.wendlebrook import demo_park, small_park


@dataclass(frozen=True)
class LoadedPark:
    """Ids of what was loaded, by name; people by the name they sign in with."""

    today: date
    people: Mapping[str, int]
    exhibits: Mapping[str, int]
    birds: Mapping[str, int]


def load_demo(
    today: date | None = None,
    *,
    small: bool = False,
    seed: int = SEED,
    progress: Callable[[int], None] = lambda _: None,
    say: Callable[[str], None] = lambda _: None,
) -> LoadedPark:
    """Load the garden into the empty register, its history ending on the evening before `today`.

    `progress` hears of rounds that were read in, `say` what is being done.
    """
    day = today or datetime.now(ZoneInfo(garden.TIME_ZONE)).date()
    say("Inventing the birds, their bands and their keepers")
    return load_park(small_park(day, seed=seed) if small else demo_park(day, seed=seed), progress, say)


def read_prepared(park: PreparedPark, progress: Callable[[int], None] = lambda _: None) -> Keys:
    """Read a prepared park into the empty register and do nothing else; answer the ids of its names.

    Raises:
        RegisterNotEmpty: a park, people, birds or rounds are there already.
    """
    keys = Keys(ZoneInfo(park.time_zone))
    read_whole_park(content=park_rows(park, keys, progress))
    return keys


def load_park(
    park: PreparedPark,
    progress: Callable[[int], None] = lambda _: None,
    say: Callable[[str], None] = lambda _: None,
) -> LoadedPark:
    """Load a prepared park into the empty register, learn from its checks, and carry the watch to its
    yesterday."""
    say("Calling its rolls, day by day")
    keys = read_prepared(park, progress)
    say("Learning how its keepers read, and watching its birds up to yesterday")
    # Yesterday is over: the watch is carried to its end, and the first page need not walk a year of rounds.
    now = datetime.combine(park.today, time(0, 10), ZoneInfo(park.time_zone))
    learn_readers(now)
    learn_cameras(now)
    keep_checkpoints(now)
    return LoadedPark(park.today, keys.people, keys.exhibits, keys.birds)
