"""What is measured on a page: words that are cut off or run out of their box, at any size of type."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page

CUT_OFF = (Path(__file__).parent / "cut_off.js").read_text(encoding="utf-8")
# The spacing that a reader may set (WCAG 2.2, 1.4.12).
SPACED = """() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(`
        * { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important; }
        p { margin-bottom: 2em !important; }`);
    document.adoptedStyleSheets.push(sheet);
}"""


# As a sheet and not on the elements: a page that draws itself anew takes its elements' own styles away again.
ASIDE = """() => {
    const bars = new Set();
    for (const el of document.querySelectorAll('*'))
        if (['fixed', 'sticky'].includes(getComputedStyle(el).position))
            bars.add([el.tagName.toLowerCase(), ...el.classList].map((one) => CSS.escape(one)).join('.'));
    const sheet = new CSSStyleSheet();
    for (const bar of bars) sheet.insertRule(bar + ' { position: static !important; }');
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
}"""


def put_bars_aside(page: Page) -> None:
    """Bars that cover what is scrolled under them stand aside."""
    page.evaluate(ASIDE)


def cut_off(page: Page) -> list[str]:
    """Each piece of text that cannot be read whole, and why."""
    found: list[str] = page.evaluate(CUT_OFF)
    return found


class Worked:
    """What the scripts of a page worked, by the processor: what else runs on this machine does not count."""

    def __init__(self, page: Page) -> None:
        self._session = page.context.new_cdp_session(page)
        self._session.send("Performance.enable", {"timeDomain": "threadTicks"})

    def ms(self) -> float:
        told = self._session.send("Performance.getMetrics")["metrics"]
        return 1000 * float(next(one["value"] for one in told if one["name"] == "ScriptDuration"))


class TypeSize:
    """The reader's own size of type, as it is set in a browser's settings; it holds while this is kept."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._session = page.context.new_cdp_session(page)

    def set(self, per_cent: int) -> None:
        """Text at so many per cent of the usual sixteen pixels."""
        size = 16 * per_cent // 100
        self._session.send("Page.setFontSizes", {"fontSizes": {"standard": size, "fixed": size}})
        self._page.wait_for_function(
            "(size) => parseFloat(getComputedStyle(document.documentElement).fontSize) === size", arg=size
        )
