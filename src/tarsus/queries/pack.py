"""The pack of one exhibit: what a phone needs to call its roll without a connection.

Its keys are those of docs/reference/pack-and-facts.md.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from tarsus.core.care.facts import UnderTreatment
from tarsus.core.errors import NoAnswer
from tarsus.core.marks.marks import METAL
from tarsus.core.readings.lights import STATES
from tarsus.core.readings.misreading import Misreading
from tarsus.queries.cameras import camera_of
from tarsus.queries.care_rows import treatments_of
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.deaths import carcases_off_the_roll
from tarsus.queries.exhibit_plan import plan_in_pack
from tarsus.queries.flock import FlockBird, flock_of
from tarsus.queries.observers import observers_of
from tarsus.queries.once import asking_too, once
from tarsus.queries.one_park import one_park
from tarsus.queries.open_matters import instructions_for
from tarsus.queries.pack_presence import Whereabouts, whereabouts
from tarsus.queries.pack_round import told_of_rounds
from tarsus.queries.pack_whole import whole_stacks
from tarsus.queries.park import park_face
from tarsus.queries.people import people_who_record
from tarsus.queries.reports import open_reports, reports_as_told
from tarsus.records.models import Exhibit, Park, Person, Place

Json = dict[str, Any]

FORMAT: Final = 1
CONCERNS: Final = (
    "lame",
    "wing held low",
    "fluffed",
    "discharge",
    "wound",
    "band trouble",
    "not feeding",
    "other",
)
LEAST_PRIOR: Final = 1e-4


class NoSuchExhibit(NoAnswer):
    """No exhibit has this id."""

    def __init__(self, exhibit_id: int) -> None:
        self.exhibit_id = exhibit_id
        super().__init__(f"no exhibit {exhibit_id} is in this register; choose one on Today")


@dataclass(frozen=True)
class Pack:
    """A pack as JSON, with its version: a digest of everything but the moment."""

    version: str
    document: Mapping[str, Any]


@dataclass(frozen=True)
class PackSent:
    """A pack as it is sent: its version, and its JSON but for the moment."""

    version: str
    body: bytes

    def made_at(self, now: datetime) -> bytes:
        """The JSON as of now: what is kept holds until now, and a phone counts again what it heard later."""
        return self.body[:-1] + b', "made_at": ' + json.dumps(_said(now, park_zone())).encode() + b"}"


def without_moment(version: str, told: Mapping[str, Any]) -> PackSent:
    """Write a pack out, all but its moment."""
    return PackSent(version, json.dumps({key: of for key, of in told.items() if key != "made_at"}).encode())


@once
def pack_sent(exhibit_id: int, person_id: int, now: datetime, device: str = "") -> PackSent:
    """The pack of `pack_of`, written out: phones ask for it far more often than it changes."""
    found = pack_of(exhibit_id, person_id, now, device)
    return without_moment(found.version, found.document)


def pack_of(exhibit_id: int, person_id: int, now: datetime, device: str = "") -> Pack:
    """Prepare the pack of one exhibit for one person, in a number of queries that no flock makes grow.

    Args:
        exhibit_id: whose birds.
        person_id: who is signed in; their eyes decide how colours are confused.
        now: the moment of asking.
        device: the phone's own id, where it is one: what was learned of its camera goes with the pack.

    Raises:
        NoSuchExhibit: the register has none of this id.
    """
    with asking_too():
        return _pack(exhibit_id, person_id, now, device)


def _pack(exhibit_id: int, person_id: int, now: datetime, device: str) -> Pack:
    of_exhibit = _of_exhibit(exhibit_id, now)
    zone = park_zone()
    day = day_of(now, zone)
    face = park_face()
    park = one_park() or Park()
    person = Person.objects.values("id", "display_name", "role", "shares_practice").get(pk=person_id)
    eyes = observers_of(person_id, flock_of(exhibit_id, day), day)
    told: Json = {
        "format": FORMAT,
        "park": {
            "name": face.name,
            "zone": str(zone),
            "letters": face.letters,
            "palette": face.palette,
            "faded": face.faded,
            "pictures_days": park.pictures_days,
        },
        "people": people_who_record(person_id, shared=park.shared_phones),
        "reader": _reader(eyes.person),
        "lights": [
            {"light": state.light, "mud": state.mud, "reader": _reader(reader)}
            for state, reader in zip(STATES[1:], eyes.in_states[1:], strict=True)
        ],
        "untrained": _reader(eyes.untrained),
        "strangers": park.strangers,
        "concerns": list(CONCERNS),
        **of_exhibit,
    }
    if (camera := camera_of(device, day)) is not None:
        told["park"]["camera"] = camera.as_plain()
    told["person"] = {"id": person["id"], "name": person["display_name"], "role": person["role"]}
    told["person"]["shares_practice"] = person["shares_practice"]
    version = hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:16]
    return Pack(version, {**told, "version": version, "made_at": _said(now, zone)})


@once
def _of_exhibit(exhibit_id: int, now: datetime) -> Json:
    """What every phone is told of an exhibit alike, whoever holds it."""
    exhibit = Exhibit.objects.filter(pk=exhibit_id).first()
    if exhibit is None:
        raise NoSuchExhibit(exhibit_id)
    zone = park_zone()
    day = day_of(now, zone)
    birds = flock_of(exhibit_id, day)
    return {
        "exhibit": {"id": exhibit.pk, "name": exhibit.name, "places": _places(exhibit_id)},
        "plan": plan_in_pack(exhibit_id),
        "flocks": _flocks(
            birds,
            whereabouts(exhibit_id, birds, now, zone),
            carcases_off_the_roll(exhibit_id, day),
            whole_stacks(birds, day),
            instructions_for(bird.bird_id for bird in birds),
            treatments_of((bird.bird_id for bird in birds), zone),
            zone,
        ),
        "told": told_of_rounds(exhibit_id, now, zone),
        "reports": reports_as_told(open_reports(birds), exhibit_id, lambda at: _said(at, zone)),
    }


def _said(moment: datetime, zone: ZoneInfo) -> str:
    return moment.astimezone(zone).isoformat()


def _places(exhibit_id: int) -> list[Json]:
    rows = Place.objects.filter(exhibit_id=exhibit_id, closed_on__isnull=True).order_by("order", "id")
    return [{"id": pk, "name": name} for pk, name in rows.values_list("id", "name")]


def _reader(misreading: Misreading) -> Json:
    words = misreading.words
    rows = zip(words, misreading.confusion, strict=True)
    confusion = {
        worn: {read: chance for read, chance in zip(words, row, strict=True) if read != worn and chance > 0}
        for worn, row in rows
    }
    return {
        "swap": misreading.swap,
        "flip": misreading.flip,
        "overlook": misreading.overlook,
        "lost": misreading.lost,
        # Every colour has its row, an empty one too: the phone takes the rows for the palette.
        "confusion": {worn: row for worn, row in confusion.items() if row or worn != METAL},
    }


def _flocks(
    birds: Iterable[FlockBird],
    known: Mapping[int, Whereabouts],
    carcases: Mapping[str, int],
    whole: Mapping[str, Mapping[str, int]],
    cases: Mapping[int, Sequence[Mapping[str, object]]],
    treated: Mapping[int, Sequence[UnderTreatment]],
    zone: ZoneInfo,
) -> list[Json]:
    groups: dict[str, list[FlockBird]] = {}
    for bird in birds:
        groups.setdefault(bird.lookalike, []).append(bird)
    ordered = sorted(groups.items(), key=lambda item: (-len(item[1]), item[0]))
    return [
        {
            "lookalike": lookalike,
            "species": flock[0].species,
            "kinds": _kinds(flock),
            "form": flock[0].form,
            # A carcase without bands lowers the count, although nobody knows yet which bird it was.
            "counted": sum(bird.counted for bird in flock) - carcases.get(lookalike, 0),
            "carcases": carcases.get(lookalike, 0),
            "whole": dict(whole.get(lookalike, {})),
            "birds": [
                _bird(bird, known[bird.bird_id], zone) | _under_the_vet(bird.bird_id, cases, treated)
                for bird in flock
            ],
        }
        for lookalike, flock in ordered
    ]


def _under_the_vet(
    bird: int,
    cases: Mapping[int, Sequence[Mapping[str, object]]],
    treated: Mapping[int, Sequence[UnderTreatment]],
) -> Json:
    told = [{"treatment": one.treatment, "what": one.what} for one in treated.get(bird, ())]
    return {"cases": list(cases.get(bird, ())), "treatments": told}


def _kinds(flock: Sequence[FlockBird]) -> list[Json]:
    """The species of a flock: a carcase that nobody can name has one of them."""
    return [{"id": pk, "name": name} for pk, name in sorted({(one.species_id, one.species) for one in flock})]


def _bird(bird: FlockBird, known: Whereabouts, zone: ZoneInfo) -> Json:
    flags: dict[str, list[str]] = {}
    numbers: dict[str, list[str]] = {}
    for band in bird.bands:
        flags.setdefault(band.site, []).append(" ".join(band.flags))
        numbers.setdefault(band.site, []).append(band.engraving)
    last, presence = known.last, known.presence
    young = {} if bird.young is None else {"young": bird.young}
    return {
        **young,
        "id": bird.bird_id,
        "name": bird.name,
        "sex": bird.sex,
        "species": bird.species,
        "marks": bird.marks.as_mapping(),
        "flags": {site: told for site, told in flags.items() if any(told)},
        "engraving": bird.engraving,
        "numbers": {site: told for site, told in numbers.items() if any(told)},
        "natural_marks": [
            {
                "text": mark.text,
                "x": mark.x,
                "y": mark.y,
                "review_by": mark.review_on.isoformat() if mark.review_on else None,
            }
            for mark in bird.natural_marks
        ],
        # A bird that is almost surely gone may still be the one in view: nobody is weighed out for good.
        "prior": max(presence.still_here, LEAST_PRIOR),
        "places": {str(place): share for place, share in known.places.items()},
        **({"times": known.times} if known.times else {}),
        "counted": bird.counted,
        "last_seen": last and {"at": _said(last.at, zone), "place": last.place_id, "how": last.how},
        "unseen_days": presence.unseen_days,
        "max_unseen_days": bird.max_unseen_days,
        "advice": presence.advice,
        "still_here": presence.still_here,
        "usual": presence.usual,
        "if_missed": presence.if_missed,
        "looks_needed": presence.looks_needed,
        "excused": presence.excused,
        "whereabouts": bird.whereabouts,
    }


def exhibits_with_packs() -> tuple[tuple[int, str], ...]:
    """Every exhibit that has a pack, in the park's order: its id and name."""
    rows = Exhibit.objects.filter(closed_on__isnull=True).order_by("order", "id")
    return tuple(rows.values_list("id", "name"))
