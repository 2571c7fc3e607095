"""Every deed goes through one door: written once, told with its person, taken back by a later one."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from phones import SEVEN, Phone
from tarsus.actions.facts import Answer, hear_facts
from tarsus.core.deeds.register import DEEDS
from tarsus.queries.bird_events import events_of
from tarsus.queries.duties import duties_of_park
from tarsus.queries.flock import sexes_of, whereabouts_of
from tarsus.queries.marks import bands_of
from tarsus.records import models as rows
from unit.deeds.test_rights import by_hand
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db


class Teller:
    """Somebody who tells deeds, each at its own minute."""

    def __init__(self, park: Wendlebrook) -> None:
        self.park = park

    def tell(self, by: str, kind: str, **said: Any) -> Answer:
        person = getattr(self.park.actors, by)
        fact = {"id": str(uuid4()), "kind": kind, "at": SEVEN.isoformat(), "by": person, **said}
        (answer,) = hear_facts(facts=[fact], clock=None, device="", speaker=person)
        (again,) = hear_facts(facts=[fact], clock=None, device="", speaker=person)
        assert again.outcome == ("refused" if answer.outcome == "refused" else "known")
        return answer

    def done(self, by: str, kind: str, **said: Any) -> Answer:
        answer = self.tell(by, kind, **said)
        assert answer.outcome == "written", answer.reason
        return answer


@pytest.fixture
def says(park: Wendlebrook) -> Teller:
    return Teller(park)


def told_of(park: Wendlebrook, name: str) -> list[str]:
    """The lines of a bird's history with who stands behind them."""
    return [f"{event.text} ({event.who})" for event in events_of(park[name])]


def test_the_vet_releases_a_newcomer_and_nobody_else_does(says: Teller, park: Wendlebrook) -> None:
    kelp = park["Kelp"]
    for other in ("tilda", "maren", "corin", "dunstan"):
        refused = says.tell(other, "quarantine_released", bird=kelp)
        assert refused.reason == "kind: 'quarantine_released' is for the vet; ask one of them"
    says.done("ilse", "quarantine_released", bird=kelp, note="swabs clear")
    assert "Released from quarantine: swabs clear. (Ilse)" in told_of(park, "Kelp")


def test_quarantine_cannot_be_walked_around(says: Teller, park: Wendlebrook) -> None:
    kelp, rush = park["Kelp"], _elsewhere(park)
    straight = says.done("corin", "arrival", bird=rush, came_from="Marsh Park", exhibit=park.reed)
    assert straight.said == (), "this park has no quarantine"
    says.done("corin", "withdrawn", corrects=straight.id, because="not there yet")
    house = rows.Exhibit.objects.create(name="Newcomers", purpose="quarantine").pk
    says.done("maren", "marks_kept", bird=kelp, marks={"left leg": ["lime"]}, because="too alike")
    says.done("tilda", "moved", came=[kelp], to_exhibit=house)
    for who in ("tilda", "corin"):
        refused = says.tell(who, "moved", came=[kelp], to_exhibit=park.reed)
        assert (refused.place, refused.outcome) == ("came", "refused")
        assert refused.reason.startswith(
            "came: Kelp is in quarantine and the vet had not released it by then"
        )
    asked = says.tell("ilse", "quarantine_released", bird=kelp)
    assert (asked.place, asked.outcome) == ("without_marks", "refused")
    released = says.done("ilse", "quarantine_released", bird=kelp, without_marks=True)
    assert [line[:48] for line in released.said] == ["kept for Kelp and not fitted yet: lime on the le"]
    says.done("tilda", "moved", came=[kelp], to_exhibit=park.reed)
    (warned,) = says.done("corin", "arrival", bird=rush, came_from="Marsh Park", exhibit=park.reed).said
    assert warned.startswith("Rush came straight to Reed")
    assert warned.endswith("ask the vet whether that may be, or move it to Newcomers")


def test_a_death_its_post_mortem_and_the_way_back(says: Teller, park: Wendlebrook) -> None:
    dead = says.done("tilda", "death", bird=park["Kelp"], exhibit=park.shingle, found_by="Tilda")
    says.done("ilse", "post_mortem", death=dead.id, answer="aspergillosis")
    assert "Post-mortem: aspergillosis (Ilse)" in told_of(park, "Kelp")
    refused = says.tell("tilda", "weighed", bird=park["Kelp"], weight_g=300, where="on the roof")
    assert refused.place == "where"
    says.done("corin", "withdrawn", corrects=dead.id, because="it was Marram")
    stay = rows.Stay.objects.get(bird=park["Kelp"], to_on__isnull=True)
    assert stay.exhibit_id == park.shingle


