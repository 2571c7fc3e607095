"""Writing sightings and concerns down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from tarsus.actions.asked_once import as_a_whole
from tarsus.actions.care.joining import join_open_case
from tarsus.actions.known import known_bird, known_exhibit, known_place, known_round
from tarsus.actions.refusals import Unknown, UnknownFact
from tarsus.actions.roll_call.confirming import confirm_in_view
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.marks import Reading
from tarsus.records.models import Bird, Case, Concern, ConcernBird, Sighting
from tarsus.records.models.words import How


@dataclass(frozen=True, slots=True)
class WhatTheModelSaid:
    """The candidates as the keeper saw them when accepting a name, and the chance of none of these."""

    candidates: tuple[tuple[int, float], ...] = ()
    none_of_these: float | None = None

    def chance_of(self, bird_id: int | None, how: str) -> float:
        """The weight with which a sighting counts for its bird; one known by sight counts in full."""
        if how == How.BY_SIGHT or bird_id is None:
            return 1.0
        return dict(self.candidates).get(bird_id, 1.0)


@as_a_whole
def record_sighting(
    *,
    told: Told,
    exhibit_id: int,
    how: str | None,
    bird_id: int | None = None,
    reading: Reading | None = None,
    said: WhatTheModelSaid | None = None,
    lookalike: str = "",
    round_id: UUID | None = None,
    group: UUID | None = None,
    position: int | None = None,
    place_id: int | None = None,
    photographed: bool = False,
) -> bool:
    """Write one sighting down. Hearing the same sighting twice changes nothing.

    A phone that lost its signal sends again; and a sighting may arrive after its round was closed: it is
    welcome, the closed round keeps its version, and the difference stands beside it with its date.

    Args:
        told: who saw it, when, and the id that the phone chose.
        exhibit_id: where.
        how: ``by sight``, ``by reading`` or ``inferred``; `None` for a part reading that named nobody.
        bird_id: who it was, `None` for a part reading.
        reading: what was read, exactly as it was read.
        said: what the model said when the name was accepted.
        lookalike: the look-alike group, where only that is known.
        round_id: `None` for a casual sighting.
        group: birds in view together, and
        position: the place among them, from the left.
        place_id: the perch, pool or ledge.
        photographed: the bands were read in a photograph, by the model and not by somebody's eye.

    Returns:
        Whether it was written now.

    Raises:
        SightingRetold: the same id arrived before with other contents.
        UnknownRound: no round has this id, so its start was not heard or the phone is not of this park.
        Unknown: no such exhibit, bird or place.
        WrongValue: a named sighting without a bird, a part reading with one, or a reading that is missing.
    """
    said = said or WhatTheModelSaid()
    _agree(how, bird_id, reading, said)
    if photographed and reading is None:
        raise WrongValue("reading", "is missing; a photograph comes with what was read in it")
    known_exhibit(exhibit_id)
    known_place(place_id, exhibit_id)
    if bird_id is not None:
        lookalike = lookalike or known_bird(bird_id).species.lookalike
    if round_id is not None and known_round(round_id).exhibit_id != exhibit_id:
        raise WrongValue("exhibit", f"round {round_id} is of another exhibit; leave the round out")
    columns = {
        "round_id": round_id,
        "exhibit_id": exhibit_id,
        "bird_id": bird_id,
        "lookalike": lookalike,
        "how": how or How.PART_READING.value,
        "reading": None if reading is None else reading.as_mapping(),
        "candidates": [{"bird": bird, "chance": chance} for bird, chance in said.candidates],
        "none_of_these": said.none_of_these,
        "group": group,
        "position": position,
        "place_id": place_id,
        "photographed": photographed,
    }
    accepted_by = told.by if bird_id is not None else None
    derived = {"chance": said.chance_of(bird_id, how or ""), "accepted_by_id": accepted_by}
    written = write_once(Sighting, told, columns, derived=derived)
    if written and group is not None and position is not None:
        confirm_in_view(told.id, round_id, group, position)
    return written


def _agree(how: str | None, bird_id: int | None, reading: Reading | None, said: WhatTheModelSaid) -> None:
    named = [word for word in How.values if word != How.PART_READING]
    if how is not None and how not in named:
        raise UnknownWord("how", how, "way of naming a bird", named)
    if how is None and bird_id is not None:
        raise WrongValue("how", "is missing; say whether the bird was named by sight or by reading")
    if how is not None and bird_id is None:
        raise WrongValue("bird", f"is missing; a sighting named '{how}' names a bird")
    if how == How.BY_READING and reading is None:
        raise WrongValue("reading", "is missing; give what was read, or say that it was named by sight")
    if how == How.INFERRED and bird_id not in dict(said.candidates):
        raise WrongValue(
            "candidates", f"does not name bird {bird_id}; an inferred name comes with its chance"
        )


@transaction.atomic
def record_concern(
    *,
    told: Told,
    bird_ids: Sequence[int],
    seen: Sequence[str],
    sighting_id: UUID | None = None,
    side: str = "",
    note: str = "",
    tell_vet: bool = False,
) -> bool:
    """Write down that something about a bird was not as it should be, of one bird or of *one of these*.

    Where the vet is to be told, a case is opened: it stays open until it is closed. A second word of the same
    about the same bird joins the case that is open.

    Returns:
        Whether it was written now.

    Raises:
        UnknownFact: the sighting it belongs to was not heard yet.
        Unknown: a bird that the register has not.
        WrongValue: no bird, or nothing that was seen.
    """
    if not bird_ids:
        raise WrongValue("birds", "is empty; name the bird, or all that it may have been")
    if not seen and not note.strip():
        raise WrongValue("seen", "is empty; say what was seen, or write a note")
    strangers = set(bird_ids) - set(Bird.objects.filter(pk__in=bird_ids).values_list("pk", flat=True))
    if strangers:
        raise Unknown("birds", "bird", min(strangers))
    if sighting_id is not None and not Sighting.objects.filter(pk=sighting_id).exists():
        raise UnknownFact("sighting", sighting_id, "sighting")
    columns = {
        "sighting_id": sighting_id,
        "seen": list(seen),
        "side": side,
        "note": note.strip(),
        "tell_vet": tell_vet,
    }
    birds = sorted(set(bird_ids))
    if not write_once(Concern, told, columns, beside={"birds": birds}):
        return False
    ConcernBird.objects.bulk_create(ConcernBird(concern_id=told.id, bird_id=bird) for bird in birds)
    if tell_vet and not join_open_case(told, birds, seen, side, note.strip()):
        about = ", ".join(seen) or note.strip()
        case = Case.objects.create(
            about=about[:200], concern_id=told.id, opened_by_id=told.by, opened_at=told.happened_at
        )
        case.birds.set(birds)
    return True
