"""Birds that come: the form, the sheet that fills it, and the fewest changes before they join a flock."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from pages import shown
from tarsus.actions.facts import Answer, hear_facts
from tarsus.queries.duties import duties_of_bird
from tarsus.queries.joining import joinings
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]


def body(answer: Any) -> str:
    return shown(answer)


@pytest.fixture
def house(garden: Wendlebrook) -> int:
    """Quarantine, and a rule: females wear their metal on the left, males on the right."""
    rows.Rule.objects.create(
        species_id=garden.avocet,
        from_on=date(2026, 1, 1),
        metal={"F": "left tibia", "M": "right tibia", "U": None},
        colours={"F": {"right tibia": 2}, "M": {"left tibia": 2}, "U": {"right tibia": 2}},
        recorded_by_id=garden.actors.maren,
    )
    rows.Park.objects.update(female_side="left", male_side="right")
    return rows.Exhibit.objects.create(name="Newcomers", purpose="quarantine").pk


def band(site: str, kind: str = "metal", colour: str = "", engraving: str = "") -> dict[str, Any]:
    said = {"site": site, "kind": kind, "colour": colour, "engraving": engraving}
    return {key: value for key, value in said.items() if value}


def tell(garden: Wendlebrook, by: str, kind: str, **said: Any) -> Answer:
    person = getattr(garden.actors, by)
    at = datetime.now(tz=UTC).isoformat()
    fact = {"id": str(uuid4()), "kind": kind, "at": at, "by": person, **said}
    (answer,) = hear_facts(facts=[fact], clock=None, device="", speaker=person)
    return answer


def samphires_twin(garden: Wendlebrook, sex: str = "F") -> dict[str, Any]:
    """A female with the colours of Samphire on the same leg."""
    colours = [band("right tibia", "colour", word) for word in ("yellow", "green")]
    worn = [band("left tibia", engraving="XY 1"), *colours]
    return {"species": garden.avocet, "house_name": "Twin", "sex": sex, "worn": worn}


def posted(garden: Wendlebrook, house: int, birds: list[dict[str, Any]]) -> dict[str, Any]:
    """The form as a person fills it."""
    today = datetime.now(tz=UTC).date().isoformat()
    said: dict[str, Any] = {"deed_id": str(uuid4()), "came_from": "Marsh Park", "exhibit": house, "on": today}
    for at, bird in enumerate(birds):
        for place, worn in enumerate([*bird.pop("worn", []), {}]):
            said |= {f"b{at}-{place}-{key}": value for key, value in ({"site": ""} | worn).items()}
        said |= {f"b{at}-{key}": value for key, value in ({"sex": "U", "house_name": ""} | bird).items()}
    return said


def test_a_shipment_is_written_as_it_is_and_warned(
    garden: Wendlebrook, house: int, signed_in: Browser
) -> None:
    two = [band("right leg", engraving="XY 7"), band("right leg", engraving="XY 8")]
    birds = [
        {"species": garden.avocet, "house_name": "Rush", "sex": "F", "number": "A9", "worn": two},
        {"species": garden.ruff, "house_name": "Burr"},
    ]
    office = signed_in("corin")
    page = body(office.post("/arrivals/new/", posted(garden, house, birds), follow=True))
    assert "2 birds from Marsh Park saved" in page
    assert "Rush: two metal bands on the right leg: they can clash and hurt" in page
    assert "Rush: the metal is on the right leg, a female wears it on the left here" in page
    rush = rows.Bird.objects.get(house_name="Rush")
    assert rows.Stay.objects.get(bird=rush).exhibit_id == house
    assert rows.Arrival.objects.filter(came_from="Marsh Park").count() == 2
    assert rows.SexFinding.objects.get(bird=rush).known_by == "told on arrival"
    assert all(row.came_with_it for row in rows.Band.objects.filter(bird=rush))
    kinds = [duty.kind for duty in duties_of_bird(rush.pk, datetime.now(tz=UTC))]
    assert [kinds.count(kind) for kind in ("two metals on a leg", "metal on the other side")] == [1, 1]
    assert "release from quarantine" in kinds
    assert "/deeds/arrival/?corrects=" in body(office.get(f"/birds/{rush.pk}/"))
    assert "/deeds/band_on/?corrects=" not in body(office.get(f"/birds/{rush.pk}/"))


def test_one_wrong_bird_keeps_all_of_them_out_and_says_which(
    garden: Wendlebrook, house: int, signed_in: Browser
) -> None:
    used = rows.Band.objects.filter(kind="metal").exclude(engraving="").first()
    assert used is not None
    taken = {
        "species": garden.avocet,
        "house_name": "Burr",
        "worn": [band("left leg", engraving=used.engraving)],
    }
    birds = [{"species": garden.avocet, "house_name": "Rush"}, taken]
    before = rows.Bird.objects.count()
    answer = signed_in("corin").post("/arrivals/new/", posted(garden, house, birds))
    assert answer.status_code == 422
    assert f"{used.engraving} is {used.bird}" in body(answer).replace("&#x27;", "'")
    assert rows.Bird.objects.count() == before
    assert 'value="Rush"' in body(answer), "nothing typed is lost"


def test_more_birds_and_bands_are_asked_without_losing_what_was_typed(
    garden: Wendlebrook, house: int, signed_in: Browser
) -> None:
    office, said = (
        signed_in("corin"),
        posted(garden, house, [{"species": garden.avocet, "house_name": "Rush"}]),
    )
    more = body(office.post("/arrivals/new/", said | {"more-birds": "yes"}))
    assert 'value="Rush"' in more
    assert "Bird 2" in more
    wider = body(office.post("/arrivals/new/", said | {"more-bands": "0"}))
    assert 'name="b0-1-site"' in wider
    assert not rows.Bird.objects.filter(house_name="Rush").exists()
    assert signed_in("tilda").get("/arrivals/new/").status_code == 403


def test_the_newcomer_changes_and_the_others_stay(
    garden: Wendlebrook, house: int, signed_in: Browser
) -> None:
    told = {"came_from": "Marsh Park", "exhibit": house}
    plain = {"species": garden.avocet, "house_name": "Plain", "sex": "F"}
    plain["worn"] = [
        band("left tibia"),
        *(band("right tibia", "colour", word) for word in ("white", "black")),
    ]
    answer = tell(garden, "corin", "birds_come", newcomers=[samphires_twin(garden), plain], **told)
    assert answer.outcome == "written", answer.reason
    (joining,) = (one for one in joinings(datetime.now(tz=UTC)) if one.lookalike == "avocet")
    twin = next(change for change in joining.changes if change.name == "Twin")
    assert "Samphire" in [other.name for other in twin.others]
    assert all(change.newcomer for change in joining.changes), "nobody of the flock is caught for a newcomer"
    assert joining.stay == 7 - len(joining.changes)
    page = body(signed_in("maren").get("/arrivals/"))
    assert "Save for Twin" in page
    assert "the other" in page
    keep = {"bird": twin.bird_id, "marks": str(twin.given.marks).replace("'", '"'), "because": "too alike"}
    signed_in("maren").post(f"/marking-desk/{house}/avocet/keep/", keep)
    (after,) = (one for one in joinings(datetime.now(tz=UTC)) if one.lookalike == "avocet")
    assert "Twin" not in [change.name for change in after.changes], "what is kept counts as worn"


def test_what_the_flock_has_against_itself_is_no_newcomers_affair(garden: Wendlebrook, house: int) -> None:
    rows.Band.objects.filter(bird_id=garden["Sedge"], kind="colour").update(
        taken_back_at=datetime.now(tz=UTC)
    )
    rows.Band.objects.filter(bird_id=garden["Thrift"], kind="colour").update(
        taken_back_at=datetime.now(tz=UTC)
    )
    told = {"came_from": "Marsh Park", "exhibit": house}
    far = samphires_twin(garden) | {"house_name": "Far"}
    far["worn"] = [band("left tibia"), *(band("right tibia", "colour", word) for word in ("white", "black"))]
    tell(garden, "corin", "birds_come", newcomers=[far], **told)
    (joining,) = (one for one in joinings(datetime.now(tz=UTC)) if one.lookalike == "avocet")
    assert not {change.name for change in joining.changes} & {"Sedge", "Thrift"}


def test_a_sheet_fills_the_form_and_writes_nothing(
    garden: Wendlebrook, house: int, signed_in: Browser
) -> None:
    sheet = "Name,Species,Sex,Left,Right,Metal,From\n"
    sheet += "Rush,Pied avocet,F,metal,yellow lime,XY 1009,Fen\nX,Auk,F,,,,\n"
    file = SimpleUploadedFile("fen.csv", sheet.encode())
    page = body(signed_in("corin").post("/arrivals/sheet/", {"file": file, "letters": "park"}))
    assert 'value="Rush"' in page
    assert 'value="Fen"' in page
    assert 'value="XY 1009"' in page
    assert "fen.csv: 1 read, nothing written yet" in page
    assert "Auk" in page, "what is not read is said"
    assert not rows.Bird.objects.filter(house_name="Rush").exists()


def test_a_shipment_that_never_came_is_taken_back_whole(garden: Wendlebrook, house: int) -> None:
    told = {"came_from": "Marsh Park", "exhibit": house}
    twin = samphires_twin(garden) | {"number": "A9"}
    came = tell(garden, "corin", "birds_come", newcomers=[twin], **told)
    back = tell(garden, "corin", "withdrawn", corrects=came.id, because="they come next week")
    assert back.outcome == "written", back.reason
    bird = rows.Bird.objects.get(house_name="Twin")
    assert not rows.Stay.objects.filter(bird=bird, taken_back_at__isnull=True).exists()
    assert not rows.Band.objects.filter(bird=bird, taken_back_at__isnull=True).exists()
    again = tell(garden, "corin", "birds_come", newcomers=[twin], **told)
    assert again.outcome == "written", again.reason


def test_a_form_sent_again_says_that_nothing_more_was_written(
    garden: Wendlebrook, house: int, signed_in: Browser
) -> None:
    office = signed_in("corin")
    said = posted(garden, house, [{"species": garden.avocet, "house_name": "Rush"}])
    assert "1 bird from Marsh Park saved" in body(office.post("/arrivals/new/", said, follow=True))
    more = posted(
        garden, house, [{"species": garden.avocet, "house_name": name} for name in ("Rush", "Third")]
    )
    page = body(office.post("/arrivals/new/", more | {"deed_id": said["deed_id"]}, follow=True))
    assert "This form was saved before" in page
    assert "from Marsh Park saved" not in page
    assert not rows.Bird.objects.filter(house_name="Third").exists()


def test_a_shipment_is_not_put_right_into_birds_anew(garden: Wendlebrook, house: int) -> None:
    twin = {"species": garden.avocet, "house_name": "Rush"}
    told = {"came_from": "Marsh Park", "exhibit": house, "newcomers": [twin]}
    come = tell(garden, "corin", "birds_come", **told)
    again = tell(garden, "corin", "birds_come", **told, corrects=come.id, why_corrected="papers")
    assert (again.outcome, again.place) == ("refused", "corrects")
    assert rows.Bird.objects.filter(house_name="Rush").count() == 1


def test_a_form_asks_for_species_and_colours_once_however_many_birds_it_has(
    garden: Wendlebrook, house: int, signed_in: Browser, django_assert_max_num_queries: Any
) -> None:
    birds = [{"species": garden.avocet, "house_name": f"Bird {n}"} for n in range(30)]
    office = signed_in("corin")
    with django_assert_max_num_queries(30):
        office.post("/arrivals/new/", posted(garden, house, birds) | {"more-birds": "1"})


def test_who_is_to_be_banded_is_shown_with_its_caution_and_the_words_count(
    garden: Wendlebrook, house: int, signed_in: Browser
) -> None:
    tell(
        garden,
        "corin",
        "birds_come",
        came_from="Marsh Park",
        exhibit=house,
        newcomers=[samphires_twin(garden)],
    )
    page = body(signed_in("maren").get("/arrivals/"))
    assert "1 avocet will join" in page
    assert "Whoever fits bands is trained" in page
