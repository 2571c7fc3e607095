"""A catch-up as its paper takes it: the kit, and of each bird what is planned and what it weighed last."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from tarsus.core.marks.marks import METAL, Marks
from tarsus.paper.bands import ColourOnPaper
from tarsus.paper.catch_up_cards import CatchCard
from tarsus.queries.catch_up_day import CatchUpDay, DayBird, catch_up_day
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import birds_named
from tarsus.queries.park import colours_worn, park_face
from tarsus.records.models import Weighing
from tarsus.records.standing import standing


@dataclass(frozen=True)
class CatchUpOnPaper:
    """All that `paper.catch_up_cards` asks for but the times in words."""

    park: str
    told: CatchUpDay
    cards: tuple[CatchCard, ...]
    colours: dict[str, ColourOnPaper]
    metal_letter: str


def catch_up_on_paper(catch_up_id: int, now: datetime) -> CatchUpOnPaper:
    """One catch-up for its paper, in a number of queries that does not grow with its birds.

    Raises:
        NoSuchCatchUp: there is none of this number.
    """
    told, face = catch_up_day(catch_up_id, now), park_face()
    ids = [one.bird for one in told.birds]
    engravings = {bird.bird_id: bird.engraving for bird in birds_named(ids, day_of(now, park_zone()))}
    weights = _last_weights(ids)
    cards = tuple(_card(one, engravings.get(one.bird, ""), weights.get(one.bird, "")) for one in told.birds)
    colours = colours_worn(face, (card.marks for card in cards if card.marks))
    return CatchUpOnPaper(face.on_paper, told, cards, colours, face.letters[METAL])


def _card(one: DayBird, engraving: str, weight: str) -> CatchCard:
    seen = one.portrait
    return CatchCard(
        name=one.name,
        species=seen.species if seen else "",
        sex=seen.sex if seen else "U",
        engraving=engraving,
        marks=Marks.of(seen.marks) if seen else None,
        planned=one.why,
        last_weight=weight,
    )


def _last_weights(bird_ids: list[int]) -> dict[int, str]:
    """What birds weighed last and on which day, in words."""
    zone = park_zone()
    rows = standing(Weighing.objects.filter(bird_id__in=bird_ids)).order_by("happened_at", "pk")
    return {row.bird_id: f"{row.weight_g:g} g, {day_of(row.happened_at, zone):%-d %b %Y}" for row in rows}
