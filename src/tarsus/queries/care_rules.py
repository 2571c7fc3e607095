"""What the park and its vet have set: the rules that duties are derived by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from tarsus.core.care.band_life import BandRecord, WornBand, record_of
from tarsus.core.care.facts import ParkRules, SpeciesRules
from tarsus.core.care.weights import WeightLimits
from tarsus.core.presence.loss import DAYS_A_YEAR
from tarsus.queries.once import once
from tarsus.queries.one_park import one_park
from tarsus.records.models import Band, BandCheck, CatchUp, Rule, Species
from tarsus.records.standing import standing

UNPLANNED: Final = timedelta(days=182)
"""How far ahead the next catch-up is taken to be while none is planned."""

FAILED: Final = frozenset({"faded", "unreadable", "missing"})
GAVE_OUT: Final = frozenset({"lost", "replaced"})


@dataclass(frozen=True, slots=True)
class Rules:
    """The park's choices, and each species' by its id."""

    park: ParkRules
    species: Mapping[int, SpeciesRules]


@once
def care_rules(today: date) -> Rules:
    """The rules of care on a day, in a constant number of queries."""
    metal = _metal_sites(today)
    species = {row.pk: _species_rules(row, metal.get(row.pk, {})) for row in Species.objects.order_by("pk")}
    row = one_park()
    planned = CatchUp.objects.filter(planned_for__gte=today, dropped_at__isnull=True, done_at__isnull=True)
    next_planned = planned.order_by("planned_for").values_list("planned_for", flat=True).first()
    park = ParkRules(
        remark_at_once=row.remark_at_once if row else False,
        wanted_misnaming=row.wanted_misnaming if row else 0.01,
        next_catch_up=next_planned or today + UNPLANNED,
        band_record=band_record(today),
    )
    return Rules(park, species)


def _metal_sites(today: date) -> dict[int, dict[str, str]]:
    """Where the metal goes by sex, by the rule of each species that is in force."""
    in_force: dict[int, dict[str, str]] = {}
    for species, metal in (
        Rule.objects.filter(from_on__lte=today).order_by("from_on").values_list("species_id", "metal")
    ):
        in_force[species] = {sex: site for sex, site in metal.items() if site}
    return in_force


def _species_rules(row: Species, metal: Mapping[str, str]) -> SpeciesRules:
    prompt, alarm = row.weight_prompt_percent, row.weight_alarm_percent
    return SpeciesRules(
        name=row.name,
        form=row.form,
        metal=tuple(sorted(metal.items())),
        limits=(
            ("F", WeightLimits(prompt, alarm, row.female_low_g, row.female_high_g)),
            ("M", WeightLimits(prompt, alarm, row.male_low_g, row.male_high_g)),
            ("U", WeightLimits(prompt, alarm)),
        ),
        weigh_every_days=row.weigh_every_days,
        health_check_every_days=row.health_check_every_days,
        leg_grown_at_days=row.leg_grown_at_days,
        chick_check_every_days=row.chick_check_every_days,
        moult_from_month=row.moult_from_month,
        moult_to_month=row.moult_to_month,
        bands_off_in_moult=row.bands_off_in_moult,
    )


@once
def band_record(today: date) -> BandRecord:
    """How long every colour band of the park was worn and whether it gave out, in two queries.

    A band gave out when it was lost or replaced, or when its last check found it faded, unreadable or
    missing; the others count as fine so far.
    """
    rows = Band.objects.filter(
        taken_back_at__isnull=True, colour__isnull=False, temporary=False, from_on__lte=today
    )
    last: dict[int, tuple[datetime, set[str]]] = {}
    checks = standing(BandCheck.objects.filter(band__colour__isnull=False)).order_by("happened_at")
    for band, at, condition in checks.values_list("band_id", "happened_at", "condition"):
        last[band] = (
            at,
            last[band][1] | {condition} if band in last and last[band][0] == at else {condition},
        )
    told = []
    columns = ("pk", "kind", "colour__name", "from_on", "to_on", "why_off")
    for band, kind, colour, from_on, to_on, why_off in rows.values_list(*columns):
        checked_at, found = last.get(band, (None, set()))
        until = min(today, to_on) if to_on else today
        failed = why_off in GAVE_OUT or bool(FAILED & found)
        if failed and checked_at is not None and to_on is None:
            until = min(until, checked_at.date())
        years = max((until - from_on).days, 0) / DAYS_A_YEAR
        told.append(WornBand(kind, colour, years, failed))
    return record_of(told)
