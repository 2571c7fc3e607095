"""Every state of the roll call and of Who is it? is walked by axe-core, in three schemes, with nothing found.

Outside check: axe-core (Deque, general purpose), rules of WCAG 2.0 to 2.2, levels A and AA.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from browser.keeper import Keeper
from browser.measures import put_bars_aside

AXE = Path(__file__).parents[2] / "node_modules" / "axe-core" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
STATES = (
    "count",
    "tiles",
    "read",
    "colours",
    "rail",
    "close",
    "second-look",
    "not-done",
    "set",
    "ticks",
    "mend",
    "closed",
)


def faults(page: Page, where: str) -> list[str]:
    put_bars_aside(page)
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found: dict[str, Any] = page.evaluate(
        "async (tags) => await axe.run(document, {runOnly: {type: 'tag', values: tags}})", TAGS
    )
    return [
        f"{where} {fault['id']}: {node['html'][:160]} ({node['failureSummary'][:240]})"
        for fault in found["violations"]
        for node in fault["nodes"][:3]
    ]


@pytest.mark.parametrize("scheme", ["light", "dark", "sun"])
def test_the_roll_call_has_no_barrier_that_a_tool_finds(keeper: Callable[..., Keeper], scheme: str) -> None:
    hand = keeper("tamsin")
    hand.page.evaluate("(scheme) => localStorage.setItem('tarsus-scheme', scheme)", scheme)
    hand.call_roll()
    hand.count(28)
    hand.see("Chert")
    found: list[str] = []
    for state in STATES:
        hand.call_roll(state=state)
        if state in ("read", "rail"):
            within = ".legs" if state == "read" else ".rail-in"
            hand.leg("left", "metal", within=within)
            hand.page.wait_for_selector("#main .read-tiles .tile")
        found += faults(hand.page, state)
    hand.call_roll(state="tiles")
    hand.see("Thrift")
    hand.tap("[data-act=concern]")
    hand.page.wait_for_selector("section[data-k=at-concern]")
    found += faults(hand.page, "concern")
    assert not found, "\n".join(found)


def test_who_is_it_has_no_barrier_that_a_tool_finds(keeper: Callable[..., Keeper]) -> None:
    hand = keeper("tamsin")
    found: list[str] = []
    for state in ("read", "name", "band"):
        hand.page.goto("about:blank")
        hand.page.goto(f"/who/#{state}")
        hand.page.wait_for_selector(f"section[data-k=at-{state}]")
        if state == "read":
            found += faults(hand.page, "leg first")
            hand.tap("[data-act=leg-first]")
            hand.tap("[data-band=red]")
        if state == "band":
            hand.tap("[data-act=loose]")
        found += faults(hand.page, state)
    hand.page.goto("about:blank")
    hand.page.goto("/who/#read")
    hand.tap("[data-act=leg-first]")
    hand.tap("[data-band=red]")
    hand.tap(".read-tiles .tile")
    hand.page.wait_for_selector("section[data-k=at-bird]")
    found += faults(hand.page, "bird")
    assert not found, "\n".join(found)


def test_the_sides_of_the_bird_stay_its_own_when_it_faces_the_keeper(keeper: Callable[..., Keeper]) -> None:
    """Facing me, the drawing is mirrored and the row says so; the record keeps the bird's sides."""
    hand = keeper("tamsin")
    hand.call_roll(state="read")
    hand.tap("[data-act=facing][data-value=me]")
    hand.page.wait_for_selector("#main [data-act=facing][data-value=me][aria-pressed=true]")
    row = hand.page.inner_text("#main [data-k=row-left] .legname").split("\n")
    assert row == ["left", "on your right"]
    hand.leg("left", "metal")
    assert hand.page.get_attribute("#main .read-tiles band-drawing", "facing") == "me"
    hand.tap("text=Save part reading")
    hand.strip_says("Part reading")
    # The choice is back to none for the next bird.
    assert hand.page.get_attribute("#main [data-act=facing][data-value=me]", "aria-pressed") == "false"
    assert hand.entries()[-1]["fact"]["reading"] == {"left tibia": ["metal", "*"]}


def test_the_left_hand_and_the_sun_scheme_are_within_reach(keeper: Callable[..., Keeper]) -> None:
    hand = keeper("tamsin")
    hand.call_roll(state="set")
    for act, value in (("set-hand", "left"), ("set-scheme", "sun")):
        hand.tap(f"[data-act={act}][data-value={value}]")
        hand.page.wait_for_selector(f"#main [data-act={act}][data-value={value}][aria-pressed=true]")
    hand.turn_to("By sight")
    undo, concern = (
        hand.page.locator(f"#main [data-act={act}]").bounding_box() for act in ("undo", "concern")
    )
    assert undo is not None
    assert concern is not None
    assert undo["x"] > concern["x"]
    assert hand.page.evaluate("document.documentElement.dataset.scheme") == "sun"
    hand.reopen()
    assert hand.page.evaluate("document.documentElement.dataset.scheme") == "sun"


def test_the_deeds_button_stays_where_it_is_and_means_the_same(keeper: Callable[..., Keeper]) -> None:
    """A tile that was tapped keeps its place; a key that no longer fits fades where it stands."""
    hand = keeper("tamsin")
    hand.call_roll(state="tiles")
    order = "[...document.querySelectorAll('#main .tile')].map((one) => one.dataset.bird)"
    before = hand.page.evaluate(order)
    for place in (0, 3, 1):
        hand.tap(f".tile >> nth={place}")
        hand.page.wait_for_selector(f"#main .tile.is-seen >> nth={(0, 3, 1).index(place)}")
    assert hand.page.evaluate(order) == before
    hand.turn_to("Read")
    keys = "[...document.querySelectorAll('#main .lk')].map((one) => one.dataset.side + one.dataset.stack)"
    all_keys = hand.page.evaluate(keys)
    hand.leg("right", "red over white")
    assert hand.page.evaluate(keys) == all_keys
    assert hand.page.locator("#main .lk.is-out").count() > 5


FRAMES = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"


def test_the_focus_never_falls_to_the_body(keeper: Callable[..., Keeper]) -> None:
    """Where the key that was pressed goes, or fades, the focus stays on a key of the page."""
    hand = keeper("tamsin")
    page = hand.page

    def press(selector: str, then: str) -> None:
        page.locator(selector).first.focus()
        page.keyboard.press("Enter")
        page.wait_for_selector(then)
        page.evaluate(FRAMES)
        assert page.evaluate("document.activeElement.localName") not in ("body", "html"), selector

    hand.call_roll()
    press("[data-act=count-all]", "[data-act=count-keep]:enabled")
    press("[data-act=count-keep]", ".tiles")
    press(".tile", ".tile.is-seen")
    press("[data-act=undo]", "[data-act=undo]:disabled")
    hand.call_roll(state="colours")
    press("[data-act=band]:enabled", "[data-act=band-off]:enabled")
    press("[data-act=band-off]:enabled", "[data-act=band-off]:disabled")
