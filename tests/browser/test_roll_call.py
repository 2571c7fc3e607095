"""The roll of one exhibit called at phone size, and what the record then says."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.utils import timezone

from browser.conftest import SMALL_PHONE
from browser.keeper import Keeper
from tarsus.core.rounds.call import RollCall
from tarsus.queries.rounds import closed_version, roll_call
from tarsus.records.models import Concern, Round, Withdrawal


def latest_call() -> RollCall:
    newest = Round.objects.order_by("-started__recorded_at").values_list("pk", flat=True).first()
    assert newest is not None
    return roll_call(newest, timezone.now())


def test_a_roll_called_on_the_phone_stands_in_the_record_as_it_was_tapped(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand, birds, people = keeper("tamsin"), wendlebrook.birds, wendlebrook.people
    hand.call_roll()
    hand.count(28)
    by_sight = ["Marram", "Thrift", "Pebble"]
    for name in by_sight:
        hand.see(name)
    # Read: metal on the left, yellow over blue on the right would be Marram; red over black is Fennel.
    hand.turn_to("Read")
    hand.leg("right", "red over black")
    hand.accept("Fennel")
    # A bird that hid a leg is kept as a part reading.
    hand.leg("left", "metal")
    hand.tap("text=Save part reading")
    hand.strip_says("Part reading")
    # A wrong tile is taken back.
    hand.turn_to("By sight")
    hand.see("Sedge")
    hand.tap("[data-act=undo]")
    hand.strip_says("Part reading")
    # Six on a rail: the first read, the second in part, then they fly.
    hand.turn_to("Group")
    hand.leg("right", "white over black", within=".rail-in")
    hand.tap(f".rail-in {hand.tile('Limpet')}")
    hand.page.wait_for_selector("#main [data-k=slot1] [aria-current]")
    hand.leg("right", "metal", within=".rail-in")
    hand.tap("text=save as read")
    hand.page.wait_for_selector("#main [data-k=slot2] [aria-current]")
    hand.tap("text=They flew")
    hand.page.wait_for_selector("#main .slots.is-frozen")
    hand.tap("text=Group done")
    # The phone changes hands; a concern is a step of its own after seen.
    hand.hand_over_to("Jory Millpond")
    hand.turn_to("By sight")
    hand.see("Whelk")
    hand.tap("[data-act=concern]")
    hand.tap("text=lame")
    hand.tap("text=its right")
    hand.page.fill("#concern-note", "puts no weight on it")
    hand.tap("[data-act=concern-vet]")
    hand.tap(".deeds .first")
    hand.page.wait_for_selector("section[data-k=at-tiles]")
    hand.turn_to("Close")
    assert "28 counted of 29: one of the " in hand.page.inner_text("#main .missing")
    hand.close()
    hand.wait_until_sent()

    call = latest_call()
    assert call.phase == "closed"
    assert [(c.lookalike, c.counted, c.by) for both in call.counts.values() for c in both.told] == [
        ("avocet", 28, people["tamsin"])
    ]
    named = {seen.bird: (seen.how, seen.by) for seen in call.sightings if seen.bird is not None}
    assert named == {
        **{birds[name]: ("by sight", people["tamsin"]) for name in by_sight},
        birds["Fennel"]: ("by reading", people["tamsin"]),
        birds["Limpet"]: ("by reading", people["tamsin"]),
        birds["Whelk"]: ("by sight", people["jory"]),
    }
    assert birds["Sedge"] not in call.observed
    assert Withdrawal.objects.filter(because="undone on the phone").count() == 1
    fennel = next(seen for seen in call.sightings if seen.bird == birds["Fennel"])
    assert fennel.reading is not None
    assert fennel.reading.as_mapping() == {"right tibia": ["red", "black"]}
    assert fennel.candidates[0][0] == birds["Fennel"]
    assert 0.9 < fennel.chance < 1.0
    parts = [seen for seen in call.sightings if seen.how == "part reading"]
    assert [(p.reading and p.reading.as_mapping(), p.position) for p in parts] == [
        ({"left tibia": ["metal", "*"]}, None),
        ({"right tibia": ["metal", "*"]}, 1),
    ]
    assert [(view.size, view.flew) for view in call.in_view] == [(6, True)]
    concern = Concern.objects.get(note="puts no weight on it")
    assert (concern.seen, concern.side, concern.recorded_by_id) == (["lame"], "right", people["jory"])
    assert list(concern.birds.values_list("bird_id", flat=True)) == [birds["Whelk"]]
    assert list(concern.case.birds.values_list("pk", flat=True)) == [birds["Whelk"]]
    assert concern.case.closed_at is None
    version = closed_version(call.rounds[0].round, timezone.now())
    assert version is not None


def test_the_roll_can_be_called_by_keyboard_alone(keeper: Callable[..., Keeper], wendlebrook: Any) -> None:
    hand = keeper("jory")
    hand.call_roll()
    page = hand.page

    def go_to(selector: str) -> None:
        for _ in range(160):
            page.keyboard.press("Tab")
            if page.evaluate("(s) => document.activeElement.matches(s)", selector):
                return
        pytest.fail(f"the keyboard never reaches {selector}")

    go_to("[data-act=count-all]")
    page.keyboard.press("Enter")
    go_to("[data-act=count-keep]")
    page.keyboard.press("Enter")
    page.wait_for_selector(".tiles")
    go_to(f".tile[data-bird='{wendlebrook.birds['Chert']}']")
    page.keyboard.press("Space")
    hand.strip_says("Chert")
    # The focus is still on the tile, so the next Tab goes on from there.
    assert page.evaluate("document.activeElement.dataset.bird") == str(wendlebrook.birds["Chert"])
    go_to(".modes a[href='#read']")
    page.keyboard.press("Enter")
    page.wait_for_selector("section[data-k=at-read]")
    go_to(".lk[data-side=right][data-stack='tibia=red,white']")
    page.keyboard.press("Enter")
    go_to(f".read-tiles .tile[data-bird='{wendlebrook.birds['Samphire']}']")
    page.keyboard.press("Enter")
    hand.strip_says("Samphire")
    go_to(".modes a[href='#close']")
    page.keyboard.press("Enter")
    page.wait_for_selector("section[data-k=at-close]")
    go_to("[data-act=close-round]")
    page.keyboard.press("Enter")
    page.wait_for_selector("section[data-k=at-closed]")
    hand.wait_until_sent()
    call = latest_call()
    assert call.observed == {wendlebrook.birds["Chert"], wendlebrook.birds["Samphire"]}
    assert {seen.by for seen in call.sightings} == {wendlebrook.people["jory"]}


@pytest.mark.parametrize("size", [(390, 844), SMALL_PHONE], ids=["390x844", "360x640"])
def test_everything_that_is_tapped_is_large_enough_and_within_the_screen(
    keeper: Callable[..., Keeper], size: tuple[int, int]
) -> None:
    hand = keeper("tamsin", size)
    hand.call_roll()
    small: list[str] = []
    hand.count(28)
    for state in ("count", "tiles", "read", "colours", "rail", "concern", "not-done", "set", "ticks"):
        hand.call_roll(state="tiles" if state == "concern" else state)
        if state == "concern":
            hand.see("Chert")
            hand.tap("[data-act=concern]")
        hand.page.wait_for_selector(f"section[data-k=at-{state}]")
        if state == "read":
            hand.leg("left", "metal")
            hand.page.wait_for_selector("#main .read-tiles .tile")
        small += hand.page.evaluate(
            """(state) => [...document.querySelectorAll('#main button, #main a, #main select, .top a')]
                .filter((one) => one.offsetParent && !one.closest('p'))
                .map((one) => [one, one.getBoundingClientRect()])
                .filter(([, box]) => box.width < 47.5 || box.height < 47.5)
                .map(([one, box]) => `${state}: ${one.textContent.trim()} ${box.width}x${box.height}`)""",
            state,
        )
        wide = hand.page.evaluate("document.documentElement.scrollWidth")
        assert wide <= size[0], f"{state} is {wide} px wide"
        strip = hand.page.locator("#main .modes, #main .partrow, #main .deeds").last.bounding_box()
        assert strip is None or strip["y"] + strip["height"] <= size[1] + 0.5, state
    assert not small, small
