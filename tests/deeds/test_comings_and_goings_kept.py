"""Where a bird is by the record after each thing that can happen to it, and who said so."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import pytest

from deeds.test_door import Teller, says
from phones import SEVEN
from tarsus.queries.flock import whereabouts_of
from tarsus.records import models as rows
from wendlebrook import BEGUN, DAY, Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]


def on(day: int) -> dict[str, str]:
    """A day of June, at the hour of the roll call."""
    return {"at": (SEVEN + timedelta(days=day - SEVEN.day)).isoformat()}


def stays(bird: int) -> list[tuple[int, date, date | None]]:
    told = rows.Stay.objects.filter(bird_id=bird, taken_back_at__isnull=True).order_by("from_on", "pk")
    return list(told.values_list("exhibit_id", "from_on", "to_on"))


def test_a_bird_that_left_may_come_again_and_both_stays_are_kept(says: Teller, park: Wendlebrook) -> None:
    kelp = park["Kelp"]
    left = says.done(
        "corin", "departure", bird=kelp, went_to=" Marsh Park ", stays_ours=True, papers="P", **on(2)
    )
    assert left.said == ("print its record from its page: it travels with the bird",)
    row = rows.Departure.objects.get()
    assert (row.went_to, row.stays_ours, row.papers) == ("Marsh Park", True, "P")
    come = {"bird": kelp, "came_from": " Marsh Park ", "on_loan": True, "papers": "Q"}
    early = says.tell("corin", "arrival", **come, exhibit=park.reed, **on(1))
    assert early.reason == "on: Kelp lived in Shingle Aviary until 2026-06-02; choose that day or later"
    came = says.done("corin", "arrival", **come, exhibit=park.reed, **on(9))
    arrival = rows.Arrival.objects.get(pk=came.id)
    assert (arrival.came_from, arrival.on_loan, arrival.papers) == ("Marsh Park", True, "Q")
    assert stays(kelp) == [(park.shingle, BEGUN, date(2026, 6, 2)), (park.reed, date(2026, 6, 9), None)]
    now = rows.Stay.objects.get(bird=kelp, to_on__isnull=True)
    assert (now.reason, str(now.begun_through), now.recorded_by_id) == (
        "from Marsh Park",
        came.id,
        park.actors.corin,
    )
    gone = says.tell("tilda", "departure", bird=kelp, went_to="x")
    assert gone.outcome == "refused", "leaving is for the office"
    says.done("corin", "withdrawn", corrects=came.id, because="next week")
    says.done("corin", "withdrawn", corrects=left.id, because="it stayed")
    assert stays(kelp) == [(park.shingle, BEGUN, None)]


def test_a_departure_over_which_it_came_back_is_not_undone_alone(says: Teller, park: Wendlebrook) -> None:
    kelp = park["Kelp"]
    left = says.done("corin", "departure", bird=kelp, went_to="Marsh Park", **on(2))
    says.done("corin", "arrival", bird=kelp, came_from="Marsh Park", exhibit=park.reed, **on(3))
    refused = says.tell("corin", "withdrawn", corrects=left.id, because="it stayed")
    assert refused.reason == "corrects: Kelp lives elsewhere since; take that back first"
    again = says.done("corin", "departure", bird=kelp, went_to="the south", **on(4))
    refused = says.tell("corin", "withdrawn", corrects=left.id, because="it stayed")
    assert refused.reason == "corrects: Kelp lives elsewhere since; take that back first"
    says.done("corin", "withdrawn", corrects=again.id, because="it stayed")
    assert stays(kelp)[-1] == (park.reed, date(2026, 6, 3), None)


def test_a_bird_without_a_home_is_not_missed_and_one_that_is_missed_keeps_its(
    says: Teller, park: Wendlebrook
) -> None:
    sedge, kelp = park["Sedge"], park["Kelp"]
    lost = says.done("maren", "whereabouts", bird=sedge, state="missing", exhibit=park.reed, note="gate open")
    row = rows.Missing.objects.get(pk=lost.id)
    assert (row.state, row.exhibit_id, row.note, row.happened_at) == (
        "missing",
        park.reed,
        "gate open",
        SEVEN,
    )
    assert stays(sedge) == [(park.shingle, BEGUN, None)]
    assert whereabouts_of([sedge], DAY)[sedge] == "missing"
    again = says.tell("maren", "whereabouts", bird=sedge, state="missing")
    assert again.reason == "state: Sedge is missing by the record already; nothing to write"
    says.done("maren", "whereabouts", bird=sedge, state="escaped")
    says.done("maren", "whereabouts", bird=sedge, state="found again")
    assert whereabouts_of([sedge], DAY).get(sedge) is None
    assert stays(sedge) == [(park.shingle, BEGUN, None)]
    says.done("corin", "departure", bird=kelp, went_to="Marsh Park")
    gone = says.tell("maren", "whereabouts", bird=kelp, state="missing")
    assert gone.reason == "bird: Kelp lives in no exhibit now; let it arrive first"


def test_a_bird_presumed_dead_has_no_home_until_it_is_found_somewhere(
    says: Teller, park: Wendlebrook
) -> None:
    sedge = park["Sedge"]
    presumed = says.done("corin", "presumed_dead", bird=sedge, note="no trace", **on(3))
    row = rows.Missing.objects.get(pk=presumed.id)
    assert (row.state, row.note) == ("presumed dead", "no trace")
    assert stays(sedge) == [(park.shingle, BEGUN, date(2026, 6, 3))]
    again = says.tell("corin", "presumed_dead", bird=sedge, note="still no trace")
    assert again.reason == "state: Sedge is presumed dead by the record already; nothing to write"
    nowhere = says.tell("maren", "whereabouts", bird=sedge, state="found again")
    assert nowhere.reason == "exhibit: is missing; say where Sedge lives now"
    found = says.done("maren", "whereabouts", bird=sedge, state="found again", exhibit=park.reed)
    assert stays(sedge)[-1] == (park.reed, DAY, None)
    stay = rows.Stay.objects.get(bird=sedge, to_on__isnull=True)
    assert (stay.reason, str(stay.begun_through)) == ("found again", found.id)
    says.done("maren", "withdrawn", corrects=found.id, because="another bird")
    says.done("corin", "withdrawn", corrects=presumed.id, because="seen today")
    assert stays(sedge) == [(park.shingle, BEGUN, None)]


def test_a_dead_bird_does_nothing_more_and_dies_once(says: Teller, park: Wendlebrook) -> None:
    kelp = park["Kelp"]
    told = {
        "exhibit": park.shingle,
        "found_by": " Oswin ",
        "carcase_label": "C-1",
        "post_mortem_asked": True,
        "circumstances": "under the ledge",
        "euthanised": True,
    }
    dead = says.done("tilda", "death", bird=kelp, **told)
    row = rows.Death.objects.get(pk=dead.id)
    assert (row.bird_id, row.species_id, row.exhibit_id, row.found_by) == (
        kelp,
        park.avocet,
        park.shingle,
        "Oswin",
    )
    assert (row.carcase_label, row.post_mortem_asked, row.circumstances, row.euthanised) == (
        "C-1",
        True,
        "under the ledge",
        True,
    )
    assert stays(kelp) == [(park.shingle, BEGUN, DAY)]
    said = "bird: Kelp is dead by the record already; withdraw that record first"
    for who, kind, more in (
        ("tilda", "death", {"exhibit": park.shingle, "found_by": "Tilda"}),
        ("corin", "arrival", {"came_from": "x", "exhibit": park.reed}),
        ("maren", "whereabouts", {"state": "missing"}),
    ):
        assert says.tell(who, kind, bird=kelp, **more).reason == said
    label = says.tell("tilda", "death", bird=park["Sedge"], **told)
    assert label.reason == "carcase_label: C-1 is on another carcase; choose another label"
    says.done("tilda", "death", bird=park["Sedge"], **{**told, "carcase_label": ""})
    says.done("tilda", "death", bird=park["Thrift"], **{**told, "carcase_label": ""})


def test_a_carcase_has_one_name_and_it_is_of_its_own_species(says: Teller, park: Wendlebrook) -> None:
    told = {"exhibit": park.shingle, "found_by": "Oswin", "species": park.avocet}
    dead = says.done("tilda", "death", **told)
    because = {"death": dead.id, "because": " its number "}
    named = says.done("tilda", "carcase_named", bird=park["Kelp"], **because)
    row = rows.CarcaseNamed.objects.get(pk=named.id)
    assert (str(row.death_id), row.bird_id, row.because) == (dead.id, park["Kelp"], "its number")
    twice = says.tell("tilda", "carcase_named", bird=park["Sedge"], **because)
    assert twice.reason == "death: this carcase is Kelp's; withdraw that first"
    says.done("tilda", "withdrawn", corrects=named.id, because="the 8 was a 9")
    assert stays(park["Kelp"]) == [(park.shingle, BEGUN, None)]
    says.done("tilda", "carcase_named", bird=park["Sedge"], **because)
    assert stays(park["Sedge"]) == [(park.shingle, BEGUN, DAY)]
    own = says.done("tilda", "death", bird=park["Thrift"], exhibit=park.shingle, found_by="Oswin")
    other = says.tell("tilda", "carcase_named", bird=park["Marram"], death=own.id, because="x")
    assert other.reason == "death: this carcase is Thrift's; withdraw that first"
    again = says.tell("tilda", "carcase_named", bird=park["Sedge"], **{**because, "death": dead.id})
    assert again.outcome == "refused"


def test_a_post_mortem_an_owner_and_a_release_are_kept_as_they_were_told(
    says: Teller, park: Wendlebrook
) -> None:
    dead = says.done("tilda", "death", bird=park["Kelp"], exhibit=park.shingle, found_by="Oswin")
    says.done("ilse", "post_mortem", death=dead.id, answer=" nothing was found ", by_whom="the laboratory")
    row = rows.PostMortem.objects.get()
    assert (str(row.death_id), row.answer, row.by_whom) == (dead.id, "nothing was found", "the laboratory")
    says.done("corin", "owner_changed", bird=park["Sedge"], owner=" Marsh Park ", holder=" Fen House ")
    owned = rows.Ownership.objects.get()
    assert (owned.bird_id, owned.owner, owned.holder) == (park["Sedge"], "Marsh Park", "Fen House")
    says.done("ilse", "quarantine_released", bird=park["Sedge"], note="swabs clear")
    released = rows.QuarantineRelease.objects.get()
    assert (released.bird_id, released.note, released.recorded_by_id) == (
        park["Sedge"],
        "swabs clear",
        park.actors.ilse,
    )


def test_a_move_keeps_who_came_who_would_not_and_why(says: Teller, park: Wendlebrook) -> None:
    kelp, sedge, dock = park["Kelp"], park["Sedge"], park["Dock"]
    move = says.done(
        "tilda",
        "moved",
        came=[sedge, kelp],
        would_not=[{"bird": dock, "why": "hid"}],
        from_exhibit=park.shingle,
        to_exhibit=park.reed,
        because="quieter",
    )
    row = rows.Move.objects.get(pk=move.id)
    assert (row.from_exhibit_id, row.to_exhibit_id, row.because) == (park.shingle, park.reed, "quieter")
    lines = rows.MovedBird.objects.values_list("bird", "came", "because")
    assert set(lines) == {(sedge, True, ""), (kelp, True, ""), (dock, False, "hid")}
    stay = rows.Stay.objects.get(bird=kelp, to_on__isnull=True)
    assert (stay.exhibit_id, stay.reason, str(stay.begun_through)) == (park.reed, "quieter", move.id)
    before = rows.Stay.objects.get(bird=kelp, to_on__isnull=False)
    assert (before.to_on, str(before.ended_through), before.ended_by_id) == (DAY, move.id, park.actors.tilda)
    assert stays(dock) == [(park.shingle, BEGUN, None)]


def test_a_spell_of_not_looking_keeps_its_reason_and_its_days(says: Teller, park: Wendlebrook) -> None:
    told: dict[str, Any] = {"why": "moult", "to_on": "2026-06-30", "note": "hides"}
    whole = says.done("tilda", "not_looked_for", exhibit=park.reed, **told)
    row = rows.NotLookedFor.objects.get(pk=whole.wrote["spell"])
    assert (row.bird_id, row.exhibit_id, row.why, row.note) == (None, park.reed, "moult", "hides")
    assert (row.from_on, row.to_on, row.recorded_by_id) == (DAY, date(2026, 6, 30), park.actors.tilda)
    says.done("oswin", "looked_for_again", spell=row.pk)
    row.refresh_from_db()
    assert (row.to_on, row.ended_by_id, row.ended_at is not None) == (DAY, park.actors.oswin, True)
    assert isinstance(row.ended_at, datetime)
