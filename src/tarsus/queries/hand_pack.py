"""What a phone needs to have a bird in hand without a connection: bands, weights, duties, shelves.

Its keys are those of docs/reference/pack-and-facts.md.
"""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Final

from tarsus.core.care.catch_limits import limits_in_words
from tarsus.core.care.cautions import (
    BILL,
    CATCH,
    CHICK_BAND,
    CLOSED_BAND,
    FIT_BAND,
    HYGIENE,
    SAMPLE,
    TIGHT_BAND,
    WEIGH,
    WING_BAND,
    caution,
)
from tarsus.core.care.duty import Duty
from tarsus.core.care.weight_told import yardstick
from tarsus.core.care.weights import Weight, WeightLimits
from tarsus.queries.care_rows import weights_of
from tarsus.queries.care_rules import care_rules
from tarsus.queries.catch_up_day import catch_up_day
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.duties import duties_of_park
from tarsus.queries.flock import FlockBird, birds_everywhere
from tarsus.queries.hand_fitting import shelves, to_fit
from tarsus.queries.kept_catch_ups import PlanNow, open_plans
from tarsus.queries.marks import WornBand
from tarsus.queries.once import asking_too, once
from tarsus.queries.one_park import one_park
from tarsus.queries.pack import PackSent, without_moment
from tarsus.queries.pack_whole import whole_stacks
from tarsus.queries.park import park_face
from tarsus.queries.people import people_who_record
from tarsus.records.models import Exhibit, Park, Person, Species
from tarsus.records.models.words import Condition, Purpose, WhyOff

Json = dict[str, Any]

FORMAT: Final = 3
SCALE: Final = "in hand"
WHY: Final = ("catch-up", "health check", "banding", "moving", "treatment with the vet", "other")
CAUTIONS_IN_HAND: Final = (
    FIT_BAND,
    CHICK_BAND,
    TIGHT_BAND,
    WING_BAND,
    CLOSED_BAND,
    CATCH,
    SAMPLE,
    BILL,
    WEIGH,
    HYGIENE,
)
NAILS: Final = ("good", "trimmed", "long, left")


@once
def hand_pack_sent(person_id: int, now: datetime) -> PackSent:
    """The pack of `hand_pack_of_park`, written out: phones ask for it far more often than it changes."""
    told = hand_pack_of_park(person_id, now)
    return without_moment(told["version"], told)


def hand_pack_of_park(person_id: int, now: datetime) -> Json:
    """Prepare all that *In hand* asks for, in a number of queries that does not grow with the birds.

    Its version is a digest of everything but the moment.

    Args:
        person_id: who is signed in.
        now: the moment of asking.
    """
    with asking_too():
        return _pack(person_id, now)


def _pack(person_id: int, now: datetime) -> Json:
    park = one_park() or Park()
    person = Person.objects.values("id", "display_name", "role").get(pk=person_id)
    told: Json = {
        **_of_park(now),
        "people": people_who_record(person_id, shared=park.shared_phones),
        "person": {"id": person["id"], "name": person["display_name"], "role": person["role"]},
    }
    version = hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:16]
    return {**told, "version": version, "made_at": now.astimezone(park_zone()).isoformat()}


@once
def _of_park(now: datetime) -> Json:
    """What every phone is told alike, whoever holds it."""
    zone = park_zone()
    day = day_of(now, zone)
    birds = birds_everywhere(day)
    ids = [bird.bird_id for bird in birds]
    face = park_face()
    due: dict[int | None, list[Duty]] = defaultdict(list)
    for duty in duties_of_park(now, birds):
        due[duty.bird].append(duty)
    return {
        "format": FORMAT,
        "park": {"name": face.name, "letters": face.letters, "palette": face.palette},
        "minutes": (one_park() or Park()).minutes_from_chase,
        "words": {
            "why": list(WHY),
            "conditions": list(Condition.values),
            "why_off": list(WhyOff.values),
            "nails": list(NAILS),
        },
        "cautions": {key: caution(key) for key in CAUTIONS_IN_HAND},
        "shelves": shelves(),
        "whole": whole_stacks(birds, day),
        "catch_ups": [_catch_up(now_of, now) for now_of in open_plans()],
        "birds": _birds(birds, weights_of(ids, now, zone), due, to_fit(birds, due, day), now),
    }


