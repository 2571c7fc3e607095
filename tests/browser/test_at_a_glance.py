"""Looked at, not read: the words that Chromium shows on a phone, and what its first screen holds."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from browser.conftest import PHONE
from browser.keeper import Keeper
from browser.walk import addresses, open_page
from tarsus.records import models as rows

# Folded parts, drawings, a list that is not open and what only a screen reader says are not read.
WORDS_SHOWN = """() => {
    const texts = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
    const part = document.createRange();
    let words = 0;
    while (texts.nextNode()) {
        const text = texts.currentNode, holder = text.parentElement;
        if (holder.closest('svg, option, .hide')) continue;
        if (!holder.checkVisibility({ visibilityProperty: true })) continue;
        part.selectNodeContents(text);
        if (![...part.getClientRects()].some(({ width, height }) => width > 1 && height > 1)) continue;
        words += text.data.split(/\\s+/).filter((word) => /[\\p{L}\\p{N}]/u.test(word)).length;
    }
    return words;
}"""
# Of what a selector names: the words of whatever does not stand whole between the two bars.
OFF_THE_FIRST_SCREEN = """(selector) => {
    const top = document.querySelector('.top').getBoundingClientRect().bottom;
    const end = document.querySelector('nav.nav').getBoundingClientRect().top;
    return [...document.querySelectorAll(selector)]
        .filter((one) => {
            const box = one.getBoundingClientRect();
            return box.top < top - 1 || box.bottom > end + 1;
        })
        .map((one) => one.innerText);
}"""
EXHIBIT, ON_SEARCH = ".day-strip .exh", ".miss:has(.advice.search)"
MOST = {"/": 350, "/flocks/{shingle}/avocet/": 400, "/birds/{bird}/": 330, "/birds/{beside}/": 330}


@pytest.mark.parametrize("login", ["tamsin", "hesper", "alder", "ivo"])
def test_today_a_flock_and_a_bird_show_no_more_words_than_are_read_at_a_glance(
    keeper: Callable[..., Keeper], login: str
) -> None:
    one = keeper(login)
    for address, most in MOST.items():
        open_page(one, *addresses(one, [address]))
        told = one.page.evaluate(WORDS_SHOWN)
        assert 60 < told <= most, f"{address}: {told} words"


def test_the_first_screen_of_a_phone_shows_every_exhibit_with_its_state_and_who_is_on_search(
    keeper: Callable[..., Keeper],
) -> None:
    rows.Species.objects.update(max_unseen_days=1)  # Sedge was not seen yesterday
    one = keeper("tamsin", size=PHONE)
    open_page(one, "/")
    page, shown = one.page, rows.Exhibit.objects.exclude(purpose="hospital")  # no bird is in it
    assert page.locator(f"{EXHIBIT} .name").all_inner_texts() == [
        exhibit.name for exhibit in shown.order_by("order", "name")
    ]
    assert all(page.locator(f"{EXHIBIT} .state").all_inner_texts())
    shingle = page.locator(EXHIBIT).filter(has_text="Shingle Aviary")
    assert shingle.locator("a.btn").inner_text() == "Call"
    assert "To call" in shingle.locator(".state").inner_text()
    assert page.locator(ON_SEARCH).count() > 0, "the park has somebody on search"
    for what in (EXHIBIT, ON_SEARCH):
        assert page.evaluate(OFF_THE_FIRST_SCREEN, what) == []
    # The likeliest place, the days and the limit stand in the line below the name, the fortnight below it.
    first = page.locator(ON_SEARCH).first
    assert " · " in first.locator("p.small").first.inner_text()
    assert first.locator("summary svg.strip").is_visible()
    why = first.locator("details p").first
    assert not why.is_visible()
    first.locator("summary").click()
    assert why.is_visible()


def test_the_measure_of_the_first_screen_finds_what_lies_below_it(keeper: Callable[..., Keeper]) -> None:
    one = keeper("tamsin", size=PHONE)
    open_page(one, "/")
    assert one.page.evaluate(OFF_THE_FIRST_SCREEN, ".due") != []
    before = one.page.evaluate(WORDS_SHOWN)
    one.page.locator("details.why summary").first.click()
    assert one.page.evaluate(WORDS_SHOWN) > before
