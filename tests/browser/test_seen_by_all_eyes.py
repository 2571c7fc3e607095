"""Bands and what is chosen, as every eye sees them: colours forced, without red, green or blue, on paper.

Outside source: WCAG 2.2, success criteria 1.4.1 (not by colour alone) and 1.4.11 (three to one). The
deficiencies are Chromium's own, none of our sums.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from io import BytesIO
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import ElementHandle, Page

from browser.keeper import Keeper
from browser.measures import put_bars_aside
from browser.walk import addresses, begin_roll_call, open_page

WITH_BIRDS = (
    "/",
    "/exhibits/{shingle}/",
    "/flocks/{shingle}/avocet/",
    "/flocks/{shingle}/avocet/days/",
    "/birds/{bird}/",
    "/find/?q=a",
    "/deeds/band_on/?bird={bird}",
    "/arrivals/",
    "/samples/",
    "/marking-desk/{shingle}/avocet/",
    "/settings/species/{species}/rule/",
    "/exhibits/{shingle}/roll-call/#tiles",
    "/exhibits/{shingle}/roll-call/#read",
    "/exhibits/{shingle}/roll-call/#close",
    "/exhibits/{shingle}/roll-call/#second-look",
    "/who/#name",
    "/tell/#deed=death&bird={bird}",
    "/in-hand/",
    "/in-hand/#bird-{bird}",
)
# The size as it is shown: a drawing's own units by how large the drawing is.
SMALL = """() => [...document.querySelectorAll('main .bd .band text, main .bd-close .side-word')]
    .filter((letter) => letter.checkVisibility({ visibilityProperty: true }))
    .map((letter) => [letter, parseFloat(getComputedStyle(letter).fontSize) * letter.getScreenCTM().d])
    .filter(([, size]) => size < 12.95)
    .map(([letter, size]) => `${letter.textContent} ${size.toFixed(1)}  ${letter.closest('svg').classList}, `
        + letter.closest('band-drawing, leg-keys')?.parentNode.outerHTML.slice(0, 90))"""
LETTERS = """() => [...document.querySelectorAll('main .bd .band text')].map((letter) => {
    const { x, y, width, height } = letter.getBoundingClientRect();
    const [left, top] = [x + scrollX, y + scrollY];
    return { said: letter.textContent, x: left, y: top + height * 0.2, width, height: height * 0.6 };
}).filter(({ x, width }) => x >= 0 && x + width <= innerWidth)"""
CHOSEN = "[aria-pressed=true], [aria-current], [aria-checked=true], [aria-selected=true]"
STATES = ("tiles", "colours", "rail", "concern", "set")
LIVE = tuple(f"/exhibits/{{shingle}}/roll-call/#{state}" for state in STATES)
EYES = ("forced", "protanopia", "deuteranopia", "tritanopia")


@pytest.fixture
def petra(keeper: Callable[..., Keeper]) -> Keeper:
    """A phone of somebody who may do everything."""
    return keeper("petra")


def seen_by_each(page: Page, *all_eyes: str) -> Iterator[str]:
    """The page as one after the other sees it, without being opened anew."""
    session: Any = page.context.new_cdp_session(page)
    for eyes in (*all_eyes, "usual"):
        page.emulate_media(
            forced_colors="active" if eyes == "forced" else "none",
            media="print" if eyes == "paper" else "screen",
        )
        deficiency = "none" if eyes in ("forced", "paper", "usual") else eyes
        session.send("Emulation.setEmulatedVisionDeficiency", {"type": deficiency})
        if eyes != "usual":
            yield eyes
    session.detach()


def luminance(picture: bytes) -> NDArray[np.float64]:
    """The relative luminance of each pixel, by WCAG 2.2."""
    part = np.asarray(Image.open(BytesIO(picture)).convert("RGB"), dtype=np.float64) / 255
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
    return linear @ np.array([0.2126, 0.7152, 0.0722])


def contrast(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    return (np.maximum(one, other) + 0.05) / (np.minimum(one, other) + 0.05)


def test_a_letter_is_large_enough_on_a_phone_wherever_a_bird_is_shown(petra: Keeper) -> None:
    begin_roll_call(petra)
    small: dict[str, list[str]] = {}
    for address in addresses(petra, WITH_BIRDS):
        open_page(petra, address)
        if found := petra.page.evaluate(SMALL):
            small[address] = found[:4]
    assert small == {}


def test_every_band_can_be_read_by_its_letter(petra: Keeper) -> None:
    open_page(petra, "/drawing/")
    put_bars_aside(petra.page)
    faint, seen = [], []
    for eyes in seen_by_each(petra.page, *EYES, "paper"):
        seen.append(eyes)
        drawn = luminance(petra.page.screenshot(full_page=True, animations="disabled"))
        letters = petra.page.evaluate(LETTERS)
        assert len({letter["said"] for letter in letters}) >= 8
        for box in letters:
            x, y = int(box["x"]), int(box["y"])
            inside = drawn[y : y + int(box["height"]) + 1, x : x + int(box["width"]) + 1]
            reached = contrast(inside.max(), inside.min())
            faint += [f"{eyes}, {box['said']}: {reached:.1f} to 1"] if reached < 3 else []
    assert seen == [*EYES, "paper"]
    assert faint == []


def place_of(chosen: ElementHandle) -> Any:
    """The place of a chosen thing with what stands around it; nothing where it is out of view."""
    box, seen = (
        chosen.bounding_box(),
        chosen.evaluate("el => el.getBoundingClientRect().bottom <= innerHeight"),
    )
    if box is None or not box["height"] or not seen:
        return None
    left, top = max(0, int(box["x"]) - 4), max(0, int(box["y"]) - 4)
    return {"x": left, "y": top, "width": int(box["width"]) + 8, "height": int(box["height"]) + 8}


def shown(page: Page, place: Any) -> NDArray[np.float64]:
    return luminance(page.screenshot(clip=place, animations="disabled", caret="hide"))


# A live page may be drawn anew at any time, and is then as it was.
# In a drawing corners are drawn around what is chosen.
AS_IF_NOT = """(el, names) => names.some((name) => {
    el.asItWas ??= [];
    if (el instanceof SVGElement) {
        const corners = el.querySelector('.aim'), next = corners?.nextSibling;
        if (corners) el.asItWas.push(() => el.insertBefore(corners, next));
        corners?.remove();
        return Boolean(corners);
    }
    const said = el.getAttribute(name), was = said !== null && said !== 'false';
    if (was) el.asItWas.push(() => el.setAttribute(name, said));
    if (was && name === 'aria-current') el.removeAttribute(name);
    else if (was) el.setAttribute(name, 'false');
    return was;
})"""
AS_IT_WAS = "el => { for (const back of el.asItWas?.splice(0).reverse() ?? []) back(); }"
NAMES = ["aria-pressed", "aria-checked", "aria-selected", "aria-current"]


def test_what_is_chosen_is_told_without_its_colour(petra: Keeper) -> None:
    begin_roll_call(petra)
    petra.wait_until_sent()
    alike, looked_at = [], Counter[str]()
    for address in addresses(petra, (*LIVE, "/who/")):
        open_page(petra, address)
        for eyes in seen_by_each(petra.page, *EYES):
            for chosen in petra.page.query_selector_all(CHOSEN):
                place = place_of(chosen)
                if place is None:
                    continue
                looked_at[eyes] += 1
                as_chosen, otherwise = shown(petra.page, place), None
                while chosen.evaluate(AS_IF_NOT, NAMES):
                    otherwise = shown(petra.page, place)
                chosen.evaluate(AS_IT_WAS)
                assert otherwise is not None
                differing = int((contrast(as_chosen, otherwise) >= 3).sum())
                if differing < 40:
                    alike.append(f"{eyes}, {address}: {chosen.text_content()} ({differing} pixels)")
    assert set(looked_at) == set(EYES)
    assert min(looked_at.values()) >= 6
    assert alike == []
