"""What the pack says of each bird's presence, in a number of queries that does not grow with the flock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from tarsus.queries.flock import FlockBird
from tarsus.queries.last_seen import LastSeen, last_seen, usual_places
from tarsus.queries.presence import BirdPresence, presence_of_exhibit


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """Where one bird stands before the next round: the watch's word, when and where it was seen.

    Shares of `places` sum to 1; a bird that was seen at no place has none.
    """

    presence: BirdPresence
    last: LastSeen | None
    places: dict[int, float]


def whereabouts(exhibit_id: int, birds: Sequence[FlockBird], now: datetime) -> dict[int, Whereabouts]:
    """Where each bird of an exhibit stands before the next round.

    Args:
        exhibit_id: where the roll is called.
        birds: who lives there now.
        now: the moment of asking.

    Returns:
        bird -> its whereabouts.
    """
    last = last_seen([bird.bird_id for bird in birds], now)
    places = usual_places(exhibit_id, now)
    known = presence_of_exhibit(exhibit_id, now)
    return {
        bird.bird_id: Whereabouts(known[bird.bird_id], last.get(bird.bird_id), places.get(bird.bird_id, {}))
        for bird in birds
    }