def test_a_carcase_that_was_named_later_is_in_the_birds_history_with_its_examination(
    says: Teller, park: Wendlebrook
) -> None:
    dead = says.done("tilda", "death", species=park.avocet, exhibit=park.shingle, found_by="Tilda")
    says.done("ilse", "post_mortem", death=dead.id, answer="aspergillosis", by_whom="the laboratory")
    assert "Post-mortem: aspergillosis (the laboratory) (Ilse)" not in told_of(park, "Kelp")
    named = says.done("tilda", "carcase_named", death=dead.id, bird=park["Kelp"], because="its transponder")
    told = told_of(park, "Kelp")
    assert "Found dead by Tilda. (Tilda)" in told
    assert told.count("Post-mortem: aspergillosis (the laboratory) (Ilse)") == 1
    duties = [duty.kind for duty in duties_of_park(timezone.now())]
    assert "which bird died" not in duties
    says.done("tilda", "withdrawn", corrects=named.id, because="it was Sedge's number")
    assert "Found dead by Tilda. (Tilda)" not in told_of(park, "Kelp")
    assert "which bird died" in [duty.kind for duty in duties_of_park(timezone.now())], "open once more"


def test_a_wrong_weight_is_corrected_and_the_history_shows_what_it_was(
    says: Teller, park: Wendlebrook
) -> None:
    kelp = park["Kelp"]
    wrong = says.done("tilda", "weighed", bird=kelp, weight_g=392, where="perch scale")
    says.done(
        "maren",
        "weighed",
        bird=kelp,
        weight_g=329,
        where="perch scale",
        corrects=wrong.id,
        why_corrected="digits exchanged",
    )
    (line,) = [event for event in events_of(kelp) if event.deed == "weighed"]
    assert (line.text, line.who) == ("Weighed 329 g, it walked onto the scale.", "Maren")
    assert line.where_from.before == "Weighed 392 g, it walked onto the scale."
    assert line.where_from.why_corrected == "digits exchanged"
    assert rows.Weighing.objects.count() == 2, "nothing is overwritten"


def test_a_wrong_move_is_put_right_by_another(says: Teller, park: Wendlebrook) -> None:
    move = says.done("tilda", "moved", came=[park["Kelp"]], to_exhibit=park.reed, because="quieter")
    right = {"came": [park["Sedge"]], "corrects": move.id, "why_corrected": "it was Sedge"}
    says.done("tilda", "moved", to_exhibit=park.reed, **right)
    living = dict(rows.Stay.objects.filter(to_on=None, taken_back_at=None).values_list("bird", "exhibit"))
    assert (living[park["Kelp"]], living[park["Sedge"]]) == (park.shingle, park.reed)


def test_what_is_not_ones_own_deed_is_not_ones_own_to_take_back(says: Teller, park: Wendlebrook) -> None:
    released = says.done("ilse", "quarantine_released", bird=park["Kelp"])
    refused = says.tell("tilda", "withdrawn", corrects=released.id, because="no")
    assert refused.reason.startswith("kind: 'quarantine_released' is for the vet")
    says.done("ilse", "withdrawn", corrects=released.id, because="the wrong cage")
    (line,) = [event for event in events_of(park["Kelp"]) if event.deed == "quarantine_released"]
    assert (line.where_from.taken_back_by, line.where_from.taken_back_because) == ("Ilse", "the wrong cage")


def test_a_band_fitted_and_taken_back_and_one_taken_off_by_mistake(says: Teller, park: Wendlebrook) -> None:
    dock = park["Dock"]
    fitted = says.done("maren", "band_on", bird=dock, site="left leg", what="metal", engraving="WB 5")
    assert [band.word for band in bands_of([dock], DAY)[dock]].count("metal") == 1
    says.done("maren", "withdrawn", corrects=fitted.id, because="it was Teasel")
    assert [band.word for band in bands_of([dock], DAY)[dock]].count("metal") == 0
    lime = rows.Band.objects.get(bird=dock, colour__name="lime")
    off = says.done("corin", "band_off", band=lime.pk, why="lost")
    lime.refresh_from_db()
    assert lime.why_off == "lost"
    says.done("corin", "withdrawn", corrects=off.id, because="mud, it is there")
    lime.refresh_from_db()
    assert (lime.to_on, lime.why_off) == (None, "")


