"""What phones send is heard once, in any order, and one refused fact holds up no other."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import UUID, uuid4

import pytest
from django.utils import timezone

from phones import NINE, SEVEN, Phone
from tarsus.core.rounds.call import OnRoll
from tarsus.queries.days import park_zone
from tarsus.queries.flock import flock_of
from tarsus.queries.last_seen import last_seen, usual_places, usual_times
from tarsus.queries.rounds import (
    calls_between,
    closed_version,
    earlier_versions,
    open_round,
    roll_call,
)
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


@pytest.fixture
def oswin(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.oswin)


def test_a_called_roll_says_who_was_seen_and_how_they_were_named(tilda: Phone, park: Wendlebrook) -> None:
    read = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
    sent = tilda.send(
        tilda.started(),
        tilda.count("avocet", 4),
        tilda.sighting("Kelp", place=park.north_spit),
        tilda.sighting("Samphire", "by reading", reading=read),
        tilda.inferred("Sedge", 0.97),
        tilda.sighting(None, None, reading={"left tibia": [], "right tibia": None}, lookalike="avocet"),
    )
    assert sent == ["written"] * 6
    call = roll_call(tilda.round, NINE)
    assert {name: one.lowest.counted for name, one in call.counts.items()} == {"avocet": 4}
    assert call.observed == {park["Kelp"], park["Samphire"]}
    assert call.inferred == {park["Sedge"]}
    roll = [OnRoll(bird.bird_id, bird.lookalike) for bird in flock_of(park.shingle, DAY) if bird.counted]
    answered = call.answer(roll)
    assert set(answered.unseen) == {park["Sedge"], park["Thrift"], park["Marram"]}
    assert {*answered.seen, *answered.unseen, *answered.not_asked} == {one.bird for one in roll}
    part = call.sightings[-1]
    assert (part.bird, part.how, part.lookalike) == (None, "part reading", "avocet")
    assert part.reading is not None
    assert part.reading.at("left tibia") == ()
    assert part.reading.at("right tibia") is None


def test_an_unfinished_stack_and_an_unsure_side_are_kept_as_they_were_told(tilda: Phone) -> None:
    read = {"right tibia": ["yellow", "*"], "swap": 0.5}
    told = tilda.send(
        tilda.started(),
        tilda.sighting(None, None, reading=read, lookalike="avocet"),
        tilda.sighting(None, None, reading={**read, "swap": -0.1}, lookalike="avocet"),
    )
    assert told[:2] == ["written", "written"]
    assert told[2].startswith("reading.swap: ")
    (part,) = roll_call(tilda.round, NINE).sightings
    assert part.reading is not None
    assert part.reading.as_mapping() == read


def test_an_inferred_sighting_is_no_last_sighting(tilda: Phone, park: Wendlebrook) -> None:
    tilda.send(
        tilda.started(), tilda.sighting("Sedge", place=park.south_pool), tilda.inferred("Thrift", 0.999)
    )
    seen = last_seen([park["Sedge"], park["Thrift"]])
    assert set(seen) == {park["Sedge"]}
    assert (seen[park["Sedge"]].place, seen[park["Sedge"]].how) == ("south pool", "by sight")


def test_usual_places_are_shares_of_what_was_seen(tilda: Phone, park: Wendlebrook) -> None:
    tilda.send(
        tilda.started(),
        *(tilda.sighting("Kelp", place=park.north_spit) for _ in range(3)),
        tilda.sighting("Kelp", place=park.south_pool),
        tilda.sighting("Kelp"),
    )
    places = usual_places(park.shingle, SEVEN + timedelta(hours=2))
    assert places == {park["Kelp"]: {park.north_spit: 0.75, park.south_pool: 0.25}}


def test_usual_times_are_counted_by_the_clock_of_the_park(tilda: Phone, park: Wendlebrook) -> None:
    started = {**tilda.started(), "at": (SEVEN - timedelta(days=1)).isoformat()}
    # 08:59 UTC is one minute to ten at the park in June.
    ten = SEVEN.replace(hour=9) - timedelta(days=1)
    at = [ten - timedelta(minutes=1), ten + timedelta(minutes=1)]
    told = [{**tilda.sighting("Kelp"), "at": moment.isoformat()} for moment in (*at, at[1])]
    assert tilda.send(started, *told, tilda.inferred("Sedge", 0.99)) == ["written"] * 5
    seen = usual_times(park.shingle, SEVEN + timedelta(hours=2), park_zone())
    assert seen == {park["Kelp"]: {"morning": 1, "midday": 2}}
    assert usual_times(park.shingle, SEVEN + timedelta(days=90), park_zone()) == {}


def test_a_plumage_is_kept_as_it_was_told(tilda: Phone) -> None:
    read = {"right tibia": ["yellow", "*"], "plumage": "young"}
    told = tilda.send(
        tilda.started(),
        tilda.sighting(None, None, reading=read, lookalike="avocet"),
        tilda.sighting(None, None, reading={**read, "plumage": "old"}, lookalike="avocet"),
    )
    assert told[1] == "written"
    assert told[2].startswith("reading.plumage: 'old' is no plumage")
    (part,) = roll_call(tilda.round, NINE).sightings
    assert part.reading is not None
    assert part.reading.as_mapping() == read


def test_hearing_a_sighting_twice_writes_it_once(tilda: Phone) -> None:
    facts = [tilda.started(), tilda.sighting("Kelp")]
    assert tilda.send(*facts) == ["written", "written"]
    assert tilda.send(*facts) == ["known", "known"]
    assert rows.Sighting.objects.count() == 1


def test_the_same_id_with_other_contents_is_refused(tilda: Phone, park: Wendlebrook) -> None:
    kelp = tilda.sighting("Kelp")
    tilda.send(tilda.started(), kelp)
    (told,) = tilda.send({**kelp, "bird": park["Sedge"]})
    assert "already names a sighting with other contents" in told
    (told,) = tilda.send({**tilda.count("avocet", 3), "id": kelp["id"]})
    assert "already names a sighting with other contents" in told
    assert rows.Sighting.objects.get().bird_id == park["Kelp"]
    assert not rows.Count.objects.exists()


def test_one_refused_fact_holds_up_no_other(tilda: Phone) -> None:
    told = tilda.send(
        tilda.started(),
        {**tilda.sighting("Kelp"), "bird": 999999},
        {**tilda.sighting("Kelp"), "colour": "red"},
        {**tilda.sighting("Kelp"), "at": "this morning"},
        {**tilda.sighting("Kelp"), "how": "by ear"},
        tilda.sighting("Marram", "by reading"),
        tilda.sighting("Samphire", "by reading", reading={"left tibia": ["tael"]}),
        tilda.sighting("Sedge"),
    )
    assert told[0] == told[-1] == "written"
    assert told[1] == "bird: no bird 999999 is in this register; choose another bird"
    assert told[2].startswith("colour: 'colour' is no key")
    assert told[3] == 'at: "this morning" is no moment; write it as 2026-06-11T07:41:02+01:00'
    assert told[4].startswith("how: 'by ear' is no way of naming a bird")
    assert told[5].startswith("reading: is missing")
    assert told[6].startswith("reading[\"left tibia\"][0]: 'tael' is no colour")


def test_facts_that_come_before_what_they_lean_on_wait_for_it(tilda: Phone, park: Wendlebrook) -> None:
    started, kelp = tilda.started(), tilda.sighting("Kelp")
    mistake = tilda.fact("withdrawn", corrects=kelp["id"], because="it was Marram")
    assert tilda.send(mistake, kelp) == ["written", "written"]
    assert tilda.send(mistake, kelp) == ["known", "known"]
    assert not rows.Sighting.objects.exists()
    assert tilda.send(started) == ["written"]
    assert rows.Sighting.objects.get().bird_id == park["Kelp"]
    assert roll_call(tilda.round, NINE).observed == frozenset()
    assert not rows.Waiting.objects.exists()


def test_a_waiting_fact_that_is_refused_in_its_turn_is_kept_with_the_reason(
    tilda: Phone, park: Wendlebrook
) -> None:
    elsewhere = {**tilda.sighting("Kelp"), "exhibit": park.reed}
    assert tilda.send(elsewhere, tilda.started()) == ["written", "written"]
    kept = rows.Waiting.objects.get()
    assert str(kept.pk) == elsewhere["id"]
    assert "is of another exhibit" in kept.reason


def test_a_withdrawn_sighting_stays_written_and_counts_no_longer(tilda: Phone, park: Wendlebrook) -> None:
    kelp = tilda.sighting("Kelp")
    mistake = tilda.fact("withdrawn", corrects=kelp["id"], because="it was Marram")
    tilda.send(tilda.started(), kelp, mistake)
    assert roll_call(tilda.round, NINE).observed == frozenset()
    assert last_seen([park["Kelp"]]) == {}
    assert rows.Sighting.objects.count() == 1


def test_undoing_an_undo_brings_the_sighting_back_everywhere(tilda: Phone, park: Wendlebrook) -> None:
    kelp = tilda.sighting("Kelp")
    mistake = tilda.fact("withdrawn", corrects=kelp["id"], because="it was Marram")
    again = tilda.fact("withdrawn", corrects=mistake["id"], because="no, it was Kelp")
    assert tilda.send(again, mistake, kelp, tilda.started()) == ["written"] * 4
    assert roll_call(tilda.round, NINE).observed == {park["Kelp"]}
    assert list(last_seen([park["Kelp"]])) == [park["Kelp"]]
    third = tilda.fact("withdrawn", corrects=again["id"], because="Marram after all")
    assert tilda.send(third, third) == ["written", "known"]
    assert roll_call(tilda.round, NINE).observed == frozenset()
    assert list(last_seen([park["Kelp"]])) == []
    (told,) = tilda.send(tilda.fact("withdrawn", corrects=third["id"], because="Kelp, I caught it"))
    assert told == "corrects: is itself a withdrawal; record the fact again under a new id"


def test_a_closed_round_can_be_opened_again_and_keeps_both_versions(tilda: Phone, park: Wendlebrook) -> None:
    tilda.send(tilda.started(), tilda.sighting("Kelp"), tilda.closed())
    reopened = tilda.fact("round_reopened", round=str(tilda.round))
    assert tilda.send(reopened, reopened) == ["written", "known"]
    assert closed_version(tilda.round, NINE) is None
    assert open_round(park.shingle, NINE) == tilda.round
    tilda.send(tilda.sighting("Sedge"), tilda.closed())
    (before,), now = earlier_versions(tilda.round, NINE), closed_version(tilda.round, NINE)
    assert before["observed"] == [park["Kelp"]]
    assert now is not None
    assert now["observed"] == sorted([park["Kelp"], park["Sedge"]])


def test_a_round_of_another_day_is_not_opened_again(tilda: Phone) -> None:
    tilda.send(tilda.started(), tilda.closed())
    tilda.minutes = 24 * 60
    (told,) = tilda.send(tilda.fact("round_reopened", round=str(tilda.round)))
    assert told == "round: was begun too long ago to be opened again; begin another round"


def test_a_closed_round_keeps_its_version_and_late_sightings_stand_beside_it(
    tilda: Phone, park: Wendlebrook
) -> None:
    tilda.send(tilda.started(), tilda.sighting("Kelp"), tilda.closed())
    version = closed_version(tilda.round, NINE)
    assert tilda.send(tilda.sighting("Sedge")) == ["written"]
    assert closed_version(tilda.round, NINE) == version
    assert version is not None
    assert version["observed"] == [park["Kelp"]]
    call = roll_call(tilda.round, NINE)
    assert call.observed == {park["Kelp"], park["Sedge"]}
    assert {one.bird: one.id in call.late for one in call.sightings} == {
        park["Kelp"]: False,
        park["Sedge"]: True,
    }


def test_the_version_of_a_closed_round_holds_all_that_was_known(tilda: Phone, park: Wendlebrook) -> None:
    seen = tilda.sighting("Kelp")
    doubt = tilda.sighting(
        "Thrift",
        "by reading",
        reading={"left tibia": ["red"]},
        candidates=[{"bird": park["Thrift"], "chance": 0.6}, {"bird": park["Marram"], "chance": 0.4}],
    )
    between = tilda.inferred("Sedge", 0.95)
    tilda.send(tilda.started(), tilda.count("avocet", 4), tilda.count("avocet", 3), seen, doubt, between)
    tilda.send(tilda.closed())
    version = closed_version(tilda.round, NINE)
    assert version is not None
    assert version["counts"] == {"avocet": 3}
    assert version["called"] == ["avocet"]
    assert version["observed"] == [park["Kelp"]]
    assert version["doubtful"] == [park["Thrift"]]
    assert version["inferred"] == [park["Sedge"]]
    assert sorted(version["sightings"]) == sorted(one["id"] for one in (seen, doubt, between))


def test_a_round_is_started_once_and_belongs_to_one_exhibit(
    tilda: Phone, oswin: Phone, park: Wendlebrook
) -> None:
    start = tilda.started()
    assert tilda.send(start) == ["written"]
    (again,) = tilda.send(tilda.fact("round_started", round=str(tilda.round), exhibit=park.shingle))
    assert again == f"round: round {tilda.round} was started before; go on in it"
    (elsewhere,) = tilda.send(tilda.fact("round_started", round=str(tilda.round), exhibit=park.reed))
    said = f"exhibit: round {tilda.round} is of another exhibit; start a round of its own here"
    assert elsewhere == said
    given_up = oswin.fact(
        "round_not_done", round=str(tilda.round), exhibit=park.reed, because="storm", lookalike=""
    )
    assert oswin.send(given_up) == [said]
    (nowhere,) = oswin.send(oswin.fact("round_started", round=str(oswin.round), exhibit=10_000))
    assert nowhere.startswith("exhibit: ")


def test_birds_in_view_together_are_at_a_place_of_their_own_exhibit(tilda: Phone, park: Wendlebrook) -> None:
    tilda.send(tilda.started())
    group = {"round": str(tilda.round), "group": str(uuid4()), "size": 2}
    (refused,) = tilda.send(tilda.fact("group", **group, place=park.reed_perch))
    assert refused.startswith("place: ")
    assert tilda.send(tilda.fact("group", **group, place=park.north_spit)) == ["written"]


def test_two_phones_without_signal_call_one_roll(tilda: Phone, oswin: Phone, park: Wendlebrook) -> None:
    oswin.minutes = 3
    oswin.send(oswin.started(), oswin.sighting("Marram"), oswin.count("avocet", 5))
    tilda.send(tilda.started(), tilda.sighting("Kelp"), tilda.count("avocet", 4))
    for asked in (tilda.round, oswin.round):
        call = roll_call(asked, NINE)
        assert call.observed == {park["Kelp"], park["Marram"]}
        assert [[(one.by, one.counted) for one in both.told] for both in call.counts.values()] == [
            [(tilda.by, 4), (oswin.by, 5)]
        ]
        assert call.counts["avocet"].lowest.counted == 4
    assert open_round(park.shingle, SEVEN + timedelta(hours=1)) == tilda.round
    tilda.send(tilda.closed())
    assert roll_call(tilda.round, NINE).phase == "open"
    assert open_round(park.shingle, SEVEN + timedelta(hours=1)) == oswin.round


def test_rounds_one_after_the_other_are_two_roll_calls(tilda: Phone, oswin: Phone, park: Wendlebrook) -> None:
    tilda.send(tilda.started(), tilda.sighting("Kelp"), tilda.closed())
    oswin.minutes = 60
    oswin.send(oswin.started(), oswin.sighting("Marram"))
    assert roll_call(tilda.round, NINE).observed == {park["Kelp"]}
    assert roll_call(oswin.round, NINE).observed == {park["Marram"]}


def test_a_round_left_open_is_joined_for_fourteen_hours_and_not_after_midnight(
    tilda: Phone, oswin: Phone, park: Wendlebrook
) -> None:
    tilda.send(tilda.started())
    assert open_round(park.shingle, SEVEN + timedelta(hours=13, minutes=50)) == tilda.round
    assert open_round(park.shingle, SEVEN + timedelta(hours=14, minutes=10)) is None
    assert open_round(park.reed, SEVEN + timedelta(hours=1)) is None
    oswin.minutes = 16 * 60
    oswin.send(oswin.started())
    assert open_round(park.shingle, SEVEN + timedelta(hours=16, minutes=50)) == oswin.round
    # Past midnight at the park, not yet at Greenwich.
    assert open_round(park.shingle, SEVEN + timedelta(hours=17, minutes=5)) is None


def test_a_round_that_was_not_done_says_why(tilda: Phone, park: Wendlebrook) -> None:
    told = tilda.fact("round_not_done", round=str(tilda.round), exhibit=park.reed, because="storm")
    assert tilda.send(told) == ["written"]
    (call,) = calls_between(park.reed, SEVEN, NINE, NINE)
    assert (call.phase, call.group_state("ruff")) == ("not done", ("not done", "storm"))
    assert call.rounds[0].begun_by == park.actors.tilda
    (refused,) = tilda.send({**told, "id": str(uuid4()), "because": " "})
    assert refused.startswith("because: is empty")


def test_birds_in_view_together_may_fly(tilda: Phone, park: Wendlebrook) -> None:
    rail = str(uuid4())
    told = {"round": str(tilda.round), "group": rail, "size": 20}
    flown = tilda.fact("group", **told, place=park.north_spit, flew=True)
    flown["at"] = (SEVEN + timedelta(hours=1)).isoformat()
    tilda.send(tilda.started(), flown, tilda.fact("group", **told, place=park.north_spit))
    (view,) = roll_call(tilda.round, NINE).in_view
    assert (view.group, view.size, view.flew, view.place) == (UUID(rail), 20, True, park.north_spit)


def test_a_clock_two_hours_ahead_is_put_right_and_both_times_are_kept(tilda: Phone) -> None:
    kelp = tilda.sighting("Kelp", round=None)
    ahead = (timezone.now() + timedelta(hours=2)).isoformat()
    tilda.send(kelp, clock=ahead)
    row = rows.Sighting.objects.get()
    said = datetime.fromisoformat(kelp["at"])
    assert row.phone_at == said
    assert abs(said - row.happened_at - timedelta(hours=2)) < timedelta(seconds=5)
    assert row.clock_offset_s == pytest.approx(7200, abs=5)


def test_a_clock_off_by_the_way_through_the_network_is_taken_at_its_word(tilda: Phone) -> None:
    kelp = tilda.sighting("Kelp", round=None)
    tilda.send(kelp, clock=(timezone.now() - timedelta(seconds=20)).isoformat())
    assert rows.Sighting.objects.get().happened_at == datetime.fromisoformat(kelp["at"])


def test_a_concern_of_one_of_three_opens_one_case_for_the_vet(tilda: Phone, park: Wendlebrook) -> None:
    three = [park["Kelp"], park["Sedge"], park["Thrift"]]
    concern = tilda.fact("concern", birds=three, seen=["lame"], side="left", note="", tell_vet=True)
    assert tilda.send(concern, concern) == ["written", "known"]
    case = rows.Case.objects.get()
    assert sorted(case.birds.values_list("pk", flat=True)) == sorted(three)
    assert (case.about, case.closed_at) == ("lame", None)


def test_a_shared_phone_keeps_both_who_acted_and_who_is_signed_in(tilda: Phone, park: Wendlebrook) -> None:
    seen = {**tilda.sighting("Kelp", round=None), "by": park.actors.oswin}
    tilda.handed_to(park.actors.oswin)
    assert tilda.send(seen) == ["written"]
    row = rows.Sighting.objects.get()
    assert (row.recorded_by_id, row.sent_by_id) == (park.actors.oswin, park.actors.tilda)


def test_a_viewer_records_nothing_and_nobody_records_in_a_viewers_name(
    tilda: Phone, park: Wendlebrook
) -> None:
    pia = Phone(park, park.actors.pia)
    (told,) = pia.send(pia.started())
    assert told.startswith("by: nothing is recorded here")
    (told,) = tilda.send({**tilda.started(), "by": park.actors.pia})
    assert told.startswith("by: nothing is recorded here")


def test_where_phones_are_not_shared_everybody_signs_in(tilda: Phone, park: Wendlebrook) -> None:
    tilda.handed_to(park.actors.oswin)
    rows.Park.objects.update(shared_phones=False)
    seen = tilda.sighting("Kelp", round=None)
    (told,) = tilda.send({**seen, "by": park.actors.oswin})
    assert told.endswith("sign in as that person")
    assert tilda.send(seen) == ["written"]


def test_one_flock_not_called_leaves_the_round_of_the_others_going(tilda: Phone, park: Wendlebrook) -> None:
    ruffs = {"round": str(tilda.round), "exhibit": park.shingle, "lookalike": "ruff", "because": "too dark"}
    tilda.send(tilda.started(), tilda.fact("round_not_done", **ruffs), tilda.sighting("Kelp"))
    call = roll_call(tilda.round, NINE)
    assert (call.phase, call.group_state("ruff")) == ("open", ("not done", "too dark"))
    assert call.group_state("avocet") == ("begun", "")
    assert open_round(park.shingle, SEVEN + timedelta(hours=1)) == tilda.round


def test_a_band_on_the_floor_and_a_note_are_facts_too(tilda: Phone, park: Wendlebrook) -> None:
    ring = {"exhibit": park.shingle, "place": park.north_spit, "what": "colour", "colour": "green"}
    found, note = tilda.fact("band_found", **ring), tilda.fact("note", bird=park["Kelp"], text="very bold")
    assert tilda.send(found, note, found) == ["written", "written", "known"]
    assert rows.BandFound.objects.get().colour == rows.Colour.objects.get(name="green")
    assert rows.Note.objects.get().bird_id == park["Kelp"]
    tin, about_nothing = tilda.send(
        {**found, "id": str(uuid4()), "what": "tin"}, tilda.fact("note", text="hm")
    )
    assert tin.startswith("what: 'tin' is no kind of band")
    assert about_nothing == "bird: is missing; say what the note is about"


def test_closing_a_round_carries_the_watch_forward(tilda: Phone) -> None:
    tilda.send(tilda.started(), tilda.sighting("Kelp"))
    assert not rows.PresenceCheckpoint.objects.exists()
    assert tilda.send(tilda.closed()) == ["written"]
    assert rows.PresenceCheckpoint.objects.exists()
