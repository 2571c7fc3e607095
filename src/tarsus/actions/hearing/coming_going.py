"""What writes the deeds by which a bird comes, moves, is missed, goes and dies."""

from __future__ import annotations

from typing import Any, Final

from tarsus.actions.bands.fitting import NewBand
from tarsus.actions.birds.coming_going import (
    answer_post_mortem,
    arrive,
    change_owner,
    depart,
    name_carcase,
    record_death,
    release_from_quarantine,
)
from tarsus.actions.birds.missing import begin_not_looked_for, end_not_looked_for, record_whereabouts
from tarsus.actions.birds.moves import move_birds
from tarsus.actions.birds.quarantine import past_quarantine, refuse_release_undone
from tarsus.actions.birds.register import CHANGEABLE, NewBird, add_bird, change_bird, write_bird_anew
from tarsus.actions.birds.shipments import Newcomer, receive_birds, undo_receiving
from tarsus.actions.birds.stays import park_day
from tarsus.actions.hearing.bound import Bound, Earlier, Values, Wrote, fact, spell
from tarsus.actions.hearing.taking_back import begun, ended, in_place_of
from tarsus.actions.known import known_bird
from tarsus.actions.telling import Told
from tarsus.core.deeds.coming_going import WHO_IT_IS
from tarsus.core.errors import WrongValue
from tarsus.queries.quarantine import kept_not_fitted
from tarsus.records.models import NotLookedFor
from tarsus.records.models.words import Origin, Whereabouts

_PARENTS: Final = ("dam", "sire", "foster_dam", "foster_sire")


def _who_it_is(values: Values) -> dict[str, Any]:
    said = [one.name for one in WHO_IT_IS if one.name in values]
    told = {(f"{name}_id" if name in _PARENTS else name): values[name] for name in said}
    return told | {name: told[name] or "unknown" for name in ("hatched_precision", "origin") if name in told}


def _add(told: Told, values: Values) -> Wrote:
    bird = NewBird(
        species_id=values["species"],
        owner=values["owner"],
        holder=values["holder"],
        **_who_it_is(values),
    )
    where = {"exhibit_id": values["exhibit"], "on": park_day(told.happened_at), "deed": told.id}
    before = in_place_of(told)
    if before is not None and _same_species(before, bird.species_id):
        made = int(before.wrote["bird"])
        write_bird_anew(bird_id=made, bird=bird, by=told.by, **where)
    else:
        made = add_bird(bird=bird, by=told.by, **where)
    straight = values["exhibit"] is not None and bird.origin != Origin.HATCHED_HERE
    return Wrote(rows={"bird": made}, said=past_quarantine(made, values["exhibit"]) if straight else ())


def _same_species(before: Earlier, species_id: int) -> bool:
    """Whether a bird that was written down by mistake may go on as the one that is written instead."""
    return "bird" in before.wrote and known_bird(int(before.wrote["bird"])).species_id == species_id


def give_number_up(earlier: Earlier, told: Told, _because: str) -> None:
    """Let the park's own number of a bird that never was be another's."""
    if "bird" in earlier.wrote:
        change_bird(bird_id=int(earlier.wrote["bird"]), by=told.by, changes={"number": ""})


def _change(told: Told, values: Values) -> Wrote:
    changes = _who_it_is(values)
    assert set(changes) <= set(CHANGEABLE)
    return Wrote(change_bird(bird_id=values["bird"], by=told.by, changes=changes))


def _arrive(told: Told, values: Values) -> Wrote:
    now = arrive(
        told=told,
        bird_id=values["bird"],
        came_from=values["came_from"],
        exhibit_id=values["exhibit"],
        on_loan=values["on_loan"],
        papers=values["papers"],
    )
    return Wrote(now, said=past_quarantine(values["bird"], values["exhibit"]))


