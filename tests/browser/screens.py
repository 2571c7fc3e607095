"""Take a picture of every page and lay them out on one sheet to be looked at: `make screens`.

No test: the suite does not gather this file. Every page of the walk, or those whose address holds ``ONLY``,
at two widths, light and dark, in five states of the park; the sheet is ``var/screens/index.html``, or in the
folder that ``SCREENS`` names.
"""

from __future__ import annotations

import os
from datetime import date
from html import escape
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from browser.keeper import Keeper
from browser.walk import (
    LIVE,
    PAGES,
    addresses,
    begin_roll_call,
    bring_avocets,
    give_long_names,
    open_page,
)
from browser.wire import Wire

FOLDER = Path(os.environ.get("SCREENS", Path(__file__).parents[2] / "var" / "screens"))
SIZES = ((390, 844), (1280, 900))
SCHEMES = ("light", "dark")
STATES = ("plain", "long-names", "200-birds", "empty", "offline")
MORE = (
    "/exhibits/{shingle}/plan/",
    "/exhibits/{shingle}/plan/edit/",
    "/exhibits/{shingle}/practice/",
    "/exhibits/{shingle}/ready/",
    "/export/",
    "/new-park/",
    "/new-park/bands/",
    "/new-park/exhibits/",
    "/new-park/phone/",
    "/new-park/rules/",
    "/new-park/rules/{species}/",
    "/new-park/sheet/",
    "/reports/",
    "/reports/inventory/",
    "/settings/colours/{colour}/",
    "/settings/exhibits/{shingle}/places/{place}/",
    "/settings/people/{person}/sessions/",
    "/settings/phone/",
    "/settings/phone-news/",
    "/settings/pin/",
    "/settings/second-step/",
    "/settings/sessions/",
)
"""Pages beside those that the tests walk."""
KEPT = ("/", "/roll-call/", *(page for page in LIVE if page != "/tell/#deed=death&bird={bird}"))
SHEET = """<!doctype html><html lang="en"><meta charset="utf-8"><title>Every page</title>
<style>body{{font:14px system-ui;margin:16px}}section{{display:flex;gap:12px;align-items:flex-start;
border-top:1px solid #999;padding:12px 0}}h2{{width:14rem;font-size:14px;overflow-wrap:anywhere;flex:none}}
figure{{margin:0}}img{{border:1px solid #999;display:block}}.w390 img{{width:150px}}.w1280 img{{width:300px}}
</style><h1>{count} pictures</h1><p>{states}</p>{rows}</html>"""


def _who(browser: Browser, url: str, size: tuple[int, int], scheme: Any, park: Any) -> Keeper:
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        color_scheme=scheme,
        has_touch=size[0] < 800,
        locale="en-GB",
        timezone_id="Europe/London",
        base_url=url,
    )
    context.set_default_timeout(60_000)
    one = Keeper(context.new_page(), park)
    one.sign_in("petra")
    return one


def _open(one: Keeper, address: str, state: str) -> None:
    """Open a page; where a live one has nothing to show it says so, and is taken as it says it."""
    if state in ("empty", "offline"):
        one.page.goto("about:blank")
        one.page.goto(address)
        one.page.wait_for_timeout(700)
    else:
        open_page(one, address)


def _take(page: Page, name: str) -> None:
    page.screenshot(path=str(FOLDER / name), full_page=True, type="jpeg", quality=55, animations="disabled")


def _empty_park() -> Any:
    from tarsus.demo.loaded import LoadedPark
    from tarsus.records.models import Person

    petra = Person.objects.create_user("petra", "petra-at-dawn", display_name="Petra", role="administrator")
    return LoadedPark(date.today(), {"petra": petra.pk}, {}, {})  # noqa: DTZ011  # nothing hangs on the day


def _name(state: str, at: int, width: int, scheme: str) -> str:
    return f"{state}-{at:03}-{width}-{scheme}.jpg"


@pytest.mark.parametrize("state", STATES)
def test_take_every_page(
    state: str, chromium: Browser, live_server: Any, transactional_db: None, request: pytest.FixtureRequest
) -> None:
    park = _empty_park() if state == "empty" else request.getfixturevalue("wendlebrook")
    if state == "200-birds":
        bring_avocets(park, 170)
    FOLDER.mkdir(parents=True, exist_ok=True)
    for old in FOLDER.glob(f"{state}-*"):
        old.unlink()
    wire = Wire((live_server.thread.host, live_server.thread.port)) if state == "offline" else None
    first = _who(chromium, live_server.url, SIZES[0], "light", park)
    if park.birds:
        begin_roll_call(first)
    if state == "long-names":
        give_long_names()
    pages = addresses(first, KEPT) if wire else addresses(first, (*PAGES, *MORE))
    first.page.context.close()
    pages = [address for address in pages if os.environ.get("ONLY", "") in address]
    for size in SIZES:
        for scheme in SCHEMES:
            one = _who(chromium, wire.url if wire else live_server.url, size, scheme, park)
            if wire:
                for address in pages:  # once with a signal, so that the phone has it
                    open_page(one, address)
                one.page.evaluate("() => navigator.serviceWorker.ready.then(() => 1)")
                wire.cut()
            for at, address in enumerate(pages):
                _open(one, address, state)
                one.page.wait_for_timeout(150)  # a drawing that is still opening
                _take(one.page, _name(state, at, size[0], scheme))
            one.page.context.close()
            if wire:
                wire.mend()
    (FOLDER / f"{state}.txt").write_text("\n".join(pages), encoding="utf-8")
    _write_sheet()
    if wire:
        wire.cut()


def _write_sheet() -> None:
    """All states that were taken so far on one page."""
    rows, taken = [], [state for state in STATES if (FOLDER / f"{state}.txt").exists()]
    for state in taken:
        for at, address in enumerate((FOLDER / f"{state}.txt").read_text(encoding="utf-8").split("\n")):
            names = [(w, _name(state, at, w, scheme)) for w, _ in SIZES for scheme in SCHEMES]
            shown = "".join(
                f'<figure class="w{w}"><a href="{n}"><img loading="lazy" src="{n}" alt="{w} px"></a></figure>'
                for w, n in names
            )
            rows.append(f"<section><h2>{state}<br>{escape(address)}</h2>{shown}</section>")
    sheet = SHEET.format(count=4 * len(rows), states=", ".join(taken), rows="".join(rows))
    (FOLDER / "index.html").write_text(sheet, encoding="utf-8")
