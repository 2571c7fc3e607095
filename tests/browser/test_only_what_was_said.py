"""The roll call never says more than somebody tapped or saw: places, advice, second looks."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from browser.keeper import Keeper
from tarsus.records.models import Sighting

PLACE_PRESSED = "#main .places-row [aria-pressed=true]"


def test_a_place_is_what_somebody_tapped_and_is_off_again_with_other_birds(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.call_roll(state="tiles")
    page = hand.page
    assert page.locator(PLACE_PRESSED).count() == 0
    assert "place not said" in page.inner_text("#call-title")
    hand.see("Marram")
    first = page.inner_text("#main .places-row button >> nth=0")
    hand.tap(".places-row button >> nth=0")
    page.wait_for_selector(f"#call-title >> text=at {first}")
    hand.see("Thrift")
    page.wait_for_selector(f"#main .strip >> text={first}")
    # Another phone state, the same birds in view: the place stays, and is shown.
    hand.turn_to("Read")
    assert f"at {first}" in page.inner_text("#call-title")
    hand.leg("right", "red over black")
    hand.accept("Fennel")
    # Tapped from the heading it can be taken back.
    page.click("#call-title a")
    page.wait_for_selector("section[data-k=at-place]")
    hand.tap("text=Not said")
    page.wait_for_selector("section[data-k=at-read]")
    assert "place not said" in page.inner_text("#call-title")
    # On a rail the place is that of the group; the next group has none.
    hand.turn_to("Group")
    page.click("#call-title a")
    hand.tap(f".what >> text={first}")
    page.wait_for_selector("section[data-k=at-rail]")
    hand.tap("text=They flew")
    hand.tap("text=Group done")
    page.wait_for_selector("#call-title >> text=place not said")
    hand.wait_until_sent()
    places = {s.bird_id: s.place_id for s in Sighting.objects.filter(device__gt="")}
    birds = wendlebrook.birds
    assert places[birds["Marram"]] is None
    assert places[birds["Thrift"]] is not None
    assert places[birds["Fennel"]] == places[birds["Thrift"]]
    group = next(entry["fact"] for entry in hand.entries() if entry["fact"]["kind"] == "group")
    assert group["place"] == places[birds["Thrift"]]


def test_a_second_look_lists_who_needs_one_and_keeps_the_place_that_was_tapped(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.call_roll()
    page = hand.page
    on_the_roll = int(page.inner_text("#main .call-tally b"))
    hand.count(on_the_roll)
    unseen = page.locator("#main .tile").count()
    hand.turn_to("Close")
    assert "were counted, so" in page.inner_text("#main [data-k=missing]")
    hand.tap("text=Second look")
    page.wait_for_selector("section[data-k=at-second-look]")
    listed = page.locator("#main [data-k=looks] > li").count()
    assert listed < unseen
    text = page.inner_text("#main")
    assert "Present" not in text
    assert "ordinary rounds" not in text
    assert "need no second look" in text
    # One short: now somebody is to be looked for, and one sentence says among whom.
    hand.call_roll(state="count")
    hand.count(on_the_roll - 1)
    hand.turn_to("Close")
    said = page.inner_text("#main [data-k=missing]")
    assert "missing, most likely" in said
    assert "unless the count is wrong" in said
    assert "Present" not in page.inner_text("#main")
    hand.tap("text=Second look")
    page.wait_for_selector("#main [data-k=looks] > li")
    row = page.locator("#main [data-k=looks] > li:has(button.place)").first
    assert row.locator("[aria-pressed=true]").count() == 0
    assert row.locator("[data-act=look-not-there]").is_disabled()
    place = row.locator("button.place").first
    tapped = int(place.get_attribute("data-place") or 0)
    bird = int(place.get_attribute("data-bird") or 0)
    place.click()
    row.locator("[data-act=look-seen]").click()
    page.wait_for_selector(f"#main [data-k=looks]:not(:has([data-k=s{bird}]))")
    hand.wait_until_sent()
    assert Sighting.objects.get(device__gt="", bird_id=bird).place_id == tapped
