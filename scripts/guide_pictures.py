"""Take the pictures of the keepers' guide anew: one real screen of the invented park a page.

Start a fresh park first (`tarsus demo --home some-empty-folder --port 8104`), then:

    .venv/bin/python scripts/guide_pictures.py http://127.0.0.1:8104 docs/images/guide

A page's picture is called like the page in `docs/keepers`; names of pages behind the folder take these alone.
The last one opens the invented park to visitors.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

PHONE: Final = {"width": 390, "height": 560}
LARGEST: Final = 60_000
"""Bytes of a picture; a page that needs more shows less."""
PASSWORD: Final = "{}-at-dawn"
SETTLES_MS: Final = 1500
PATIENCE_MS: Final = 90_000


def _as_it_is(_page: Page) -> None:
    """Nothing to tap first."""


def _begun(page: Page) -> None:
    page.get_by_role("button", name="2", exact=True).click()
    page.get_by_role("button", name="8", exact=True).click()
    page.get_by_role("button", name="Save the count").click()
    for bird in ("Loam", "Whelk", "Thrift"):
        page.get_by_role("button", name=bird).first.click()


def _opened_to_visitors(page: Page) -> None:
    home = page.url.split("/visitors/")[0]
    page.goto(f"{home}/settings/park/")
    page.get_by_label("Visitors may open a page").select_option("plain")
    with page.expect_navigation():
        page.get_by_role("button", name="Save").click()
    page.goto(f"{home}/visitors/1/")


@dataclass(frozen=True, slots=True)
class Screen:
    """One picture: of which page of the guide, who looks, where, and what is tapped first.

    `kept` screens show what is on the phone. The others do without a worker, which would stand in for a slow
    server, and without packs, which are dear to make.
    """

    page: str
    who: str
    path: str
    first: Callable[[Page], None] = _as_it_is
    kept: bool = False


SCREENS: Final = (
    Screen("today", "tamsin", "/"),
    Screen("call-a-roll", "tamsin", "/exhibits/1/roll-call/", _begun, kept=True),
    Screen("who-is-it", "tamsin", "/who/", kept=True),
    Screen("in-hand", "tamsin", "/in-hand/", kept=True),
    Screen("record", "tamsin", "/tell/", kept=True),
    Screen("no-signal", "tamsin", "/on-this-phone/", kept=True),
    Screen("bird", "tamsin", "/birds/17/"),
    Screen("flock", "tamsin", "/flocks/1/avocet/"),
    Screen("learn-the-flock", "tamsin", "/exhibits/1/practice/", kept=True),
    Screen("exhibit-plan", "tamsin", "/exhibits/3/plan/"),
    Screen("arrivals", "tamsin", "/arrivals/"),
    Screen("nests", "tamsin", "/nests/"),
    Screen("samples", "tamsin", "/samples/"),
    Screen("waiting-facts", "tamsin", "/waiting/"),
    Screen("with-the-vet", "alder", "/"),
    Screen("months", "ivo", "/months/"),
    Screen("reports", "ivo", "/reports/"),
    Screen("export", "ivo", "/export/"),
    Screen("catch-up", "hesper", "/catch-up/"),
    Screen("choose-marks", "hesper", "/marking-desk/1/avocet/"),
    Screen("stock", "hesper", "/stock/"),
    Screen("import", "hesper", "/import/"),
    Screen("shared-phones", "tamsin", "/settings/pin/"),
    Screen("settings", "hesper", "/settings/"),
    Screen("visitors", "hesper", "/visitors/1/", _opened_to_visitors),
)


def main(address: str, folder: str, *only: str) -> None:
    """Sign each person in once, take their pictures, and say which one is too large."""
    Path(folder).mkdir(parents=True, exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        pages: dict[tuple[str, bool], Page] = {}
        for screen in (one for one in SCREENS if not only or one.page in only):
            own = (screen.who, screen.kept)
            page = pages.get(own) or pages.setdefault(own, _signed_in(browser, address, *own))
            page.goto(f"{address}{screen.path}")
            page.wait_for_load_state("load")
            screen.first(page)
            page.wait_for_timeout(SETTLES_MS)
            picture = _small(page.screenshot())
            if len(picture) > LARGEST:
                sys.exit(f"{screen.page}: {len(picture)} bytes are more than {LARGEST}; show less of it")
            (Path(folder) / f"{screen.page}.png").write_bytes(picture)
            print(screen.page, len(picture))
        browser.close()


def _small(png: bytes) -> bytes:
    """The same picture in its 128 commonest colours: a page of ours has few."""
    out = io.BytesIO()
    Image.open(io.BytesIO(png)).convert("RGB").quantize(128).save(out, "PNG", optimize=True)
    return out.getvalue()


def _signed_in(browser: Browser, address: str, who: str, kept: bool) -> Page:
    workers: Literal["allow", "block"] = "allow" if kept else "block"
    page = browser.new_context(viewport=PHONE, service_workers=workers).new_page()
    if not kept:
        page.route("**/*pack.json", lambda asked: asked.abort())
    page.set_default_timeout(PATIENCE_MS)
    page.goto(f"{address}/sign-in/")
    page.get_by_label("Name").fill(who)
    page.get_by_label("Password").fill(PASSWORD.format(who))
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_load_state("load")
    return page


if __name__ == "__main__":
    main(*sys.argv[1:])
