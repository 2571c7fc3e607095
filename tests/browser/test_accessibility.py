"""Every page is walked by axe-core, in the three schemes and at three sizes, with nothing found.

Outside check: axe-core (Deque, general purpose), rules of WCAG 2.0 to 2.2, levels A and AA, and its best
practices.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.keeper import Keeper
from browser.measures import put_bars_aside
from browser.walk import PAGES, addresses, begin_roll_call, open_page

AXE = Path(__file__).parents[2] / "node_modules" / "axe-core" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# Colours are the tokens' and not the page's: the other two schemes are held on the pages that show them all.
RICH = ("/", "/flocks/{shingle}/avocet/", "/birds/{bird}/", "/in-hand/#bird-{bird}", "/settings/species/new/")
SEEN_BY = [("light", (390, 844), PAGES), ("dark", (360, 640), RICH), ("sun", (1280, 900), RICH)]


def faults(page: Page) -> list[str]:
    """What axe-core finds, one line a fault."""
    put_bars_aside(page)
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found: dict[str, Any] = page.evaluate(
        "async (tags) => await axe.run(document, {runOnly: {type: 'tag', values: tags}})", TAGS
    )
    return [
        f"{fault['id']}: {node['html'][:120]} ({node['failureSummary'][:200]})"
        for fault in found["violations"]
        for node in fault["nodes"][:3]
    ]


def overflow(page: Page) -> int:
    """How many pixels the page is wider than its screen."""
    return int(page.evaluate("() => document.documentElement.scrollWidth - innerWidth"))


def small_targets(page: Page) -> list[str]:
    """Buttons and links that stand alone and are smaller than 44 px either way; links within text are not."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll('button, .btn, .nav a, summary, input[type=checkbox]')]
        .filter((el) => el.offsetParent !== null)
        .filter((el) => {
            const area = (el.closest('label, .is-tick') ?? el).getBoundingClientRect();
            return area.height < 44 || area.width < 44;
        })
        .map((el) => el.outerHTML.slice(0, 120))"""
    )
    return found


@pytest.fixture
def sitting(keeper: Callable[..., Keeper]) -> Callable[..., Keeper]:
    assert AXE.exists(), "run make setup-tests: axe-core is missing"
    return keeper


@pytest.mark.parametrize(("scheme", "size", "pages"), SEEN_BY)
def test_axe_finds_nothing_on_any_page(
    scheme: str, size: tuple[int, int], pages: tuple[str, ...], sitting: Callable[..., Keeper]
) -> None:
    one = sitting("petra", size)
    one.page.add_init_script(f"try {{ localStorage.setItem('tarsus-scheme', '{scheme}') }} catch {{}}")
    begin_roll_call(one)
    found: dict[str, list[str]] = {}
    for at in addresses(one, pages):
        open_page(one, at)
        assert one.page.evaluate("() => document.documentElement.dataset.scheme") == scheme
        trouble = faults(one.page) + small_targets(one.page)
        if overflow(one.page) > 0:
            trouble.append(f"{overflow(one.page)} px too wide")
        if trouble:
            found[at] = trouble
    assert found == {}


def test_the_walk_finds_what_is_wrong_with_a_page(sitting: Callable[..., Keeper]) -> None:
    one = sitting("tamsin")
    one.page.goto("/more/")
    one.page.evaluate(
        """() => document.querySelector('main').insertAdjacentHTML('beforeend',
        '<img src="/static/x.png"><button class="tiny"></button><p class="wide-thing">x</p>')"""
    )
    one.page.evaluate("() => { document.querySelector('.wide-thing').style.width = '900px'; }")
    told = " ".join(faults(one.page))
    assert "image-alt" in told
    assert "button-name" in told
    assert any("tiny" in target for target in small_targets(one.page))
    assert overflow(one.page) > 400


def test_axe_finds_nothing_where_one_signs_in(chromium: Any, live_server: Any, db: None) -> None:
    page = chromium.new_page(viewport={"width": 360, "height": 640})
    page.goto(f"{live_server.url}/sign-in/")
    assert faults(page) == []
    page.close()


def test_a_page_is_walked_by_keyboard_alone(sitting: Callable[..., Keeper]) -> None:
    one = sitting("tamsin", (1280, 900))
    one.page.goto("/")
    one.page.keyboard.press("Tab")
    assert one.page.evaluate("() => document.activeElement.className") == "skip"
    one.page.keyboard.press("Enter")
    assert one.page.evaluate("() => location.hash") == "#main"
    one.page.keyboard.press("Tab")
    outline = one.page.evaluate("() => getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid", "where the keyboard stands can be seen"


def test_a_drawing_is_named_for_those_who_do_not_see_it(sitting: Callable[..., Keeper]) -> None:
    one = sitting("tamsin")
    one.page.goto(f"/birds/{one.park.birds['Sedge']}/")
    named = one.page.get_by_role("img", name="Sedge: metal on the left, yellow over green on the right")
    expect(named).to_have_count(1)