def _release(told: Told, values: Values) -> Wrote:
    now = release_from_quarantine(
        told=told,
        bird_id=values["bird"],
        note=values["note"],
        without_marks=values["without_marks"],
    )
    kept = kept_not_fitted(values["bird"])
    return Wrote(now, said=(kept,) if kept else ())


def _undo_release(earlier: Earlier, _told: Told, _because: str) -> None:
    refuse_release_undone(earlier.id)


def _birds_come(told: Told, values: Values) -> Wrote:
    if in_place_of(told) is not None:
        raise WrongValue("corrects", "is a shipment; withdraw it whole, or put its birds right one by one")
    came = receive_birds(
        told=told,
        came_from=values["came_from"],
        exhibit_id=values["exhibit"],
        on_loan=values["on_loan"],
        papers=values["papers"],
        newcomers=[_newcomer(one) for one in values["newcomers"]],
    )
    birds = [bird for bird, _ in came]
    past = past_quarantine(birds[0], values["exhibit"]) if birds else ()
    warned = tuple(f"{known_bird(bird)}: {sentence}" for bird, said in came for sentence in said)
    return Wrote(rows={"birds": birds}, said=(*past, *warned))


def _newcomer(said: Values) -> Newcomer:
    bird = NewBird(
        species_id=said["species"],
        house_name=said["house_name"],
        number=said["number"],
        hatched_on=said["hatched_on"],
        hatched_precision=said["hatched_precision"] or ("day" if said["hatched_on"] else "unknown"),
        origin=said["origin"] or "unknown",
        owner=said["owner"],
    )
    worn = tuple(NewBand(came_with_it=True, **band) for band in said["worn"])
    return Newcomer(bird, said["sex"] or "U", said["known_by"] or "told on arrival", worn)


def _never_came(earlier: Earlier, told: Told, because: str) -> None:
    undo_receiving(earlier_id=earlier.id, told=told, because=because)


def _move(told: Told, values: Values) -> Wrote:
    return Wrote(
        move_birds(
            told=told,
            to_exhibit_id=values["to_exhibit"],
            came=values["came"],
            would_not={one["bird"]: one["why"] for one in values["would_not"]},
            from_exhibit_id=values["from_exhibit"],
            because=values["because"],
        )
    )


def _depart(told: Told, values: Values) -> Wrote:
    now = depart(
        told=told,
        bird_id=values["bird"],
        went_to=values["went_to"],
        stays_ours=values["stays_ours"],
        papers=values["papers"],
    )
    return Wrote(now, said=("print its record from its page: it travels with the bird",) if now else ())


def _presume(told: Told, values: Values) -> Wrote:
    return Wrote(
        record_whereabouts(
            told=told, bird_id=values["bird"], state=Whereabouts.PRESUMED_DEAD.value, note=values["note"]
        )
    )


COMING_GOING: Final[dict[str, Bound]] = {
    "bird_added": Bound(_add, give_number_up, action=add_bird),
    "bird_changed": Bound(_change, action=change_bird),
    "arrival": Bound(_arrive, action=arrive),
    "birds_come": Bound(_birds_come, _never_came, action=receive_birds),
    "quarantine_released": Bound(_release, _undo_release, action=release_from_quarantine),
    "moved": Bound(_move, action=move_birds),
    "whereabouts": fact("whereabouts", record_whereabouts),
    "presumed_dead": Bound(_presume, action=record_whereabouts),
    "not_looked_for": spell(
        "not_looked_for", begin_not_looked_for, row="spell", on="from_on", take_back=begun(NotLookedFor)
    ),
    "looked_for_again": spell(
        "looked_for_again",
        end_not_looked_for,
        deed=False,
        take_back=ended(NotLookedFor, "spell"),
    ),
    "departure": Bound(_depart, action=depart),
    "owner_changed": fact("owner_changed", change_owner),
    "death": fact("death", record_death),
    "carcase_named": fact("carcase_named", name_carcase),
    "post_mortem": fact("post_mortem", answer_post_mortem),
}
