"""What is due in the park, derived from the records each time it is asked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, Prefetch

from tarsus.core.care.due import duties_of
from tarsus.core.care.duties.park import (
    carcase_duties,
    chip_duties,
    loose_band_duties,
    stock_duties,
    stray_result_duties,
)
from tarsus.core.care.duty import Duty, in_order
from tarsus.core.care.facts import BirdFacts, CarcaseFound, LooseBand, StockHeld
from tarsus.core.marks.marks import METAL
from tarsus.core.marks.sizes import named_band
from tarsus.queries.care_facts import care_facts
from tarsus.queries.care_rules import care_rules
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import FlockBird, birds_everywhere, birds_named, flock_of
from tarsus.queries.kept_marks import bands_asked_for, spoken_for
from tarsus.queries.open_matters import owners_of
from tarsus.queries.presence import BirdPresence, presence_of_exhibit, presence_of_park
from tarsus.queries.samples import stray_results
from tarsus.queries.transponders import lying_chips, unknown_chips
from tarsus.queries.whose import unanswered_finds
from tarsus.records.models import CarcaseNamed, Death, PostMortem, Stock
from tarsus.records.standing import standing


def duties_of_park(
    now: datetime,
    birds: Sequence[FlockBird] | None = None,
    presence: Mapping[int, BirdPresence] | None = None,
) -> tuple[Duty, ...]:
    """Everything that is due, the most urgent first, in a number of queries that does not grow with birds.

    Two birds that are too alike are named once, not from both sides.

    Args:
        now: the moment of asking.
        birds: all birds of today, where they were asked for already.
        presence: who is still here, where that was asked for already.
    """
    zone = park_zone()
    today = day_of(now, zone)
    birds = birds_everywhere(today) if birds is None else birds
    rules = care_rules(today)
    presence = presence_of_park(now) if presence is None else presence
    told = care_facts(birds, presence, now)
    of_birds = [
        duty
        for bird, facts in zip(birds, told.birds, strict=True)
        for duty in duties_of(_once(facts), rules.species[bird.species_id], rules.park, today)
    ]
    of_the_park = [
        *stock_duties(_stock(today)),
        *carcase_duties(_carcases(zone)),
        *loose_band_duties(_loose_bands(birds, presence, zone)),
        *stray_result_duties(stray_results(zone)),
        *chip_duties(lying_chips(birds, now), unknown_chips(now)),
    ]
    return tuple(in_order([*of_birds, *of_the_park]))


def duties_of_bird(bird_id: int, now: datetime) -> tuple[Duty, ...]:
    """What is due for one bird, the most urgent first; nothing for one that lives nowhere now."""
    today = day_of(now, park_zone())
    found = birds_named([bird_id], today)
    if not found:
        return ()
    exhibit = found[0].exhibit_id
    flock = [bird for bird in flock_of(exhibit, today) if bird.lookalike == found[0].lookalike]
    rules = care_rules(today)
    told = care_facts(flock, presence_of_exhibit(exhibit, now), now)
    facts = next(facts for facts in told.birds if facts.bird == bird_id)
    return tuple(duties_of(facts, rules.species[found[0].species_id], rules.park, today))


def duties_of_exhibit(exhibit_id: int, now: datetime) -> dict[int, tuple[Duty, ...]]:
    """What is due for each bird of an exhibit, from both sides where two are too alike."""
    today = day_of(now, park_zone())
    birds = flock_of(exhibit_id, today)
    rules = care_rules(today)
    told = care_facts(birds, presence_of_exhibit(exhibit_id, now), now)
    return {
        bird.bird_id: tuple(duties_of(facts, rules.species[bird.species_id], rules.park, today))
        for bird, facts in zip(birds, told.birds, strict=True)
    }


def _once(facts: BirdFacts) -> BirdFacts:
    return replace(facts, alike=tuple(other for other in facts.alike if facts.bird < other.bird))


def _stock(today: date) -> Iterable[StockHeld]:
    asked = bands_asked_for(today)
    for row in Stock.objects.select_related("colour").order_by("pk"):
        word = row.colour.name if row.colour else METAL
        spoken = spoken_for(row, word, asked)
        yield StockHeld(row.pk, named_band(row.kind, word), row.size, row.amount, row.order_below, spoken)


def _carcases(zone: ZoneInfo) -> Iterable[CarcaseFound]:
    answers = standing(PostMortem.objects.filter(death=OuterRef("pk")))
    rows = (
        standing(Death.objects.annotate(answered=Exists(answers)))
        .select_related("bird", "species")
        .prefetch_related(Prefetch("named", standing(CarcaseNamed.objects.select_related("bird"))))
        .order_by("happened_at", "pk")
    )
    for row in rows:
        named = [str(told.bird) for told in row.named.all()]
        answered: bool = row.answered
        yield CarcaseFound(
            death=str(row.pk),
            exhibit=row.exhibit_id,
            species=row.species.name.lower(),
            found_on=day_of(row.happened_at, zone),
            named=str(row.bird) if row.bird else (named[-1] if named else ""),
            post_mortem_asked=row.post_mortem_asked,
            post_mortem_answered=answered,
        )


def _loose_bands(
    birds: Iterable[FlockBird], presence: Mapping[int, BirdPresence], zone: ZoneInfo
) -> Iterable[LooseBand]:
    living = list(birds)
    rows = unanswered_finds().select_related("colour").order_by("happened_at")
    for row in rows:
        word = row.colour.name if row.colour else METAL
        wearers = len(owners_of(row, living, presence))
        words = f"{word}, {row.engraving}" if row.engraving else word
        yield LooseBand(str(row.pk), row.exhibit_id, words, day_of(row.happened_at, zone), wearers)
