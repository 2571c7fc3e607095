"""The birds of one exhibit that look alike: who they are, and how their colours are seen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

import numpy as np

from tarsus.core.errors import NoAnswer
from tarsus.core.marks.marks import METAL
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.seriation import together
from tarsus.queries.clarity import FlockClarity, clarity_of
from tarsus.queries.colour_sight import ColourSight, colour_sights
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import FlockBird, flock_of
from tarsus.queries.once import once
from tarsus.queries.park import park_face
from tarsus.queries.portraits import Portrait, mfu, portrait_of
from tarsus.queries.room import Room, room_of
from tarsus.records.models import Exhibit


class NoSuchFlock(NoAnswer):
    """No birds of this look-alike group live in this exhibit."""

    def __init__(self, exhibit_id: int, lookalike: str) -> None:
        self.exhibit_id = exhibit_id
        self.lookalike = lookalike
        super().__init__(f"no {lookalike} lives in this exhibit now; go to Flocks and choose one")


@dataclass(frozen=True, slots=True)
class FlockPage:
    """One flock. `clarity` is empty where its birds wear no bands or it has a single bird.

    `together` orders the birds of `clarity` so that those mistaken for each other are neighbours.
    """

    exhibit_id: int
    exhibit: str
    lookalike: str
    species: tuple[str, ...]
    mfu: str
    birds: tuple[Portrait, ...]
    letters: dict[str, str]
    sights: tuple[ColourSight, ...]
    clarity: FlockClarity | None
    together: tuple[int, ...]
    room: Room | None


@once
def flock_page(exhibit_id: int, lookalike: str, now: datetime) -> FlockPage:
    """One flock as of a moment, in a constant number of queries.

    Raises:
        NoSuchFlock: none of its birds lives there today.
    """
    today = day_of(now, park_zone())
    birds = flock_birds(exhibit_id, lookalike, today)
    face = park_face()
    clarity = clarity_of(birds, today)
    worn = {band.word for bird in birds for band in bird.bands if band.word != METAL}
    return FlockPage(
        exhibit_id=exhibit_id,
        exhibit=Exhibit.objects.get(pk=exhibit_id).name,
        lookalike=lookalike,
        species=tuple(sorted({bird.species for bird in birds})),
        mfu=mfu(birds),
        birds=tuple(portrait_of(bird) for bird in birds),
        letters=face.letters,
        sights=colour_sights(Palette.of(face.palette), sorted(worn)) if len(worn) > 1 else (),
        clarity=clarity,
        together=tuple(together(np.array(clarity.confused))) if clarity else (),
        room=room_of(birds, today) if worn else None,
    )


def flock_birds(exhibit_id: int, lookalike: str, day: date) -> tuple[FlockBird, ...]:
    """The birds of one flock on a day.

    Raises:
        NoSuchFlock: there is none.
    """
    living = flock_of(exhibit_id, day)
    birds = tuple(bird for bird in living if bird.lookalike == lookalike)
    if not birds:
        raise NoSuchFlock(exhibit_id, lookalike)
    return birds
