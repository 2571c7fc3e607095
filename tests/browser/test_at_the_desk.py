"""The pages that a phone keeps, at a desk: the menu stands beside them and they use the width."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest

from browser.conftest import PHONE
from browser.keeper import Keeper
from browser.walk import addresses, begin_roll_call, open_page

DESK = (1280, 900)
OPEN_AT = {  # page: the entry of the menu that is marked as open
    "/exhibits/{shingle}/roll-call/#tiles": "Roll call",
    "/exhibits/{shingle}/practice/": "Roll call",
    "/who/": "Who is it?",
    "/tell/": "Record",
    "/in-hand/": "In hand",
}
MENU = "nav[aria-label=Main]"
WIDTH = "document.querySelector('main').getBoundingClientRect().width"


def test_every_page_that_a_phone_keeps_has_the_menu_and_the_width_at_a_desk(
    keeper: Callable[..., Keeper],
) -> None:
    one = keeper("tamsin", size=DESK)
    begin_roll_call(one)
    for address, entry in OPEN_AT.items():
        open_page(one, *addresses(one, [address]))
        menu = one.page.locator(MENU)
        assert menu.is_visible(), address
        assert menu.locator("a").all_inner_texts()[0] == "Today"
        assert menu.locator("[aria-current=page]").inner_text() == entry, address
        assert one.page.evaluate(WIDTH) > 1000, f"{address}: as wide as a phone"
    menu.get_by_text("Exhibits").click()
    one.page.wait_for_url("**/exhibits/")


def test_on_a_phone_those_pages_keep_their_own_bar_and_nothing_else(keeper: Callable[..., Keeper]) -> None:
    one = keeper("tamsin", size=PHONE)
    begin_roll_call(one)
    for address in OPEN_AT:
        open_page(one, *addresses(one, [address]))
        assert not one.page.locator(MENU).is_visible(), address
        assert one.page.evaluate(WIDTH) == PHONE[0], address


@pytest.mark.parametrize("way", ["Read", "Group"])
def test_at_a_desk_the_left_leg_is_read_on_the_left_and_the_right_one_beside_it(
    keeper: Callable[..., Keeper], way: str
) -> None:
    one = keeper("tamsin", size=DESK)
    begin_roll_call(one)
    one.turn_to(way)
    legs = [leg.bounding_box() for leg in one.page.locator("#main .legrow").all()]
    assert len(legs) == 2
    for left, right in pairwise(legs):
        assert left is not None
        assert right is not None
        assert left["y"] == right["y"]
        assert left["x"] + left["width"] < right["x"]
