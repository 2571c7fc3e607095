"""A catch-up from the plan to signed off: the kit, what became of each bird, what goes back to the duties."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from pages import shown, text_of
from tarsus.actions.care.catch_up import finish_catch_up, keep_catch_up
from tarsus.actions.care.handling import InHand, record_handling
from tarsus.actions.facts import hear_facts
from tarsus.actions.telling import Told
from tarsus.core.errors import WrongValue
from tarsus.records.models import Band, BandCheck, CatchUp, ForecastNote, NotHandled, Park
from tarsus.records.models import Stock as StockRow
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]
WHY = {
    "Kelp": "Have the vet see Kelp's band: yellow, left tibia.",
    "Sedge": "Replace Sedge's band: green, right tibia.",
}


def found(garden: Wendlebrook, bird: str, condition: str) -> Band:
    band = Band.objects.filter(bird_id=garden[bird], kind="colour").order_by("order").first()
    assert band is not None
    now = timezone.now() - timedelta(days=1)
    BandCheck.objects.create(
        band=band, condition=condition, happened_at=now, recorded_by_id=garden.actors.tilda
    )
    return band


@pytest.fixture
def plan(garden: Wendlebrook) -> int:
    """A catch-up of today: Kelp's band is tight, Sedge's is worn, and Thrift was added."""
    found(garden, "Kelp", "tight")
    found(garden, "Sedge", "worn")
    chosen = {garden["Kelp"]: [WHY["Kelp"]], garden["Sedge"]: [WHY["Sedge"]], garden["Thrift"]: []}
    return keep_catch_up(
        exhibit_id=garden.shingle,
        planned_for=timezone.localdate(),
        chosen=chosen,
        limits={"starts_hour": 5.25, "chase_minutes": 5.0},
        by=garden.actors.maren,
    )


def page(client: Client, catch_up: int) -> str:
    return text_of(client, f"/catch-up/kept/{catch_up}/")


def handle(garden: Wendlebrook, bird: str, by: int) -> None:
    told = Told(by=by, at=timezone.now())
    record_handling(told=told, bird_id=garden[bird], in_hand=InHand(why="catch-up"))


def missed(garden: Wendlebrook, client: Client, plan: int, bird: str, **said: str) -> int:
    address = f"/deeds/not_handled/?catch_up={plan}&bird={garden[bird]}&next=/catch-up/kept/{plan}/"
    told = {"deed_id": str(uuid4()), "catch_up": str(plan), "bird": str(garden[bird]), **said}
    return client.post(address, told).status_code


def test_the_day_says_the_kit_and_who_is_not_told_of_yet(
    garden: Wendlebrook, plan: int, signed_in: Browser
) -> None:
    told = page(signed_in("tilda"), plan)
    assert "Not told yet: Kelp, Sedge, Thrift." in told
    assert "1 green band, size by the leg: measure it" in told
    assert "None on the shelf: too few." in told
    StockRow.objects.create(kind="colour", colour=found(garden, "Sedge", "worn").colour, size="4", amount=3)
    assert "3 on the shelf of all sizes" in page(signed_in("tilda"), plan)


def test_every_bird_has_an_outcome_before_it_is_signed_off_and_what_was_not_done_is_due_again(
    garden: Wendlebrook, plan: int, signed_in: Browser
) -> None:
    keeper, lead = signed_in("tilda"), signed_in("maren")
    assert b"In the catch-up of" in keeper.get("/").content
    handle(garden, "Thrift", garden.actors.tilda)
    assert missed(garden, keeper, plan, "Sedge", outcome="not caught", because="stayed in the reeds") == 302
    with pytest.raises(WrongValue, match="tells nothing of Kelp yet"):
        finish_catch_up(catch_up_id=plan, by=garden.actors.maren)
    assert missed(garden, keeper, plan, "Kelp", outcome="let go unhandled") == 422, "why not?"
    assert missed(garden, keeper, plan, "Kelp", outcome="let go unhandled", because="it panted") == 302
    told = page(lead, plan)
    assert "Everybody is told of: it can be signed off." in told
    assert "Not caught: stayed in the reeds" in told
    assert "/deeds/catch_up_finished/" not in shown(keeper.get(f"/catch-up/kept/{plan}/"))
    finish = f"/deeds/catch_up_finished/?catch_up={plan}&next=/"
    assert lead.post(finish, {"deed_id": str(uuid4()), "catch_up": str(plan)}).status_code == 302
    assert CatchUp.objects.get().done_at is not None
    told = page(lead, plan)
    assert "Back among the duties" in told
    today = shown(keeper.get("/"))
    assert f"Not done in the catch-up of {timezone.localdate():%-d %B}: let go unhandled: it panted." in today
    assert NotHandled.objects.count() == 2


def test_a_bird_that_was_caught_after_all_is_handled(
    garden: Wendlebrook, plan: int, signed_in: Browser
) -> None:
    keeper = signed_in("tilda")
    missed(garden, keeper, plan, "Sedge", outcome="not caught", because="stayed in the reeds")
    handle(garden, "Sedge", garden.actors.oswin)
    told = page(keeper, plan)
    assert "Handled today" in told
    assert "Not told yet: Kelp, Thrift." in told


def test_a_word_that_was_a_mistake_is_withdrawn_and_the_bird_is_open_again(
    garden: Wendlebrook, plan: int, signed_in: Browser
) -> None:
    missed(garden, signed_in("tilda"), plan, "Sedge", outcome="not caught", because="stayed in the reeds")
    fact = {
        "id": str(uuid4()),
        "kind": "withdrawn",
        "at": timezone.now().isoformat(),
        "by": garden.actors.tilda,
        "corrects": str(NotHandled.objects.get().pk),
        "because": "it was Thrift",
    }
    (answer,) = hear_facts(facts=[fact], clock=None, device="", speaker=garden.actors.tilda)
    assert answer.outcome == "written"
    assert "Not told yet: Kelp, Sedge, Thrift." in page(signed_in("tilda"), plan)


def test_a_bird_that_is_not_in_the_plan_is_refused(
    garden: Wendlebrook, plan: int, signed_in: Browser
) -> None:
    keeper = signed_in("tilda")
    assert missed(garden, keeper, plan, "Marram", outcome="not caught", because="it hid") == 422
    assert not NotHandled.objects.exists()


def test_what_forbids_it_since_it_was_planned_is_said_on_the_day(
    garden: Wendlebrook, plan: int, signed_in: Browser
) -> None:
    told = {"deed_id": str(uuid4()), "for_day": f"{timezone.localdate():%Y-%m-%d}", "high_c": "31"}
    signed_in("maren").post("/deeds/forecast/", told)
    CatchUp.objects.update(limits={"starts_hour": 8.95, "chase_minutes": 5.0})
    assert "Too late in the day: 31 °C is forecast" in page(signed_in("maren"), plan)


def test_a_catch_up_costs_the_same_questions_however_many_birds_it_takes(
    garden: Wendlebrook, plan: int, signed_in: Browser
) -> None:
    client = signed_in("maren")

    def cost() -> int:
        with CaptureQueriesContext(
            connection,
        ) as asked:
            page(client, plan)
        return len(asked)

    cost()
    before = cost()
    more = CatchUp.objects.get()
    for name in ("Samphire", "Marram", "Teasel", "Burdock"):
        more.birds.create(bird_id=garden[name], why=["Weigh it."])
        found(garden, name, "worn")
    assert cost() == before


def test_there_is_no_catch_up_that_was_never_kept(garden: Wendlebrook, signed_in: Browser) -> None:
    assert signed_in("maren").get("/catch-up/kept/999/").status_code == 404


def test_the_pack_tells_a_catch_ups_kit_limits_and_what_was_told_of_its_birds(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    Park.objects.update(too_cold_c=2)
    today = timezone.localdate()
    chosen = {garden["Kelp"]: ["Weigh Kelp."], garden["Sedge"]: ["Weigh Sedge."]}
    plan = keep_catch_up(
        exhibit_id=garden.shingle, planned_for=today, chosen=chosen, limits={}, by=garden.actors.maren
    )
    keeper = signed_in("tilda")
    keeper.post("/deeds/not_handled/", {
        "deed_id": str(uuid4()), "catch_up": str(plan), "bird": str(garden["Sedge"]),
        "outcome": "not caught", "because": "it hid",
    })  # fmt: skip
    ForecastNote.objects.create(
        for_day=today, high_c=4, low_c=-1, happened_at=timezone.now(), recorded_by_id=garden.actors.maren
    )
    (told,) = keeper.get("/in-hand/pack.json").json()["catch_ups"]
    assert told["told"] == {str(garden["Sedge"]): "not caught: it hid"}
    assert told["forbidden"] == ["Too cold: -1 °C is forecast, and nobody is caught below 2 °C."]
    assert told["limits"] == "At most 20 minutes from the start; from 25 °C over by 09:00; nobody below 2 °C."
    assert {"what": "Scale", "beside": "", "short": False, "birds": []} in told["kit"]
