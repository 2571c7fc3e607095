"""The roll call never says more than somebody tapped or saw: places, advice, second looks."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from django.utils import timezone
from playwright.sync_api import Route

from browser.keeper import Keeper
from browser.wire import Wire
from tarsus.queries.rounds import roll_call
from tarsus.records.models import Round, Sighting

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


def test_one_band_read_on_a_leg_is_at_least_that_band_and_clears_nobody(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    """Five avocets wear red on the right; Hazel alone wears nothing but red there."""
    hand, hazel = keeper("tamsin", through=wire), wendlebrook.birds["Hazel"]
    hand.ready_for_no_signal()
    wire.cut()
    hand.call_roll(state="colours")
    page = hand.page
    page.dispatch_event("#main band-drawing [data-site='right tibia']", "click")
    hand.tap("[data-act=band][data-band=red]")
    page.wait_for_selector("#main .say >> text=One of five.")
    assert page.locator(f"#main .read-tiles {hand.tile('Hazel')}").count() == 1
    # Kept although several fit: it is doubtful, on the phone's own tally too.
    hand.tap(f".read-tiles {hand.tile('Hazel')}")
    hand.strip_says("Hazel")
    told = hand.entries()[-1]["fact"]
    assert told["reading"] == {"right tibia": ["red", "*"]}
    assert next(c["chance"] for c in told["candidates"] if c["bird"] == hazel) < 0.3
    # Nothing more on this leg: now it is Hazel.
    page.dispatch_event("#main band-drawing [data-site='right tibia']", "click")
    hand.tap("[data-act=band][data-band=red]")
    hand.tap("text=nothing more on this leg")
    page.wait_for_selector("#main .say >> text=Almost certainly Hazel")
    hand.tap("text=Start over")
    # The whole-leg key of a single red asks the same; its tile ends the leg.
    page.click("#main .backto")
    hand.leg("right", "red")
    page.wait_for_selector("#main .say >> text=One of five.")
    hand.tap(".read-tiles [data-act=leg-end]")
    page.wait_for_selector("#main .say >> text=Almost certainly Hazel")
    hand.leg("right", "red over black")
    page.wait_for_selector("#main .say >> text=Almost certainly Fennel")
    assert page.locator("#main .read-tiles [data-act=leg-end]").count() == 0
    # The keeper sees on the spot that nobody is cleared by it; the register agrees.
    assert page.inner_text("#main .call-tally b") == "0"
    assert "one doubtful" in page.inner_text("#main .call-tally")
    wire.mend()
    hand.wait_until_sent()
    newest = Round.objects.get(started__device__gt="")
    assert hazel not in roll_call(newest.pk, timezone.now()).observed


def test_a_reading_that_fits_nobody_says_so_before_it_names_the_nearest(
    keeper: Callable[..., Keeper],
) -> None:
    hand = keeper("tamsin")
    hand.call_roll(state="colours")
    page = hand.page
    for band in ("red", "red"):
        page.dispatch_event("#main band-drawing [data-site='right tibia']", "click")
        hand.tap(f"[data-act=band][data-band={band}]")
    said = page.inner_text("#main .say")
    assert said.startswith("Fits no avocet here.")
    assert "Almost certainly" not in said


def test_i_think_left_and_side_not_sure_are_said_of_one_reading_only(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.call_roll(state="read")
    page = hand.page
    pressed = "#main .sure [aria-pressed=true]"
    hand.leg("left", "metal")
    hand.tap("text=I think left")
    page.wait_for_selector(pressed)
    hand.tap("text=Save part reading")
    hand.strip_says("Part reading")
    assert hand.entries()[-1]["fact"]["reading"] == {"left tibia": ["metal", "*"], "swap": 0.2}
    hand.leg("right", "red over black")
    assert page.locator(pressed).count() == 0
    hand.tap("text=left or right unclear")
    page.wait_for_selector(pressed)
    hand.tap("text=Save part reading")
    page.wait_for_selector("#main [data-k=part][disabled]")
    assert hand.entries()[-1]["fact"]["reading"] == {"right tibia": ["red", "black"], "swap": 0.5}
    hand.wait_until_sent()
    kept = [s.reading for s in Sighting.objects.filter(device__gt="").order_by("happened_at")]
    assert [reading["swap"] for reading in kept if reading] == [0.2, 0.5]


def test_who_is_it_forgets_the_visitor_and_the_doubtful_side_with_the_bird(
    keeper: Callable[..., Keeper],
) -> None:
    hand = keeper("tamsin")
    page = hand.page
    page.goto("/who/#read")
    hand.tap("[data-act=leg-first][data-value=right]")
    hand.tap("[data-band=red]")
    hand.tap("text=left or right unclear")
    hand.tap("text=visitor report")
    page.wait_for_selector("#main [data-act=visitor][aria-pressed=true]")
    hand.tap(".read-tiles .tile")
    page.wait_for_selector("section[data-k=at-bird]")
    # A visitor's word is no sighting by the keeper.
    assert page.locator("#main [data-act=seen-at]").count() == 0
    page.fill("#report", "by the kiosk, at noon")
    hand.tap("[data-act=report]")
    page.wait_for_selector("section[data-k=at-read]")
    hand.tap("[data-act=leg-first][data-value=left]")
    page.wait_for_selector("#main .keys")
    assert page.locator("#main .stands [aria-pressed=true]").count() == 0
    assert not Sighting.objects.filter(device__gt="", bird__isnull=False).exists()


def test_a_bird_on_search_read_once_is_still_searched_for_and_a_visitor_prompts_a_look(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    fennel, hand = wendlebrook.birds["Fennel"], keeper("tamsin")
    report = {"id": "v", "at": "2026-06-11T07:00:00+01:00", "told_by": "a visitor", "said": "one limps"}

    def searched(route: Route) -> None:
        answer = route.fetch()
        pack = answer.json() if answer.status == 200 else {}
        for flock in pack.get("flocks", ()):
            for bird in flock["birds"]:
                if bird["id"] == fennel:
                    bird["advice"] = "search"
                    pack["reports"] = [report | {"birds": [fennel]}]
        route.fulfill(response=answer, body=json.dumps(pack))

    hand.page.route("**/pack.json", searched)
    hand.call_roll(state="tiles")
    page, tile = hand.page, f'#main .tile[data-bird="{fennel}"]'
    assert page.inner_text("#main .visitors li").startswith("Visitor: one limps (")
    assert page.inner_text("#main .visitors li").endswith("Fennel), look")
    seen = page.inner_text("#main .call-tally b")
    hand.turn_to("Read")
    hand.leg("right", "red over black")
    hand.accept("Fennel")
    assert page.inner_text("#main .call-tally b") == seen, "one reading clears nobody who is searched for"
    hand.turn_to("By sight")
    assert page.inner_text(f"{tile} .once") == "search, read once: look again"
    assert page.locator("#main .visitors").count() == 1
    hand.see("Fennel")
    page.wait_for_selector(f"{tile}.is-seen")
    assert page.locator(f"{tile} .once").count() == 0
    assert page.locator("#main .visitors").count() == 0
    hand.page.unroute_all(behavior="ignoreErrors")
