"""Every page on paper, as Chromium prints it: no bars, nothing to press, folded parts open, no row torn.

Outside check: the PDF is read back with pypdf (general purpose).
"""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from unicodedata import normalize

from playwright.sync_api import Page
from pypdf import PdfReader

from browser.keeper import Keeper
from browser.walk import PAGES, addresses, open_page

# The pages that somebody carries out of the office; the live ones have their own paper, the sheet.
CARRIED = tuple(page for page in PAGES if "#" not in page and not page.startswith(("/settings/", "/deeds/")))
BARS = ("Who is it?", "To the page", "More")
# The first words of each folded part. Not the letters of a drawing, which a PDF holds in an order of its own;
# not the birds behind a line of a month, which is no part of an inventory, nor keys that record something.
FOLDED = """() => [...document.querySelectorAll('main details')]
    .filter((part) => !part.closest('.m-row, [aria-labelledby=pu]'))
    .flatMap((part) => {
        const walk = document.createTreeWalker(part, NodeFilter.SHOW_TEXT), lines = [];
        while (walk.nextNode()) {
            const line = walk.currentNode.textContent.trim().split(/\\s+/).slice(0, 3).join(' ');
            const unread = walk.currentNode.parentElement.closest('svg, summary, .hide, option, button');
            if (line && !unread) lines.push(line);
        }
        return lines.slice(0, 1);
    })"""
TORN = """() => [...document.querySelectorAll('main .line.row, main li, main tr, main figure')]
    .filter((row) => getComputedStyle(row).breakInside !== 'avoid')
    .map((row) => row.outerHTML.slice(0, 80))"""


def on_paper(page: Page) -> str:
    """The words of the page as it is printed."""
    printed = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True)))
    words = " ".join(sheet.extract_text() for sheet in printed.pages)
    return " ".join(normalize("NFKC", words).split())  # letters that are set as one are two again


def test_every_page_prints_its_words_and_nothing_to_press(keeper: Callable[..., Keeper]) -> None:
    one = keeper("petra")
    told = []
    for address in addresses(one, CARRIED):
        open_page(one, address)
        words = on_paper(one.page)
        if all(bar in words for bar in BARS):
            told.append(f"{address}: the menu is printed")
        squeezed = words.replace(" ", "")
        folded = [part for part in one.page.evaluate(FOLDED) if part.replace(" ", "") not in squeezed]
        told += [f"{address}: stays folded: {part}" for part in folded]
        one.page.emulate_media(media="print")
        told += [f"{address}: may be torn: {row}" for row in one.page.evaluate(TORN)]
        shown = one.page.locator("main .btn:visible, .nav:visible, .back:visible").count()
        told += [f"{address}: {shown} keys to press are printed"] if shown else []
        one.page.emulate_media(media="screen")
    assert not told, "\n".join(told)
