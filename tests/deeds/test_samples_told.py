"""A sample on its way: taken, sent, answered once, and a laboratory's line that names none of ours."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from deeds.test_door import Teller, says
from phones import SEVEN
from tarsus.actions.birds.samples import place_result, send_sample
from tarsus.actions.facts import Answer
from tarsus.actions.telling import Told
from tarsus.core.errors import WrongValue
from tarsus.queries.samples import Sample, samples_with_state
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]


@pytest.fixture
def tubes(says: Teller, park: Wendlebrook) -> dict[str, str]:
    """Dock's tube S-17 and Burdock's S-18, taken and still here."""
    return {
        name: says.done("tilda", "sex_sample", bird=park[name], sample="feather", label=label).id
        for name, label in (("Dock", "S-17"), ("Burdock", "S-18"))
    }


def sample_of(name: str) -> Sample:
    (one,) = (one for one in samples_with_state(rows.SexTest.objects.all()) if one.bird == name)
    return one


def found(says: Teller, name: str, sex: str, **more: Any) -> Answer:
    return says.tell("corin", "sex_finding", bird=says.park[name], sex=sex, known_by="DNA", **more)


def test_a_tube_goes_to_the_laboratory_and_only_that_one(says: Teller, tubes: dict[str, str]) -> None:
    says.done("tilda", "sample_sent", test=tubes["Dock"], laboratory="Fen Laboratory")
    assert (sample_of("Dock").laboratory, sample_of("Dock").sent_at) == ("Fen Laboratory", SEVEN)
    assert sample_of("Burdock").sent_at is None


def test_a_tube_is_not_sent_before_it_was_taken_and_never_to_nobody(
    says: Teller, park: Wendlebrook, tubes: dict[str, str]
) -> None:
    early = (SEVEN - timedelta(minutes=1)).isoformat()
    refused = says.tell("tilda", "sample_sent", test=tubes["Dock"], laboratory="Fen", at=early)
    assert refused.reason == "at: is before S-17 was taken; correct one of the days"
    with pytest.raises(WrongValue, match="laboratory: is empty; say where it was sent"):
        send_sample(
            told=Told(by=park.actors.tilda, at=SEVEN), test_id=rows.SexTest.objects.first().pk, laboratory=" "
        )
    nothing = says.tell("tilda", "sample_sent", test=str(uuid4()), laboratory="Fen")
    assert (nothing.outcome, nothing.place) == ("refused", "test")


def test_an_answered_sample_is_neither_sent_nor_answered_nor_called_unanswered_again(
    says: Teller, tubes: dict[str, str]
) -> None:
    assert found(says, "Dock", "M", test=tubes["Dock"]).outcome == "written"
    said = "test: S-17 is answered: male; withdraw that first if it is wrong"
    assert says.tell("tilda", "sample_sent", test=tubes["Dock"], laboratory="Fen").reason == said
    assert says.tell("corin", "sample_unanswered", test=tubes["Dock"]).reason == said
    assert found(says, "Dock", "F", test=tubes["Dock"]).reason == said
    assert rows.SexFinding.objects.filter(bird=says.park["Dock"]).count() == 1
    assert found(says, "Burdock", "F", test=tubes["Burdock"]).outcome == "written", "the other waits still"


def test_a_finding_taken_back_lets_the_sample_be_answered_anew(says: Teller, tubes: dict[str, str]) -> None:
    wrong = found(says, "Dock", "M", test=tubes["Dock"])
    says.done("corin", "withdrawn", corrects=wrong.id, because="the laboratory exchanged two")
    assert sample_of("Dock").sex == ""
    assert found(says, "Dock", "F", test=tubes["Dock"]).outcome == "written"
    assert sample_of("Dock").sex == "F"


def test_a_sample_that_gave_no_answer_is_done_with(says: Teller, tubes: dict[str, str]) -> None:
    says.done("corin", "sample_unanswered", test=tubes["Dock"], why="too little")
    assert sample_of("Dock").no_answer
    assert sample_of("Dock").done
    assert not sample_of("Burdock").done
    nothing = says.tell("corin", "sample_unanswered", test=str(uuid4()))
    assert (nothing.outcome, nothing.place) == ("refused", "test")


def test_one_label_is_on_one_tube_however_it_is_written(
    says: Teller, park: Wendlebrook, tubes: dict[str, str]
) -> None:
    taken = {"bird": park["Kelp"], "sample": "feather"}
    refused = says.tell("tilda", "sex_sample", **taken, label=" s-17 ")
    assert refused.reason == "label: s-17 is on Dock's sample; read the tube again"
    says.done("tilda", "withdrawn", corrects=tubes["Dock"], because="the tube broke")
    says.done("tilda", "sex_sample", **taken, label=" s-17 ")
    assert sample_of("Kelp").label == "s-17"


def test_a_result_by_dna_names_the_sample_that_waits(
    says: Teller, park: Wendlebrook, tubes: dict[str, str]
) -> None:
    refused = found(says, "Dock", "M")
    assert refused.place == "test"
    assert refused.reason.startswith("test: is missing; Dock's sample S-17 waits for its result")
    assert not rows.SexFinding.objects.filter(bird=park["Dock"]).exists()
    assert found(says, "Kelp", "M").outcome == "written", "no sample of Kelp waits"
    says.done("maren", "sex_finding", bird=park["Dock"], sex="F", known_by="plumage")
    other = found(says, "Dock", "M", test=tubes["Burdock"])
    assert other.reason == "test: this sample was not Dock's; compare the label with the band"
    earlier = (SEVEN - timedelta(days=1)).isoformat()
    assert found(says, "Dock", "M", at=earlier).outcome == "written", "its sample was not taken yet"


def test_a_result_for_a_sample_we_have_is_no_question(says: Teller, tubes: dict[str, str]) -> None:
    refused = says.tell("corin", "result_unplaced", label=" s-18 ", sex="M")
    assert refused.reason == "label: s-18 is Burdock's sample; write its sex down instead"
    says.done("corin", "result_unplaced", label="S-99", sex="M")
    again = says.tell("corin", "result_unplaced", label=" S-99", sex="F")
    assert again.reason == "label: S-99 was asked about before; say whose it was there"
    says.done("corin", "result_unplaced", label="S-98", sex="F")


def test_a_strange_result_is_placed_once_and_is_then_that_birds_sex(
    says: Teller, park: Wendlebrook, tubes: dict[str, str]
) -> None:
    asked = says.done("corin", "result_unplaced", label="S-71", sex="M")
    said = {"question": asked.id, "because": "17 and 71 exchanged"}
    placed = says.done("corin", "result_placed", **said, test=tubes["Dock"])
    finding = rows.SexFinding.objects.get(bird=park["Dock"])
    assert (finding.sex, finding.known_by, str(finding.test_id)) == ("M", "DNA", tubes["Dock"])
    again = says.tell("corin", "result_placed", **said, test=tubes["Burdock"])
    assert again.reason == "question: somebody said whose it was; withdraw that first if it is wrong"
    says.done("corin", "withdrawn", corrects=placed.id, because="it was Burdock's after all")
    says.done("corin", "result_placed", **said, test=tubes["Burdock"])
    assert sample_of("Burdock").sex == "M"
    assert sample_of("Dock").sex == ""


def test_a_result_is_placed_on_a_sample_that_waits_and_for_a_reason(
    says: Teller, park: Wendlebrook, tubes: dict[str, str]
) -> None:
    asked = says.done("corin", "result_unplaced", label="S-71", sex="F")
    said = {"question": asked.id, "because": "exchanged"}
    found(says, "Dock", "M", test=tubes["Dock"])
    refused = says.tell("corin", "result_placed", **said, test=tubes["Dock"])
    assert refused.reason.startswith("test: S-17 is answered: male")
    no_result = says.tell(
        "corin", "result_placed", **{**said, "question": tubes["Dock"]}, test=tubes["Burdock"]
    )
    assert no_result.reason == "question: is no result that waits; choose one on the page of samples"
    with pytest.raises(WrongValue, match="because: is empty; say how it became known"):
        place_result(
            told=Told(by=park.actors.corin, at=SEVEN),
            question_id=rows.ToldDeed.objects.get(kind="result_unplaced").pk,
            test_id=rows.SexTest.objects.get(label="S-18").pk,
            because="  ",
        )
    assert rows.SexFinding.objects.filter(bird=park["Burdock"]).count() == 1, "as the park wrote it first"


def test_an_answer_to_a_question_that_was_not_heard_yet_waits_for_it(
    says: Teller, tubes: dict[str, str]
) -> None:
    unheard = str(uuid4())
    says.done("corin", "result_placed", question=unheard, test=tubes["Dock"], because="exchanged")
    assert sample_of("Dock").sex == ""
    assert rows.Waiting.objects.get().needs.hex == unheard.replace("-", "")


def test_a_sample_is_tied_to_a_band_of_its_own_bird(says: Teller, park: Wendlebrook) -> None:
    taken = {"bird": park["Thrift"], "sample": "blood", "label": "T-1"}
    refused = says.tell("tilda", "sex_sample", **taken, band=park.metals["Kelp"])
    assert refused.reason == "band: this band is not Thrift's; read the band again"
    says.done("tilda", "sex_sample", **taken, band=park.metals["Thrift"])
    assert rows.SexTest.objects.get().band_id == park.metals["Thrift"]
