"""What a withdrawal puts right, deed by deed: only what followed from it, and never what came since."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import uuid4

import pytest

from deeds.test_door import Teller, says
from phones import SEVEN
from tarsus.actions.hearing.taking_back import earlier_deed, id_of_correction, withdraw
from tarsus.actions.refusals import UnknownFact
from tarsus.actions.telling import Told
from tarsus.core.errors import MalformedInput
from tarsus.core.rounds.call import OnRoll
from tarsus.queries.marks import marks_on
from tarsus.queries.rounds import roll_call
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]


def back(says: Teller, who: str, fact: str, because: str = " it was Marram ") -> Any:
    return says.done(who, "withdrawn", corrects=fact, because=because)


def taken_back(row: Any) -> tuple[int | None, str, bool]:
    row.refresh_from_db()
    return row.taken_back_by_id, row.taken_back_because, row.taken_back_at is not None


def goes_on(row: Any) -> bool:
    row.refresh_from_db()
    return (row.to_on, row.ended_by_id, row.ended_at) == (None, None, None)


@pytest.mark.parametrize(
    ("kind", "who", "said", "table"),
    [
        ("transponder_given", "maren", {"number": "978"}, rows.Transponder),
        ("natural_mark", "tilda", {"text": "nick"}, rows.NaturalMark),
        ("not_looked_for", "tilda", {"why": "moult"}, rows.NotLookedFor),
    ],
)
def test_what_a_deed_began_stays_readable_with_who_took_it_back_and_why(
    says: Teller, park: Wendlebrook, kind: str, who: str, said: dict[str, Any], table: Any
) -> None:
    begun = says.done(who, kind, bird=park["Kelp"], **said)
    other = says.done(
        who, kind, bird=park["Sedge"], **{**said, **({"number": "979"} if "number" in said else {})}
    )
    withdrawn = back(says, who, begun.id)
    row = table.objects.get(deed=begun.id)
    assert taken_back(row) == (getattr(park.actors, who), "it was Marram", True)
    assert table.objects.get(deed=other.id).taken_back_at is None
    kept = rows.Withdrawal.objects.get()
    assert (str(kept.withdraws), kept.kind, kept.because) == (begun.id, kind, "it was Marram")
    again = says.tell(who, "withdrawn", corrects=withdrawn.id, because="no, it was Kelp")
    assert again.reason == "corrects: is itself a withdrawal; record the fact again under a new id"


def test_a_pair_that_was_found_is_not_taken_back_by_who_found_it(says: Teller, park: Wendlebrook) -> None:
    two = {"one": park["Kelp"], "other": park["Samphire"]}
    first, found = says.done("tilda", "pair_formed", **two), says.done("tilda", "pair_formed", **two)
    refused = says.tell("tilda", "withdrawn", corrects=found.id, because="no pair")
    assert refused.reason == "corrects: it found what was written before; take that back instead"
    back(says, "tilda", first.id)
    assert taken_back(rows.Pair.objects.get())[0] == park.actors.tilda


def test_what_a_deed_ended_goes_on(says: Teller, park: Wendlebrook) -> None:
    pair = says.done("tilda", "pair_formed", one=park["Kelp"], other=park["Samphire"]).wrote["pair"]
    parted = says.done("tilda", "pair_parted", pair=pair, why="quarrels")
    row = rows.Pair.objects.get(pk=pair)
    assert (row.to_on, row.why_ended, row.ended_by_id) == (DAY, "quarrels", park.actors.tilda)
    back(says, "tilda", parted.id)
    assert goes_on(row)
    assert row.why_ended == ""
    spell = says.done("tilda", "not_looked_for", bird=park["Dock"], why="moult")
    again = says.done("tilda", "looked_for_again", spell=spell.wrote["spell"])
    kept = rows.NotLookedFor.objects.get()
    assert kept.to_on == DAY
    back(says, "tilda", again.id)
    assert goes_on(kept)
    nest = {"exhibit": park.shingle, "name": "spit", "species": park.avocet}
    begun = says.done("tilda", "nest_begun", **nest)
    ended = says.done("tilda", "nest_ended", nest=begun.wrote["nest"])
    back(says, "tilda", ended.id)
    assert goes_on(rows.Nest.objects.get())


def test_what_was_taken_back_since_does_not_go_on(says: Teller, park: Wendlebrook) -> None:
    spell = says.done("tilda", "not_looked_for", bird=park["Dock"], why="moult")
    again = says.done("tilda", "looked_for_again", spell=spell.wrote["spell"])
    back(says, "tilda", spell.id)
    refused = says.tell("tilda", "withdrawn", corrects=again.id, because="x")
    assert refused.reason == "corrects: what it ended was taken back since; there is nothing to go on"


def test_a_look_at_a_mark_that_was_a_mistake_leaves_it_as_it_was_before(
    says: Teller, park: Wendlebrook
) -> None:
    told = {"bird": park["Kelp"], "text": "nick", "review_on": "2026-09-01"}
    mark = says.done("tilda", "natural_mark", **told).wrote["mark"]
    row = rows.NaturalMark.objects.get(pk=mark)
    look = says.done("tilda", "natural_mark_reviewed", mark=mark, still_there=True, next_on="2027-01-01")
    row.refresh_from_db()
    assert row.review_on == date(2027, 1, 1)
    later = says.done("tilda", "natural_mark_reviewed", mark=mark, still_there=True, next_on="2027-05-01")
    back(says, "tilda", look.id)
    row.refresh_from_db()
    assert row.review_on == date(2027, 5, 1), "a later look has the later word"
    back(says, "tilda", later.id)
    row.refresh_from_db()
    assert row.review_on == date(2027, 1, 1)
    gone = says.done("tilda", "natural_mark_reviewed", mark=mark, still_there=False)
    row.refresh_from_db()
    assert (row.to_on, row.ended_by_id) == (DAY, park.actors.tilda)
    assert says.tell("tilda", "natural_mark_reviewed", mark=mark, still_there=True).reason == (
        "mark: it is gone since 2026-06-11; write down a new one"
    )
    back(says, "tilda", gone.id)
    assert goes_on(row)


def test_a_band_taken_off_by_mistake_is_worn_on(says: Teller, park: Wendlebrook) -> None:
    metal = park.metals["Kelp"]
    off = says.done("maren", "band_off", band=metal, why="lost", note="gone")
    row = rows.Band.objects.get(pk=metal)
    assert (row.to_on, row.why_off, row.note, row.ended_by_id) == (DAY, "lost", "gone", park.actors.maren)
    back(says, "maren", off.id)
    assert goes_on(row)
    assert row.why_off == ""


def test_whose_a_found_band_was_can_be_a_mistake(says: Teller, park: Wendlebrook) -> None:
    metal = park.metals["Kelp"]
    found = says.done("tilda", "band_found", exhibit=park.shingle, what="metal")
    named = says.done("maren", "band_owner_named", found=found.id, band=metal, because="its number")
    row = rows.Band.objects.get(pk=metal)
    assert (row.to_on, row.why_off) == (DAY, "lost")
    back(says, "maren", named.id)
    assert goes_on(row)
    assert marks_on(park["Kelp"], DAY).at("right tibia") == ("metal",)


def test_a_case_closed_by_mistake_is_open_again_and_one_opened_by_mistake_is_closed(
    says: Teller, park: Wendlebrook
) -> None:
    opened = says.done("tilda", "case_opened", birds=[park["Kelp"]], about="lame")
    case = rows.Case.objects.get()
    assert (case.opened_by_id, case.opened_at, case.about) == (park.actors.tilda, SEVEN, "lame")
    closed = says.done("ilse", "case_closed", case=case.pk, because="walks well")
    case.refresh_from_db()
    assert (case.closed_by_id, case.closed_because) == (park.actors.ilse, "walks well")
    back(says, "ilse", closed.id)
    case.refresh_from_db()
    assert (case.closed_at, case.closed_by_id, case.closed_because) == (None, None, "")
    back(says, "tilda", opened.id)
    case.refresh_from_db()
    assert case.closed_at is not None
    assert (case.closed_by_id, case.closed_because) == (park.actors.tilda, "a mistake: it was Marram")


def test_a_case_that_the_vet_closed_keeps_its_reason_when_its_opening_was_a_mistake(
    says: Teller, park: Wendlebrook
) -> None:
    opened = says.done("tilda", "case_opened", birds=[park["Kelp"]], about="lame")
    says.done("ilse", "case_closed", case=opened.wrote["case"], because="walks well")
    back(says, "tilda", opened.id)
    case = rows.Case.objects.get()
    assert (case.closed_by_id, case.closed_because) == (park.actors.ilse, "walks well")


def test_a_concern_that_was_a_mistake_takes_its_case_with_it(says: Teller, park: Wendlebrook) -> None:
    told = {"birds": [park["Kelp"]], "seen": ["lame", "thin"], "side": "left", "tell_vet": True}
    wrong = says.done("tilda", "concern", **told)
    case = rows.Case.objects.get()
    assert (case.about, str(case.concern_id)) == ("lame, thin", wrong.id)
    back(says, "tilda", wrong.id)
    case.refresh_from_db()
    assert (case.closed_by_id, case.closed_because) == (park.actors.tilda, "a mistake: it was Marram")
    quiet = says.done("tilda", "concern", birds=[park["Kelp"]], seen=[], note=" sits low ")
    assert rows.Case.objects.count() == 1, "the vet is told only where that was said"
    kept = rows.Concern.objects.get(pk=quiet.id)
    assert (kept.note, kept.seen, kept.tell_vet) == ("sits low", [], False)
    says.done("tilda", "concern", birds=[park["Kelp"]], seen=[], note="sits low", tell_vet=True)
    assert rows.Case.objects.latest("pk").about == "sits low"


def test_a_catch_up_kept_by_mistake_is_dropped_and_one_signed_off_goes_on(
    says: Teller, park: Wendlebrook
) -> None:
    plan = {"exhibit": park.shingle, "birds": [{"bird": park["Kelp"], "why": ["weigh"]}]}
    wrong = says.done("maren", "catch_up_kept", **plan, planned_for="2026-06-12")
    back(says, "maren", wrong.id)
    assert rows.CatchUp.objects.get(pk=wrong.wrote["catch_up"]).dropped_at is not None
    right = says.done("maren", "catch_up_kept", **plan, planned_for="2026-06-13").wrote["catch_up"]
    hid = {"bird": park["Kelp"], "outcome": "not caught", "because": "it hid"}
    says.done("tilda", "not_handled", catch_up=right, **hid)
    finished = says.done("maren", "catch_up_finished", catch_up=right)
    back(says, "maren", finished.id)
    row = rows.CatchUp.objects.get(pk=right)
    assert (row.done_at, row.dropped_at) == (None, None)


def test_what_is_final_says_what_to_do_instead(says: Teller, park: Wendlebrook) -> None:
    saved = says.done("maren", "exhibit_saved", name="Fen", purpose="display")
    refused = says.tell("maren", "withdrawn", corrects=saved.id, because="x")
    assert refused.reason.startswith("corrects: cannot be taken back; ")
    changed = says.done("corin", "bird_changed", bird=park["Kelp"], house_name="Wrack")
    refused = says.tell("corin", "withdrawn", corrects=changed.id, because="x")
    assert refused.reason == "corrects: cannot be taken back; write what is right; what it was stays readable"


def test_a_withdrawal_says_why_and_names_a_fact(park: Wendlebrook) -> None:
    told = Told(by=park.actors.tilda, at=SEVEN)
    with pytest.raises(MalformedInput, match="because: is empty; say why it was a mistake"):
        withdraw(told=told, fact_id=uuid4(), because="  ")
    nothing = uuid4()
    with pytest.raises(UnknownFact, match=f"corrects: no fact {nothing} is known here; send it first"):
        withdraw(told=told, fact_id=nothing, because="x")
    with pytest.raises(UnknownFact, match="question: no fact"):
        earlier_deed(nothing, "question")


def test_a_fact_of_before_the_ledger_is_known_by_the_table_it_stands_in(park: Wendlebrook) -> None:
    weight = rows.Weighing.objects.create(
        id=uuid4(),
        bird_id=park["Kelp"],
        weight_g=300,
        where="in hand",
        recorded_by_id=park.actors.tilda,
        happened_at=SEVEN,
    )
    earlier = earlier_deed(weight.pk)
    assert (earlier.id, earlier.kind, earlier.contents, earlier.wrote) == (weight.pk, "weighed", {}, {})
    assert withdraw(told=Told(by=park.actors.tilda, at=SEVEN), fact_id=weight.pk, because="Sedge")
    kept = rows.Withdrawal.objects.get()
    assert (kept.withdraws, kept.kind, kept.recorded_by_id) == (weight.pk, "weighed", park.actors.tilda)


def test_a_correction_takes_the_place_of_what_it_corrects_under_an_id_of_its_own(
    says: Teller, park: Wendlebrook
) -> None:
    said = {"bird": park["Kelp"], "where": "in hand"}
    wrong = says.done("tilda", "weighed", **said, weight_g=30)
    instead = {"corrects": wrong.id, "why_corrected": " a nought was lost "}
    right = says.done("tilda", "weighed", **said, weight_g=300, **instead)
    ledger = rows.ToldDeed.objects.get(pk=right.id)
    assert (str(ledger.corrects), ledger.why_corrected) == (wrong.id, "a nought was lost")
    withdrawal = rows.Withdrawal.objects.get()
    assert withdrawal.pk == id_of_correction(ledger.pk)
    assert (str(withdrawal.withdraws), withdrawal.because) == (wrong.id, "a nought was lost")
    assert (withdrawal.recorded_by_id, withdrawal.happened_at) == (park.actors.tilda, SEVEN)
    other = says.tell("tilda", "health_check", bird=park["Kelp"], well=True, **instead)
    assert other.reason == "corrects: names a weighed; correct it by another, or withdraw it"
    lone = says.tell("tilda", "weighed", **said, weight_g=300, why_corrected="x")
    assert lone.reason == "corrects: is missing; say what was wrong before"


def test_a_round_told_by_mistake_is_no_call_and_its_withdrawal_can_be_one_too(
    says: Teller, park: Wendlebrook
) -> None:
    round_ = str(uuid4())
    says.done("tilda", "round_started", round=round_, exhibit=park.shingle)
    count = says.done("tilda", "count", round=round_, lookalike="ruff", counted=2)
    wrong = back(says, "tilda", count.id)
    assert roll_call(uuid_of(round_), SEVEN).counts == {}
    back(says, "tilda", wrong.id)
    call = roll_call(uuid_of(round_), SEVEN)
    assert call.counts["ruff"].lowest.counted == 2
    assert call.answer([OnRoll(park["Dock"], "ruff")]).seen == ()


def uuid_of(text: str) -> Any:
    from uuid import UUID

    return UUID(text)
