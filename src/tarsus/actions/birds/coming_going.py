"""Arrivals, departures, and birds that died."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from tarsus.actions.birds.alive import refuse_dead, refuse_lost
from tarsus.actions.birds.quarantine import refuse_arrival_past_quarantine, refuse_unreleased
from tarsus.actions.birds.stays import begin_stay, end_by_death, end_stay, park_day, stay_now
from tarsus.actions.known import known, known_bird, known_exhibit
from tarsus.actions.refusals import AlreadySo
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.queries.quarantine import kept_not_fitted
from tarsus.records.models import (
    Arrival,
    CarcaseNamed,
    Death,
    Departure,
    Ownership,
    PostMortem,
    QuarantineRelease,
    Species,
)
from tarsus.records.standing import standing


@transaction.atomic
def arrive(
    *,
    told: Told,
    bird_id: int,
    came_from: str,
    exhibit_id: int,
    on_loan: bool = False,
    papers: str = "",
) -> bool:
    """Write down that a bird came from elsewhere and lives in an exhibit from that day on.

    Its bands are written down as they are, with `fit_band(... came_with_it=True)`.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird or exhibit.
        WrongValue: not said from where.
        AlreadySo: it lives here already, or is dead by the record.
        NotThere: it is presumed dead; then it was found again and did not arrive.
        HeldInQuarantine: it was written into quarantine before, and nobody released it.
    """
    bird = known_bird(bird_id)
    exhibit = known_exhibit(exhibit_id)
    if not came_from.strip():
        raise WrongValue("came_from", "is empty; say from where it came")
    columns = {
        "bird_id": bird_id,
        "came_from": came_from.strip(),
        "exhibit_id": exhibit_id,
        "on_loan": on_loan,
        "papers": papers,
    }
    if not write_once(Arrival, told, columns):
        return False
    refuse_dead(bird)
    refuse_lost(bird, park_day(told.happened_at))
    refuse_arrival_past_quarantine(bird, exhibit)
    reason = f"from {came_from.strip()}"
    begin_stay(bird, exhibit_id, park_day(told.happened_at), told.by, reason=reason, through=told.id)
    return True


@transaction.atomic
def release_from_quarantine(*, told: Told, bird_id: int, note: str = "", without_marks: bool = False) -> bool:
    """Write down that the vet released a newcomer.

    Args:
        told: who released it and when.
        bird_id: which bird.
        note: anything else.
        without_marks: marks were kept for it, and it goes without them.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird.
        WrongValue: marks that were kept are not on it, and nobody said that it goes without them.
    """
    known_bird(bird_id)
    if not write_once(QuarantineRelease, told, {"bird_id": bird_id, "note": note}):
        return False
    if not without_marks and (kept := kept_not_fitted(bird_id)):
        raise WrongValue("without_marks", f"{kept}; or tick that it goes without them")
    return True


@transaction.atomic
def depart(*, told: Told, bird_id: int, went_to: str, stays_ours: bool = False, papers: str = "") -> bool:
    """Write down that a bird left for elsewhere. Its record, and every mark it wore, stays.

    Args:
        told: who sent it and when.
        bird_id: which bird.
        went_to: where to.
        stays_ours: it is lent and not given.
        papers: number of the papers that travel with it.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird.
        NotThere: it lives nowhere here, or is missing.
        HeldInQuarantine: the vet had not released it by then.
        WrongValue: not said where to.
    """
    bird = known_bird(bird_id)
    if not went_to.strip():
        raise WrongValue("went_to", "is empty; say where it went")
    columns = {"bird_id": bird_id, "went_to": went_to.strip(), "stays_ours": stays_ours, "papers": papers}
    if not write_once(Departure, told, columns):
        return False
    refuse_lost(bird, park_day(told.happened_at))
    refuse_unreleased([bird], None, told.happened_at, "bird")
    end_stay(stay_now(bird), park_day(told.happened_at), told.by, told.id)
    return True


@transaction.atomic
def change_owner(*, told: Told, bird_id: int, owner: str, holder: str) -> bool:
    """Write down whose a bird is and who holds it from now on; empty means this park.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird.
    """
    known_bird(bird_id)
    return write_once(Ownership, told, {"bird_id": bird_id, "owner": owner.strip(), "holder": holder.strip()})


@transaction.atomic
def record_death(
    *,
    told: Told,
    exhibit_id: int,
    found_by: str,
    bird_id: int | None = None,
    species_id: int | None = None,
    carcase_label: str = "",
    post_mortem_asked: bool = False,
    circumstances: str = "",
    euthanised: bool = False,
) -> bool:
    """Write down that a dead bird was found.

    A carcase without bands has no name: it lowers the count, and *which?* stays open until it is known.

    Args:
        told: who writes, and when it was found.
        exhibit_id: where.
        found_by: who found it.
        bird_id: which bird, `None` where nobody can tell.
        species_id: its species; needed where the bird is not known.
        carcase_label: what stands on the bag.
        post_mortem_asked: whether an examination was asked for.
        circumstances: what was seen.
        euthanised: put down by the vet.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such exhibit, bird or species.
        WrongValue: neither bird nor species, or nobody found it.
        AlreadySo: the bird is dead by the record, or the label is on another carcase.
        OutOfOrder: the bird was moved, or left, after that day.
        NotThere: the bird did not live here on that day.
    """
    known_exhibit(exhibit_id)
    if not found_by.strip():
        raise WrongValue("found_by", "is empty; say who found it")
    species = _species_of(bird_id, species_id)
    if bird_id is not None:
        refuse_dead(known_bird(bird_id), told.id)
    other = Death.objects.filter(carcase_label=carcase_label).exclude(carcase_label="").exclude(pk=told.id)
    if other.exists():
        raise AlreadySo("carcase_label", f"{carcase_label} is on another carcase; choose another label")
    columns = {
        "bird_id": bird_id,
        "species_id": species,
        "exhibit_id": exhibit_id,
        "found_by": found_by.strip(),
        "carcase_label": carcase_label,
        "post_mortem_asked": post_mortem_asked,
        "circumstances": circumstances,
        "euthanised": euthanised,
    }
    if not write_once(Death, told, columns):
        return False
    if bird_id is not None:
        end_by_death(known_bird(bird_id), park_day(told.happened_at), told.by, told.id)
    return True


@transaction.atomic
def name_carcase(*, told: Told, death_id: UUID, bird_id: int, because: str) -> bool:
    """Write down whose a carcase was, and how that became known. The bird died on the day it was found.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such carcase or bird.
        WrongValue: no reason, or a bird of another species.
        AlreadySo: the carcase has a name, or the bird is dead by another record.
        OutOfOrder: the bird was moved, or left, after the carcase was found: it cannot be its.
        NotThere: the bird did not live here on that day.
    """
    death, bird = known(Death, death_id, "death"), known_bird(bird_id)
    if not because.strip():
        raise WrongValue("because", "is empty; say how it became known")
    if bird.species_id != death.species_id:
        raise WrongValue("bird", f"{bird} is no {death.species}; choose another bird")
    named = standing(CarcaseNamed.objects.filter(death=death)).exclude(pk=told.id).first()
    if death.bird_id is not None or named is not None:
        raise AlreadySo(
            "death", f"this carcase is {named.bird if named else death.bird}'s; withdraw that first"
        )
    refuse_dead(bird, told.id)
    columns = {"death_id": death_id, "bird_id": bird_id, "because": because.strip()}
    if not write_once(CarcaseNamed, told, columns):
        return False
    end_by_death(bird, park_day(death.happened_at), told.by, told.id)
    return True


@transaction.atomic
def answer_post_mortem(*, told: Told, death_id: UUID, answer: str, by_whom: str = "") -> bool:
    """Write down what an examination found.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such death.
        WrongValue: nothing was found out; then say so in words.
    """
    known(Death, death_id, "death")
    if not answer.strip():
        raise WrongValue("answer", "is empty; write what was found, or that nothing was")
    return write_once(PostMortem, told, {"death_id": death_id, "answer": answer.strip(), "by_whom": by_whom})


def _species_of(bird_id: int | None, species_id: int | None) -> int:
    if bird_id is not None:
        return known_bird(bird_id).species_id
    if species_id is None:
        raise WrongValue("species", "is missing; name the bird, or at least its species")
    return known(Species, species_id, "species").pk
