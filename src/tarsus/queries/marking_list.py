"""The flocks of the park at the marking desk."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from tarsus.queries.days import day_of, park_zone
from tarsus.queries.exhibit_names import exhibit_names
from tarsus.queries.exhibit_page import FlockListed, flocks_among
from tarsus.queries.flock import birds_everywhere
from tarsus.queries.marking_birds import birds_to_mark, plans_of
from tarsus.queries.marking_rules import rule_of


@dataclass(frozen=True, slots=True)
class FlockToMark:
    """A flock, how many of its birds are to be marked, and for how many marks wait already."""

    flock: FlockListed
    to_mark: int
    kept: int
    rule: bool


def flocks_to_mark(now: datetime) -> tuple[FlockToMark, ...]:
    """The flocks that are told by bands, those with birds to mark first."""
    today = day_of(now, park_zone())
    birds = [bird for bird in birds_everywhere(today) if bird.form != "told"]
    names = exhibit_names()
    plans = plans_of(birds)
    rules = {species: rule_of(species, today) for species in {bird.species_id for bird in birds}}
    found = []
    for flock in flocks_among(tuple(birds), names):
        ids = {portrait.bird_id for portrait in flock.birds}
        members = [bird for bird in birds if bird.bird_id in ids]
        rule = rules[members[0].species_id]
        need = birds_to_mark(members, rule, today) if rule else ()
        waiting = sum(one.bird.bird_id not in plans for one in need)
        found.append(FlockToMark(flock, waiting, len(ids & plans.keys()), rule is not None))
    return tuple(sorted(found, key=lambda one: (-one.to_mark, one.flock.exhibit, one.flock.lookalike)))
