"""The first hour at a phone: from the address that the server printed to the first name that is tapped.

A sheet of sixty birds of one species, as a park keeps it. What is typed and what is tapped is counted.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from browser.conftest import PHONE
from tarsus.actions.settings.first_address import sealed_secret

MOST_STEPS = 12
MOST_TYPED = 8
COLOURS = ("red", "white", "yellow", "blue", "black", "green")
NAMES = (
    *("Alder", "Brine", "Cress", "Dune", "Eddy", "Fern", "Gale", "Heath", "Iris", "Juniper"),
    *("Kelp", "Ling", "Marram", "Nettle", "Oat", "Pebble", "Quill", "Rush", "Sedge", "Thrift"),
)


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    """Sixty redshanks in one aviary: metal on the side of the sex, two colours on the other leg."""
    pairs = [f"{one}/{other}" for one in COLOURS for other in COLOURS if one != other]
    path = tmp_path / "our birds.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.writer(file)
        out.writerow(["Name", "Species", "Sex", "Hatched", "Aviary", "Left leg", "Right leg", "Ring no."])
        for at in range(60):
            name = NAMES[at % 20] + ("", " of the bank", " of the mere")[at // 20]
            legs = ["metal", pairs[at // 2]][:: 1 if at % 2 else -1]
            out.writerow(
                [
                    name,
                    "Redshank",
                    "MF"[at % 2],
                    f"{1 + at % 28}.5.2021",
                    "Mere Aviary",
                    *legs,
                    f"WB {4000 + at}",
                ]
            )
    return path


class Newcomer:
    """Somebody who never saw Tarsus: what they type and what they tap is counted."""

    def __init__(self, page: Page) -> None:
        self.page, self.steps, self.typed = page, 0, 0

    def type(self, field: str, text: str) -> None:
        self.page.fill(f"[name={field}]", text)
        self.typed += 1

    def tap(self, selector: str) -> None:
        self.page.locator(selector).first.click()
        self.steps += 1

    def choose(self, selector: str, value: str) -> None:
        self.page.select_option(selector, value)
        self.steps += 1

    def bring(self, path: Path) -> None:
        self.page.set_input_files("#file", path)
        self.steps += 1

    def at(self, where: str) -> None:
        self.page.wait_for_url(f"**{where}")


@pytest.fixture
def newcomer(
    chromium: Browser, live_server: Any, transactional_db: None, settings: Any
) -> Iterator[tuple[Newcomer, str]]:
    secret, settings.FIRST_PERSON = sealed_secret(datetime.now(UTC))
    context = chromium.new_context(
        viewport={"width": PHONE[0], "height": PHONE[1]},
        has_touch=True,
        locale="en-GB",
        timezone_id="Pacific/Auckland",
        base_url=live_server.url,
    )
    context.set_default_timeout(30_000)
    troubles: list[str] = []
    page = context.new_page()
    page.on("pageerror", lambda error: troubles.append(f"{page.url}: {error}"))
    page.on("console", lambda line: troubles.append(line.text) if "Security Policy" in line.text else None)
    yield Newcomer(page), f"/first/{secret}/"
    context.close()
    assert not troubles, troubles


def test_from_the_printed_address_to_the_first_name(
    newcomer: tuple[Newcomer, str], sheet: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, address = newcomer
    page = one.page
    page.goto(address)
    one.type("display_name", "Corin Tallgrass")
    one.type("password", "a long walk to the mere")
    one.type("park", "Fenwade Aviaries")
    one.tap("button:text-is('Begin')")
    one.at("/new-park/bands/")
    one.tap("button:text-is('Go on')")
    one.at("/new-park/exhibits/")
    one.tap("button:text-is('Go on')")
    one.at("/new-park/sheet/")
    one.bring(sheet)
    one.tap("button:text-is('Look at it')")
    one.at("/import/look/")
    one.choose("select[name^=where-]", "leg")
    one.tap("button:text-is('Look again')")
    page.wait_for_selector("text=60 birds would go in")
    one.tap("button[name=bring]")
    one.at("/new-park/rules/")
    assert page.locator(".choice").first.inner_text().startswith("As most of your birds wear them")
    one.tap("button:text-is('Go on')")
    one.at("/new-park/phone/")
    one.tap("text=Call Mere Aviary, 60 birds")
    page.wait_for_selector("#main section")
    one.tap("text=all 60")
    one.tap("text=Save the count")
    page.wait_for_selector("#main .tile")
    steps, typed = one.steps, one.typed
    with capsys.disabled():
        print(f"\nfirst hour: {steps} steps, {typed} typed fields before the first name")
    assert steps <= MOST_STEPS
    assert typed <= MOST_TYPED
    one.tap("#main .tile")
    page.wait_for_selector("#main .tile.is-seen")
    page.wait_for_selector("#call-badge .is-sent", timeout=20_000)

    from tarsus.records.models import Park, Rule, Sighting

    assert Sighting.objects.count() == 1
    assert Park.objects.get().time_zone == "Pacific/Auckland", "as this phone's clock is set"
    assert Rule.objects.get().metal == {"F": "left leg", "M": "right leg", "U": None}


def test_every_page_of_the_way_fits_a_phone_and_its_targets_a_thumb(newcomer: tuple[Newcomer, str]) -> None:
    one, address = newcomer
    page = one.page
    page.goto(address)
    small = """() => [...document.querySelectorAll('main button, main .btn, main .choice')]
        .filter((one) => one.getBoundingClientRect().height < 47).map((one) => one.textContent)"""
    wide = "() => document.documentElement.scrollWidth > window.innerWidth"
    for selector, text in (("display_name", "Corin"), ("password", "a long walk home"), ("park", "Fenwade")):
        one.type(selector, text)
    assert not page.evaluate(wide)
    assert not page.evaluate(small)
    one.tap("button:text-is('Begin')")
    for step in ("bands", "exhibits", "sheet", "rules", "phone"):
        page.goto(f"/new-park/{step}/")
        assert not page.evaluate(wide), step
        assert not page.evaluate(small), step


def test_a_phone_joins_by_what_the_other_screen_shows(
    newcomer: tuple[Newcomer, str], chromium: Browser, live_server: Any
) -> None:
    """The picture holds an address; the phone that opens it is signed in by one tap, and no second one."""
    from tarsus.actions.joining_phones import joining_code
    from tarsus.actions.settings.first_person import begin_park

    _, _ = newcomer
    person = begin_park(
        display_name="Corin", login="", password="a long walk home", park="Fenwade", time_zone="Europe/London"
    )
    code = joining_code(person)
    for works in (True, False):
        context = chromium.new_context(
            viewport={"width": PHONE[0], "height": PHONE[1]}, base_url=live_server.url
        )
        phone = context.new_page()
        phone.goto(f"/join/{code}/")
        if works:
            phone.click("button:text-is('Join')")
            phone.wait_for_selector("h1:has-text('Today')", state="attached")
        else:
            assert "leads nowhere" in phone.inner_text("main")
        context.close()
