"""What the pack says of each bird's presence, in a number of queries that does not grow with the flock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from tarsus.core.readings.times_of_day import time_factors
from tarsus.queries.flock import FlockBird
from tarsus.queries.last_seen import LastSeen, last_seen, usual_places, usual_times
from tarsus.queries.presence import BirdPresence, presence_of_exhibit


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """Where one bird stands before the next round: the watch's word, when and where it was seen.

    Shares of `places` sum to 1; a bird that was seen at no place has none. `times`: by how much it is
    likelier to be the one in a part of the day, where that is not 1.
    """

    presence: BirdPresence
    last: LastSeen | None
    places: dict[int, float]
    times: dict[str, float]


def whereabouts(
    exhibit_id: int, birds: Sequence[FlockBird], now: datetime, zone: ZoneInfo
) -> dict[int, Whereabouts]:
    """Where each bird of an exhibit stands before the next round.

    Args:
        exhibit_id: where the roll is called.
        birds: who lives there now.
        now: the moment of asking.
        zone: the park's.

    Returns:
        bird -> its whereabouts.
    """
    last = last_seen([bird.bird_id for bird in birds], now)
    places = usual_places(exhibit_id, now)
    known = presence_of_exhibit(exhibit_id, now)
    seen = usual_times(exhibit_id, now, zone)
    times = time_factors([seen.get(bird.bird_id, {}) for bird in birds])
    return {
        bird.bird_id: Whereabouts(
            known[bird.bird_id], last.get(bird.bird_id), places.get(bird.bird_id, {}), likelier
        )
        for bird, likelier in zip(birds, times, strict=True)
    }
