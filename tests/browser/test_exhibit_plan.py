"""The plan of an exhibit: two places pinned, by tap and by keys, and the order to look without signal."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page

from browser.keeper import Keeper
from browser.wire import Wire
from tarsus.queries.exhibit_plan import plan_of
from tarsus.records import models as rows


def tap(page: Page, x: float, y: float) -> None:
    """Tap the plan at these shares of it, wherever it stands on the screen."""
    at = page.evaluate(
        """([x, y]) => {
            const svg = document.querySelector('#plan-edit svg'), { width, height } = svg.viewBox.baseVal;
            svg.scrollIntoView({ block: 'center', behavior: 'instant' });
            const at = new DOMPoint(x * width, y * height).matrixTransform(svg.getScreenCTM());
            return [at.x, at.y];
        }""",
        [x, y],
    )
    page.touchscreen.tap(*at)


def order(hand: Keeper) -> list[str]:
    return hand.page.locator(".plan-look .walk-row h3").all_inner_texts()


def test_a_lead_pins_two_places_and_sees_offline_in_which_order_to_look(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    exhibit = wendlebrook.exhibits["Shingle Aviary"]
    place = dict(rows.Place.objects.filter(exhibit_id=exhibit).values_list("name", "pk"))
    hand = keeper("hesper", through=wire)
    page = hand.page
    page.goto(f"/exhibits/{exhibit}/plan/edit/")
    page.wait_for_selector("#plan-edit svg")
    # By a tap: where the finger was, in shares of the plan.
    page.check(f"input[name=held][value=p{place['rail']}]")
    tap(page, 0.25, 0.5)
    # By keys: a hundredth of the width to the right, five down.
    page.check(f"input[name=held][value=p{place['reed edge']}]")
    page.focus("#plan-edit")
    for key in ("ArrowRight", "Shift+ArrowDown"):
        page.keyboard.press(key)
    # A line of two taps, and one that is taken back.
    page.check("input[name=held][value=sperch]")
    before = len(json.loads(page.input_value("[name=shapes]")))
    for x in (0.4, 0.6):
        tap(page, x, 0.4)
    page.click("#plan-new")
    tap(page, 0.5, 0.8)
    page.click("#plan-undo")
    assert len(json.loads(page.input_value("[name=shapes]"))) == before + 1
    page.click("#plan-form button[type=submit]")
    page.wait_for_url("**/plan/")
    plan = plan_of(exhibit)
    assert plan is not None
    at = {plan.names[pin.place]: (pin.x, pin.y) for pin in plan.pins}
    assert abs(at["rail"][0] - 0.25) < 0.02
    assert abs(at["rail"][1] - 0.5) < 0.02
    assert at["reed edge"] == (0.81, 0.522)
    last = plan.shapes[-1]
    assert last["what"] == "perch"
    assert [point.split(",")[0][:3] for point in last["points"].split()] == ["0.4", "0.6"]

    hand.ready_for_no_signal()
    wire.cut()
    hand.call_roll()
    hand.count(20)
    hand.turn_to("Close")
    hand.tap("text=Second look")
    page.wait_for_selector(".plan-look")
    page.click(".plan-look summary")
    walk = order(hand)
    assert len(walk) > 1
    assert set(walk) <= set(place)
    numbers = page.locator(".plan-look svg .pin-n").all_text_contents()
    assert sorted(numbers) == [str(n + 1) for n in range(len(walk))]
    assert page.locator(".plan-look .walk-row .min").first.inner_text().isdigit()