def _catch_up(told: PlanNow, now: datetime) -> Json:
    """A catch-up with its limits, its kit, and what was told of its birds, to be read without signal."""
    plan, page = told.plan, catch_up_day(told.plan.catch_up_id, now)
    return {
        "id": plan.catch_up_id,
        "on": plan.planned_for.isoformat(),
        "exhibit": plan.exhibit,
        "birds": [bird for bird, _, _ in plan.birds],
        "forbidden": list(page.forbidden),
        "limits": limits_in_words(page.limits),
        "kit": [
            *(
                {"what": one.words, "beside": one.on_the_shelf, "short": one.short, "birds": list(one.birds)}
                for one in page.kit.bands
            ),
            *(
                {"what": one.what, "beside": "", "short": False, "birds": list(one.birds)}
                for one in page.kit.tools
            ),
        ],
        "told": {str(one.bird): one.words for one in told.outcomes if not one.untold},
    }


def _birds(
    birds: Sequence[FlockBird],
    weights: Mapping[int, tuple[Weight, ...]],
    due: Mapping[int | None, Sequence[Duty]],
    planned: Mapping[int, Json],
    now: datetime,
) -> list[Json]:
    exhibits = {pk: (name, what) for pk, name, what in Exhibit.objects.values_list("id", "name", "purpose")}
    chews = dict(Species.objects.values_list("id", "chews"))
    at_the_park = now.astimezone(park_zone())
    rules = care_rules(at_the_park.date()).species
    told = []
    for bird in birds:
        limits = rules[bird.species_id].weight_limits(bird.sex)
        own = weights.get(bird.bird_id, ())
        told.append(
            {
                "id": bird.bird_id,
                "name": bird.name,
                "species": bird.species,
                "lookalike": bird.lookalike,
                "form": bird.form,
                "sex": bird.sex,
                "exhibit": exhibits[bird.exhibit_id][0],
                "quarantine": exhibits[bird.exhibit_id][1] == Purpose.QUARANTINE,
                "engraving": bird.engraving,
                "transponder": bird.transponder,
                "chews": chews[bird.species_id],
                "marks": bird.marks.as_mapping(),
                "flags": _flags(bird),
                "bands": [_band(band) for band in bird.bands],
                "natural_marks": [
                    {"text": mark.text, "x": mark.x, "y": mark.y} for mark in bird.natural_marks
                ],
                "planned": planned.get(bird.bird_id),
                **_weighed_against(own, limits, at_the_park),
                "moulting": bool(own and own[-1].moulting),
                "last_g": [{"on": weight.at.date().isoformat(), "g": weight.grams} for weight in own[-3:]],
                "due": [
                    {"what": duty.what, "why": duty.why, "caution": duty.caution}
                    for duty in due.get(bird.bird_id, ())
                    if duty.in_hand
                ],
            }
        )
    return told


def _weighed_against(own: Sequence[Weight], limits: WeightLimits, at: datetime) -> Json:
    """What the phone judges a weight by, as `shared/weights.js` takes it."""
    held_against = yardstick(Weight(at, 0.0, SCALE), own, limits)
    return {
        "usual_g": held_against.usual_g,
        "before_g": held_against.before_g,
        "months": [[round(days, 1), grams] for days, grams in held_against.months],
        "side_before": held_against.side_before,
        "prompt_percent": limits.prompt_percent,
        "alarm_percent": limits.alarm_percent,
        "low_g": limits.low_g,
        "high_g": limits.high_g,
    }


def _flags(bird: FlockBird) -> dict[str, list[str]]:
    flags: dict[str, list[str]] = {}
    for band in bird.bands:
        flags.setdefault(band.site, []).append(" ".join(band.flags))
    return {site: told for site, told in flags.items() if any(told)}


def _band(band: WornBand) -> Json:
    return {
        "id": band.band_id,
        "site": band.site,
        "word": band.word,
        "kind": band.kind,
        "engraving": band.engraving,
        "size": band.size,
        "temporary": band.temporary,
        "certified": band.certified,
        "conditions": list(band.conditions),
    }
