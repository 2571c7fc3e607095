"""The pack that a phone takes out to an exhibit."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from phones import SEVEN, Phone
from tarsus.core.readings.misreading import Misreading
from tarsus.queries.flock import flock_of
from tarsus.queries.observers import observers_of
from tarsus.queries.pack import NoSuchExhibit, pack_of, pack_sent
from tarsus.records import models as rows
from wendlebrook import BEGUN, DAY, MORNING, Wendlebrook

pytestmark = pytest.mark.django_db

LATER = MORNING + timedelta(hours=1)


def taken(park: Wendlebrook, now: datetime = LATER, by: int | None = None) -> dict[str, Any]:
    """The pack as the phone reads it: through JSON."""
    document = pack_of(park.shingle, by or park.actors.tilda, now).document
    return dict(json.loads(json.dumps(document)))


def bird_in(pack: dict[str, Any], name: str) -> dict[str, Any]:
    return next(bird for flock in pack["flocks"] for bird in flock["birds"] if bird["name"] == name)


def test_the_pack_says_what_each_bird_wears_on_its_own_sides(park: Wendlebrook) -> None:
    pack = taken(park)
    assert bird_in(pack, "Samphire")["marks"] == {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
    assert bird_in(pack, "Kelp")["marks"] == {"left tibia": ["yellow", "green"], "right tibia": ["metal"]}
    assert [(f["lookalike"], f["form"], f["counted"]) for f in pack["flocks"]] == [
        ("avocet", "tall", 5),
        ("ruff", "legs", 3),
    ]
    assert pack["exhibit"]["places"] == [
        {"id": park.north_spit, "name": "north spit"},
        {"id": park.south_pool, "name": "south pool"},
    ]
    assert pack["made_at"] == "2026-06-11T08:41:00+01:00"


def test_the_pack_says_who_looks_young_only_where_the_park_said_when_one_is_grown(
    park: Wendlebrook,
) -> None:
    rows.Bird.objects.filter(pk=park["Kelp"]).update(hatched_on=DAY - timedelta(days=350))
    rows.Bird.objects.filter(pk=park["Sedge"]).update(hatched_on=DAY - timedelta(days=3000))
    rows.Bird.objects.filter(pk=park["Thrift"]).update(hatched_on=None)
    assert "young" not in bird_in(taken(park), "Kelp")
    rows.Species.objects.filter(pk=park.avocet).update(grown_plumage_at_days=400)
    young = {name: bird_in(taken(park), name).get("young") for name in ("Kelp", "Sedge", "Thrift")}
    assert young == {"Kelp": pytest.approx(0.725), "Sedge": pytest.approx(0.05), "Thrift": None}


def test_the_pack_says_when_a_bird_is_usually_seen_only_where_birds_differ(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.tilda)
    seen = [{**phone.sighting("Kelp"), "at": SEVEN.isoformat()} for _ in range(4)]
    assert set(phone.send(phone.started(), *seen)) == {"written"}
    assert "times" not in bird_in(taken(park, SEVEN + timedelta(hours=1)), "Kelp")
    evening = SEVEN + timedelta(hours=12)
    late = [{**phone.sighting("Sedge"), "at": evening.isoformat()} for _ in range(4)]
    assert set(phone.send(*late)) == {"written"}
    pack = taken(park, evening + timedelta(hours=1))
    # .3 + .7 (n + 10) / (4 x 1/2 + 10)
    assert bird_in(pack, "Kelp")["times"] == {
        "morning": pytest.approx(1.1166666666666667),
        "evening": pytest.approx(0.8833333333333333),
    }
    assert bird_in(pack, "Sedge")["times"] == {
        "morning": pytest.approx(0.8833333333333333),
        "evening": pytest.approx(1.1166666666666667),
    }
    assert "times" not in bird_in(pack, "Thrift")


def test_the_pack_says_how_many_bands_make_a_leg_whole(park: Wendlebrook) -> None:
    def whole() -> list[dict[str, int]]:
        return [flock["whole"] for flock in taken(park)["flocks"]]

    # What is worn serves where there is no rule; the side it is worn on does not matter.
    assert whole() == [{"left tibia": 2, "right tibia": 2}, {"left leg": 2, "right leg": 2}]
    told = {"recorded_by_id": park.actors.tilda}
    rows.Rule.objects.create(
        species_id=park.avocet,
        from_on=DAY - timedelta(days=400),
        metal={"F": "left tibia"},
        colours={"F": {"right leg": 5}},
        **told,
    )
    rows.Rule.objects.create(
        species_id=park.avocet,
        from_on=DAY,
        metal={"F": "left tibia"},
        colours={"F": {"right leg": 3}},
        **told,
    )
    rows.Rule.objects.create(
        species_id=park.ruff, from_on=DAY + timedelta(days=1), colours={"M": {"left leg": 4}}, **told
    )
    assert whole() == [
        {"left tibia": 2, "left leg": 3, "right tibia": 2, "right leg": 3},
        {"left leg": 2, "right leg": 2},
    ]


def test_the_flags_of_bands_run_parallel_to_the_marks(park: Wendlebrook) -> None:
    green = rows.Band.objects.get(bird_id=park["Samphire"], colour__name="green")
    told = {"recorded_by_id": park.actors.tilda, "happened_at": datetime(2026, 5, 1, tzinfo=UTC)}
    rows.BandCheck.objects.create(band=green, condition="worn", **told)
    rows.BandCheck.objects.create(band=green, condition="faded", **told)
    assert bird_in(taken(park), "Samphire")["flags"] == {"right tibia": ["", "faded worn"]}
    assert bird_in(taken(park), "Kelp")["flags"] == {}


def test_how_each_colour_ages_by_checks_in_the_hand_goes_with_the_pack(park: Wendlebrook) -> None:
    green, yellow = (
        rows.Band.objects.get(bird_id=park["Samphire"], colour__name=name) for name in ("green", "yellow")
    )
    long_ago = DAY - timedelta(days=2000)
    rows.Band.objects.filter(pk__in=[green.pk, yellow.pk]).update(from_on=long_ago)

    def check(band: rows.Band, condition: str, *, day: int = 1, in_hand: bool = True) -> rows.BandCheck:
        at = datetime(2026, 5, day, 9, tzinfo=UTC)
        return rows.BandCheck.objects.create(
            band=band, condition=condition, in_hand=in_hand, recorded_by_id=park.actors.tilda, happened_at=at
        )

    before = taken(park)
    check(green, "faded", in_hand=False)
    check(green, "unreadable")
    assert "camera" not in taken(park)["park"], "from afar only what is amiss is told; unreadable may be mud"
    fine = check(yellow, "good", day=2)
    check(green, "faded", day=3)
    check(green, "tight", day=3)
    pack = taken(park)
    camera = pack["park"]["camera"]
    assert pack["version"] != before["version"]
    assert camera["exponent"] == 1.0
    faded = {name: sum(ways[at] for at in (1, 2, 5)) for name, ways in camera["ageing_of"].items()}
    assert faded["green"] > sum(camera["ageing"][at] for at in (1, 2, 5)) > 0.4
    check(green, "good", day=4)
    assert "green" not in taken(park)["park"].get("camera", {}).get("ageing_of", {}), "the last one counts"
    rows.Band.objects.filter(pk=green.pk).update(to_on=DAY, why_off="replaced")
    rows.Withdrawal.objects.create(
        withdraws=fine.pk,
        kind="band_checked",
        because="another bird",
        recorded_by_id=park.actors.tilda,
        happened_at=LATER,
    )
    assert "camera" not in taken(park)["park"], "a band that is off, and a check that was taken back"


def test_every_bands_number_travels_beside_its_colour(park: Wendlebrook) -> None:
    yellow = rows.Band.objects.get(bird_id=park["Kelp"], colour__name="yellow")
    rows.Band.objects.filter(pk=yellow.pk).update(engraving="A 417", engraving_key="A417")
    kelp = bird_in(taken(park), "Kelp")
    assert kelp["numbers"] == {"left tibia": ["A 417", ""], "right tibia": ["WB 20418"]}
    assert bird_in(taken(park), "Dock")["numbers"] == {}


def test_the_pack_costs_the_same_questions_however_many_birds_and_sightings(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.tilda)
    phone.send(phone.started(), phone.sighting("Kelp"))
    with CaptureQueriesContext(connection) as few:
        taken(park)
    tilda = rows.Person.objects.get(login="tilda")
    for number in range(30):
        bird = rows.Bird.objects.create(species_id=park.ruff, house_name=f"Ruff {number}", recorded_by=tilda)
        rows.Stay.objects.create(bird=bird, exhibit_id=park.shingle, from_on=BEGUN, recorded_by=tilda)
        park.birds[f"Ruff {number}"] = bird.pk
        phone.send(phone.sighting(f"Ruff {number}"), phone.sighting(None, None, lookalike="ruff"))
    with CaptureQueriesContext(connection) as many:
        pack = taken(park)
    assert sum(fact["kind"] == "sighting" for fact in pack["told"]) == 61
    assert len(many) == len(few)
    assert len(many) <= 61


def test_an_open_round_comes_with_what_other_phones_told_and_took_back(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.oswin)
    wrong = phone.sighting("Thrift")
    group = str(uuid4())
    read = {"left tibia": ["metal"]}
    seen = phone.sighting(
        "Samphire", "by reading", reading=read, group=group, position=1, place=park.north_spit
    )
    assert (
        phone.send(
            phone.started(),
            phone.count("avocet", 4),
            wrong,
            phone.fact("withdrawn", corrects=wrong["id"], because="undone on the phone"),
            phone.fact("group", round=str(phone.round), group=group, size=3, place=None, flew=True),
            seen,
            phone.fact("concern", sighting=seen["id"], birds=[park["Samphire"]], seen=["lame"], side="right"),
        )
        == ["written"] * 7
    )
    told = {fact["kind"]: fact for fact in taken(park)["told"]}
    assert len(taken(park)["told"]) == len(told) == 6
    began = told["round_started"]
    assert (began["round"], began["by"]) == (str(phone.round), park.actors.oswin)
    sighting = told["sighting"]
    assert {
        key: sighting[key] for key in ("id", "bird", "how", "reading", "group", "position", "place", "by")
    } == {
        "id": seen["id"],
        "bird": park["Samphire"],
        "how": "by reading",
        "reading": read,
        "group": group,
        "position": 1,
        "place": park.north_spit,
        "by": park.actors.oswin,
    }
    assert (told["group"]["size"], told["group"]["flew"]) == (3, True)
    assert told["withdrawn"]["corrects"] == wrong["id"]
    assert (told["concern"]["seen"], told["concern"]["side"]) == (["lame"], "right")
    assert (told["count"]["counted"], told["count"]["lookalike"]) == (4, "avocet")


def test_a_phone_that_comes_late_is_told_all_of_the_closed_call(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.oswin)
    phone.send(phone.started(), phone.count("avocet", 4), phone.sighting("Kelp"), phone.closed())
    told = {fact["kind"]: fact for fact in taken(park)["told"]}
    assert list(told) == ["round_started", "count", "sighting", "round_closed"]
    assert (told["round_closed"]["round"], told["round_closed"]["by"]) == (
        str(phone.round),
        park.actors.oswin,
    )
    assert (told["sighting"]["bird"], told["count"]["counted"]) == (park["Kelp"], 4)


def test_of_yesterdays_calls_a_phone_is_told_how_they_went_and_no_names(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.oswin)
    phone.minutes = -24 * 60
    gave_up = {"round": str(phone.round), "exhibit": park.shingle, "because": "shut in", "lookalike": "ruff"}
    phone.send(
        phone.started(), phone.sighting("Kelp"), phone.fact("round_not_done", **gave_up), phone.closed()
    )
    told = taken(park)["told"]
    assert [fact["kind"] for fact in told] == ["round_started", "round_not_done", "round_closed"]
    assert (told[1]["because"], told[1]["lookalike"]) == ("shut in", "ruff")


def test_an_undone_undo_reaches_the_phone_that_holds_the_sighting(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.oswin)
    kelp = phone.sighting("Kelp")
    undone = phone.fact("withdrawn", corrects=kelp["id"], because="undone on the phone")
    again = phone.fact("withdrawn", corrects=undone["id"], because="undone on the phone")
    phone.send(phone.started(), kelp, undone, again)
    told = taken(park)["told"]
    assert [fact["id"] for fact in told if fact["kind"] == "withdrawn"] == [undone["id"], again["id"]]
    assert [fact["id"] for fact in told if fact["kind"] == "sighting"] == [kelp["id"]]


def test_at_dawn_a_bird_seen_last_evening_has_missed_no_day(park: Wendlebrook) -> None:
    evening = Phone(park, park.actors.tilda)
    evening.minutes = -14 * 60  # 17:00 the day before, at the park
    evening.send(evening.started(), evening.sighting("Kelp"), evening.closed())
    at_dawn = bird_in(taken(park, SEVEN), "Kelp")
    assert (at_dawn["unseen_days"], at_dawn["advice"]) == (0, "present")
    assert at_dawn["last_seen"]["how"] == "by sight"
    missed = Phone(park, park.actors.tilda)
    missed.send(missed.started(), missed.sighting("Sedge"), missed.closed())
    after = bird_in(taken(park), "Kelp")
    assert after["unseen_days"] == 1
    assert after["still_here"] < at_dawn["still_here"]


def test_a_bird_at_its_species_limit_is_search_whatever_the_model_says(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.tilda)
    phone.send(phone.started(), phone.sighting("Kelp"), phone.closed())
    limit = rows.Species.objects.get(pk=park.avocet).max_unseen_days
    before, at = (bird_in(taken(park, LATER + timedelta(days=n)), "Kelp") for n in (limit, limit + 1))
    assert (before["unseen_days"], before["advice"]) == (limit - 1, "present")
    assert (at["unseen_days"], at["advice"]) == (limit, "search")
    assert at["still_here"] > 0.99


def test_usual_places_are_shares_of_the_sightings_with_a_place(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.tilda)
    spots = [park.north_spit, park.north_spit, park.south_pool, None, park.north_spit]
    phone.send(phone.started(), *(phone.sighting("Kelp", place=place) for place in spots))
    assert bird_in(taken(park), "Kelp")["places"] == {str(park.north_spit): 0.75, str(park.south_pool): 0.25}


def test_on_shared_phones_everybody_who_records_is_named_otherwise_oneself(park: Wendlebrook) -> None:
    assert [one["name"] for one in taken(park)["people"]] == ["Tilda"], "phones are not shared unasked"
    rows.Park.objects.update(shared_phones=True)
    names = [one["name"] for one in taken(park)["people"]]
    assert "Tilda" in names
    assert "Oswin" in names
    assert "Pia" not in names
    rows.Park.objects.update(shared_phones=False)
    assert [one["name"] for one in taken(park)["people"]] == ["Tilda"]


def test_the_version_is_the_same_for_the_same_flock_and_another_after_a_change(park: Wendlebrook) -> None:
    by = park.actors.tilda
    first, again = pack_of(park.shingle, by, LATER), pack_of(park.shingle, by, LATER + timedelta(minutes=5))
    assert first.version == again.version
    rows.Bird.objects.filter(pk=park["Kelp"]).update(house_name="Kelpie")
    assert pack_of(park.shingle, by, LATER).version != first.version


def test_a_pack_with_what_its_person_changed_of_themselves_is_not_the_one_that_a_phone_holds(
    park: Wendlebrook,
) -> None:
    by = park.actors.tilda
    first = pack_of(park.shingle, by, LATER)
    rows.Person.objects.filter(pk=by).update(shares_practice=True)
    shares = pack_of(park.shingle, by, LATER)
    assert (shares.document["person"]["shares_practice"], shares.version != first.version) == (True, True)
    rows.Person.objects.filter(pk=by).update(role="viewer")
    assert pack_of(park.shingle, by, LATER).version != shares.version


def test_an_exhibit_that_the_register_has_not_is_refused_in_one_sentence(park: Wendlebrook) -> None:
    with pytest.raises(NoSuchExhibit, match="no exhibit 999 is in this register; choose one on Today"):
        pack_of(999, park.actors.tilda, LATER)


def test_the_readers_table_is_given_in_full_and_the_rest_is_the_right_colour(park: Wendlebrook) -> None:
    birds = flock_of(park.shingle, DAY)
    reader, expected = taken(park)["reader"], observers_of(park.actors.tilda, birds, DAY).person
    assert reader["swap"] == expected.swap
    assert reader["confusion"]["yellow"]["lime"] == expected.band_chance("lime", "yellow")
    assert "yellow" not in reader["confusion"]["yellow"]
    assert set(reader["confusion"]) == set(expected.words) - {"metal"}


def test_a_colour_that_fades_is_confused_as_it_looks_by_now(park: Wendlebrook) -> None:
    """Red goes to peach: worn half that long it looks half that way, and is taken for orange more often."""
    before = observers_of(park.actors.tilda, flock_of(park.shingle, DAY), DAY).person
    rows.Colour.objects.filter(name="red").update(faded_hex="#f2b48c", fades_in_years=0.5)
    birds = flock_of(park.shingle, DAY)
    after = observers_of(park.actors.tilda, birds, DAY).person

    def taken_for_orange(eyes: Misreading) -> float:
        return eyes.band_chance("orange", "red")

    assert taken_for_orange(after) > 2 * taken_for_orange(before)
    assert after.band_chance("red", "orange") != taken_for_orange(after)
    assert after.band_chance("blue", "green") == pytest.approx(before.band_chance("blue", "green"), rel=0.5)


def test_an_untrained_reader_errs_more_and_deficient_eyes_confuse_other_colours(park: Wendlebrook) -> None:
    birds = flock_of(park.shingle, DAY)
    rows.Person.objects.filter(pk=park.actors.oswin).update(reads_as="untrained")
    rows.Person.objects.filter(pk=park.actors.maren).update(colour_vision="deutan", vision_severity=1.0)
    usual, untrained, deutan = (
        observers_of(who, birds, DAY).person
        for who in (park.actors.tilda, park.actors.oswin, park.actors.maren)
    )
    assert untrained.swap > usual.swap
    assert untrained == observers_of(park.actors.tilda, birds, DAY).untrained
    assert deutan.band_chance("green", "red") > 5 * usual.band_chance("green", "red")


def test_a_carcase_without_bands_lowers_what_a_count_should_find(park: Wendlebrook) -> None:
    species = rows.Species.objects.get(pk=park.avocet)
    rows.Death.objects.create(
        species=species,
        exhibit_id=park.shingle,
        happened_at=MORNING,
        found_by="Tilda",
        recorded_by_id=park.actors.tilda,
    )
    avocets = taken(park)["flocks"][0]
    assert (avocets["counted"], avocets["carcases"], len(avocets["birds"])) == (4, 1, 5)


def test_a_kept_pack_is_sent_as_of_now_so_that_a_phone_counts_nothing_twice(park: Wendlebrook) -> None:
    sent = json.loads(
        pack_sent(park.shingle, park.actors.tilda, LATER).made_at(LATER + timedelta(seconds=40))
    )
    assert datetime.fromisoformat(sent.pop("made_at")) == LATER + timedelta(seconds=40)
    assert sent == {key: told for key, told in taken(park).items() if key != "made_at"}