def test_a_mistaken_handling_takes_all_of_it_back(says: Teller, park: Wendlebrook) -> None:
    dock = park["Dock"]
    white = rows.Band.objects.get(bird=dock, colour__name="white")
    handled = says.done(
        "tilda",
        "handling",
        bird=dock,
        why="banding",
        weight_g=120,
        bands=[{"band": white.pk, "conditions": ["faded"]}],
        taken_off=[{"band": white.pk, "why": "replaced"}],
        put_on=[{"site": "right leg", "kind": "colour", "colour": "red"}],
        tell_vet=True,
    )
    says.done("tilda", "withdrawn", corrects=handled.id, because="another bird")
    assert [band.word for band in bands_of([dock], DAY)[dock]] == ["lime", "white"]
    from tarsus.records.standing import standing

    assert not standing(rows.Weighing.objects.all()).exists()
    assert not standing(rows.BandCheck.objects.all()).exists()
    assert not rows.Case.objects.filter(closed_at__isnull=True).exists()


def test_a_chick_becomes_a_bird_through_the_door(says: Teller, park: Wendlebrook) -> None:
    pair = says.done("tilda", "pair_formed", one=park["Samphire"], other=park["Kelp"])
    nest = says.done(
        "tilda", "nest_begun", exhibit=park.shingle, name="spit", species=park.avocet, pair=pair.wrote["pair"]
    )
    nest_id = nest.wrote["nest"]
    says.done("tilda", "nest_event", nest=nest_id, event="eggs", amount=3)
    chick = says.done("tilda", "bird_from_nest", nest=nest_id, house_name="Glasswort")
    bird = rows.Bird.objects.get(pk=chick.wrote["bird"])
    assert (bird.dam_id, bird.sire_id, bird.house_name) == (park["Samphire"], park["Kelp"], "Glasswort")
    assert events_of(bird.pk)[0].who == "Tilda"


def test_everything_that_was_faceless_can_be_said(says: Teller, park: Wendlebrook) -> None:
    kelp, marram = park["Kelp"], park["Marram"]
    case = says.done("tilda", "case_opened", birds=[kelp, marram], about="fluffed").wrote["case"]
    says.done("ilse", "case_note", case=case, text="watch it feed", see_again_on="2026-06-14")
    assert says.tell("tilda", "case_closed", case=case, because="well").outcome == "refused"
    closed = says.done("ilse", "case_closed", case=case, because="well again")
    says.done("ilse", "withdrawn", corrects=closed.id, because="not yet")
    assert rows.Case.objects.get(pk=case).closed_at is None
    says.done("corin", "transponder_given", bird=kelp, number="978 000 0123")
    mark = says.done("tilda", "natural_mark", bird=kelp, text="nick in the bill").wrote["mark"]
    says.done("tilda", "natural_mark_reviewed", mark=mark, still_there=True, next_on="2027-06-01")
    says.done("tilda", "whereabouts", bird=marram, state="missing")
    assert whereabouts_of([marram], DAY) == {marram: "missing"}
    says.done("tilda", "whereabouts", bird=marram, state="found again")
    says.done(
        "maren", "stock_changed", what="colour", colour="lime", size="A", by_amount=40, because="delivery"
    )
    says.done("corin", "metal_series_added", series="WB", first=1, last=99, size="4")
    says.done("corin", "owner_changed", bird=kelp, owner="Marsh Park")
    new = says.done("corin", "bird_added", species=park.ruff, house_name="Reeve", exhibit=park.reed)
    says.done("corin", "arrival", bird=_elsewhere(park), came_from="Marsh Park", exhibit=park.reed)
    says.done("corin", "departure", bird=new.wrote["bird"], went_to="Marsh Park", stays_ours=True)
    test = says.done("tilda", "sex_sample", bird=park["Dock"], sample="feather", label="T-1")
    says.done("corin", "sex_finding", bird=park["Dock"], sex="F", known_by="DNA", test=test.id)
    assert sexes_of([park["Dock"]], DAY)[park["Dock"]][0] == "F"
    found = says.done("tilda", "band_found", exhibit=park.shingle, what="colour", colour="green")
    green = rows.Band.objects.filter(bird=kelp, colour__name="green").get()
    says.done("tilda", "band_owner_named", found=found.id, band=green.pk, because="it is bare there")
    kept = rows.ToldDeed.objects.values_list("kind", flat=True)
    assert set(kept) <= DEEDS.keys()
    assert all(event.who for event in events_of(kelp)), "a person stands on every line"


def _elsewhere(park: Wendlebrook) -> int:
    """A bird that is known here and lives nowhere."""
    return rows.Bird.objects.create(
        species_id=park.ruff, house_name="Rush", recorded_by_id=park.actors.corin
    ).pk


