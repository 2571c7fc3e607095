"""A bird's weights with its own usual weight and what the latest one says."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from tarsus.core.care.weight_told import WeightTold, weigh_up
from tarsus.core.care.weights import Weight
from tarsus.queries.care_rows import weights_of
from tarsus.queries.care_rules import care_rules
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import birds_named
from tarsus.queries.once import once
from tarsus.records.models import NotLookedFor
from tarsus.records.models.words import NotLookedForWhy


@dataclass(frozen=True, slots=True)
class WeightHistory:
    """Three years' weights, what the latest says, and the weights at which the vet wants to be asked.

    The three limits are `None` while the bird has too few weights for a usual one of its own.
    """

    weights: tuple[Weight, ...]
    told: WeightTold | None
    usual_g: float | None
    prompt_g: float | None
    alarm_g: float | None
    prompt_percent: float
    alarm_percent: float
    moults: tuple[tuple[date, date | None], ...]


@once
def weight_history(bird_id: int, now: datetime) -> WeightHistory | None:
    """The weights of one bird of the last three years; `None` for a bird that lives nowhere now."""
    zone = park_zone()
    today = day_of(now, zone)
    found = birds_named([bird_id], today)
    if not found:
        return None
    limits = care_rules(today).species[found[0].species_id].weight_limits(found[0].sex)
    weights = weights_of([bird_id], now, zone).get(bird_id, ())
    told = weigh_up(weights, limits)
    usual = told.reference.usual_g if told is not None and told.reference is not None else None
    return WeightHistory(
        weights=weights,
        told=told,
        usual_g=usual,
        prompt_g=None if usual is None else usual * (1.0 - limits.prompt_percent / 100.0),
        alarm_g=None if usual is None else usual * (1.0 - limits.alarm_percent / 100.0),
        prompt_percent=limits.prompt_percent,
        alarm_percent=limits.alarm_percent,
        moults=_moults(bird_id, today),
    )


def _moults(bird_id: int, today: date) -> tuple[tuple[date, date | None], ...]:
    """First and last day of each moult that somebody wrote down; the last is open while it goes on."""
    rows = NotLookedFor.objects.filter(
        bird_id=bird_id, why=NotLookedForWhy.MOULT, taken_back_at__isnull=True, from_on__lte=today
    ).order_by("from_on")
    spells = rows.values_list("from_on", "to_on")
    return tuple((first, None if over is None else over - timedelta(days=1)) for first, over in spells)