def test_a_shared_phone_speaks_for_keepers_and_for_keepers_only(park: Wendlebrook) -> None:
    tilda = Phone(park, park.actors.tilda)
    seen = tilda.sighting("Kelp", round=None)
    for other in ("maren", "ilse", "corin", "dunstan"):
        (told,) = tilda.send({**seen, "id": str(uuid4()), "by": getattr(park.actors, other)})
        assert told.endswith("sign in as that person")
    tilda.handed_to(park.actors.oswin)
    tilda.handed_to(park.actors.ilse)
    assert tilda.send({**seen, "by": park.actors.oswin}) == ["written"]
    (told,) = tilda.send({**seen, "id": str(uuid4()), "by": park.actors.ilse})
    assert told.endswith("sign in as that person"), "the vet speaks in a session of her own only"
    ilse = Phone(park, park.actors.ilse)
    (told,) = ilse.send({**seen, "id": str(uuid4()), "by": park.actors.tilda})
    assert told.endswith("sign in as that person"), "nor does the vet's session speak for a keeper"


def test_the_history_says_from_whose_session_a_line_was_sent(park: Wendlebrook) -> None:
    tilda = Phone(park, park.actors.tilda)
    weighed = tilda.fact("weighed", bird=park["Kelp"], weight_g=310, where="perch scale")
    tilda.handed_to(park.actors.oswin)
    assert tilda.send({**weighed, "by": park.actors.oswin}) == ["written"]
    (line,) = [event for event in events_of(park["Kelp"]) if event.deed == "weighed"]
    assert (line.who, line.where_from.sent_by) == ("Oswin", "Tilda")


HOSTILE: tuple[Any, ...] = (
    {"text": "x" * 5000},
    {"text": "a\x00b"},
    {"text": "\ud800"},
    {"bird": 10**400},
    {"bird": {"a": [1] * 50}},
    {"at": "0001-01-01T00:00:00+00:00"},
    {"at": "9999-12-31T23:59:59+00:00"},
    {"by": 10**30},
    {"id": "9" * 400},
    {"kind": ["note"]},
    {"corrects": "nobody"},
    {"why_corrected": "x" * 301, "corrects": str(uuid4())},
)


@pytest.mark.parametrize("wrong", HOSTILE, ids=[str(sorted(one)) + str(n) for n, one in enumerate(HOSTILE)])
def test_around_a_hostile_fact_fifty_good_ones_are_written(park: Wendlebrook, wrong: dict[str, Any]) -> None:
    tilda = Phone(park, park.actors.tilda)
    good = [tilda.fact("note", bird=park["Kelp"], text=f"note {n}") for n in range(50)]
    bad = {**tilda.fact("note", bird=park["Kelp"], text="fine"), **wrong}
    answers = hear_facts(facts=[*good[:25], bad, *good[25:]], clock=None, device="p", speaker=tilda.by)
    outcomes = [answer.outcome for answer in answers]
    assert outcomes[:25] + outcomes[26:] == ["written"] * 50
    assert outcomes[25] == "refused"
    assert "fault" not in answers[25].reason, "it is refused by its declaration, not by an error"
    assert rows.Note.objects.count() == 50


@pytest.mark.parametrize("who", ["pia", "tilda", "maren", "ilse", "corin", "dunstan"])
def test_the_door_lets_in_whom_the_table_written_by_hand_lets_in(park: Wendlebrook, who: str) -> None:
    person = getattr(park.actors, who)
    column = ("pia", "tilda", "maren", "ilse", "corin", "dunstan").index(who)
    facts = [{"id": str(uuid4()), "kind": kind, "at": SEVEN.isoformat(), "by": person} for kind in DEEDS]
    answers = hear_facts(facts=facts, clock=None, device="", speaker=person)
    shut = {
        fact["kind"]
        for fact, answer in zip(facts, answers, strict=True)
        if answer.outcome == "refused" and answer.place in ("by", "kind")
    }
    assert shut == {name for name, marks in by_hand().items() if not marks[column]}


def test_the_metal_number_of_a_bird_that_died_or_left_is_never_given_again(
    says: Teller, park: Wendlebrook
) -> None:
    number = rows.Band.objects.get(bird=park["Kelp"], kind="metal").engraving
    says.done("tilda", "death", bird=park["Kelp"], exhibit=park.shingle, found_by="Tilda")
    band = rows.Band.objects.get(bird=park["Kelp"], kind="metal").pk
    says.done("corin", "band_off", band=band, why="left the collection")
    refused = says.tell(
        "corin", "band_on", bird=park["Dock"], site="left leg", what="metal", engraving=number.lower()
    )
    assert refused.outcome == "refused"
    assert "Kelp" in refused.reason
