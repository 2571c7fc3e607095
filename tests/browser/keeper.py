"""A keeper's hands on a phone: what is tapped, in the words of the roll call. Every tap is counted."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page

WAYS = {"By sight": "tiles", "Read": "read", "Group": "rail", "Close": "close", "Set": "set"}

WAITS_S = 60

PINS = {"Tamsin Reedmace": "2806", "Jory Millpond": "4170"}


class Keeper:
    """One person at one phone."""

    def __init__(self, page: Page, park: Any) -> None:
        self.page = page
        self.park = park
        self.taps = 0

    def sign_in(self, login: str) -> None:
        self.page.goto("/sign-in/")
        self.page.fill("[name=username]", login)
        self.page.fill("[name=password]", f"{login}-at-dawn")
        self.page.press("[name=password]", "Enter")
        self.page.wait_for_url(lambda address: "/sign-in/" not in address)

    def call_roll(self, exhibit: str = "Shingle Aviary", state: str = "") -> None:
        number = self.park.exhibits[exhibit]
        self.page.goto("about:blank")
        self.page.goto(f"/exhibits/{number}/roll-call/{state and '#' + state}")
        self.page.wait_for_selector("#main section")

    def tap(self, selector: str) -> None:
        self.taps += 1
        self.page.locator("#main").locator(selector).first.click()

    def turn_to(self, way: str) -> None:
        self.tap(f".modes >> text={way}")
        self.page.wait_for_selector(f"section[data-k=at-{WAYS[way]}]")

    def count(self, number: int) -> None:
        for digit in str(number):
            self.tap(f"[data-act=count-digit][data-value='{digit}']")
        self.tap("text=Save the count")
        self.page.wait_for_selector(".tiles")

    def see(self, name: str) -> None:
        """The bird is known by sight: one tap on its tile."""
        self.tap(self.tile(name))
        self.page.wait_for_selector(f"#main .tile.is-seen[data-bird='{self.park.birds[name]}']")

    def tile(self, name: str) -> str:
        return f".tile[data-bird='{self.park.birds[name]}']"

    def leg(self, side: str, bands: str, *, within: str = ".legs") -> None:
        """One tap on a whole-leg key, named as it is read aloud: *yellow over lime*."""
        self.tap(f"{within} [data-side={side}]:has(.hide:text-is('{side} leg: {bands}'))")
        self.page.wait_for_selector(f"#main {within} [data-side={side}][aria-pressed=true]")

    def accept(self, name: str) -> None:
        """One tap on a candidate's tile, named by reading."""
        self.tap(f".read-tiles {self.tile(name)}")
        self.strip_says(name)

    def strip_says(self, words: str) -> None:
        self.page.wait_for_selector(f"#main .strip b:text-is('{words}')")

    def hand_over_to(self, person: str) -> None:
        self.turn_to("Set")
        self.page.select_option("#who-looks", label=person)
        self.page.fill("dialog.pin input", PINS[person])
        self.page.press("dialog.pin input", "Enter")
        self.page.wait_for_selector("dialog.pin", state="detached")
        self.taps += 2

    def close(self) -> None:
        self.tap("[data-act=close-round]")
        self.page.wait_for_selector("section[data-k=at-closed]")

    def wait_until_sent(self) -> None:
        self.page.wait_for_selector("#call-badge .is-sent")

    def wait_until(self, is_so: Callable[[], bool]) -> None:
        """Until the register or the phone's disk is so: no page says when."""
        ends = time.monotonic() + WAITS_S
        while not is_so():
            assert time.monotonic() < ends, "it never became so"
            self.page.wait_for_timeout(50)

    def entries(self) -> list[dict[str, Any]]:
        """What the phone's own disk holds, asked from the disk."""
        asked = """async () => new Promise((resolve) => {
            const open = indexedDB.open('tarsus');
            open.onsuccess = () => {
                const all = open.result.transaction('facts').objectStore('facts').getAll();
                all.onsuccess = () => { open.result.close(); resolve(all.result); };
            };
        })"""
        found: list[dict[str, Any]] = self.page.evaluate(asked)
        return sorted(found, key=lambda entry: entry["order"])

    def ready_for_no_signal(self) -> None:
        """One visit with a connection: until the worker holds the pages, and the phone the packs."""
        self.page.goto("/")
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        self.page.wait_for_function("() => navigator.serviceWorker.controller", timeout=60_000)
        self.wait_until_packs_are_here()

    def wait_until_packs_are_here(self) -> None:
        """Until the packs of all exhibits were fetched after signing in."""
        self.page.wait_for_function(
            """() => new Promise((resolve) => {
                const open = indexedDB.open('tarsus');
                open.onsuccess = () => {
                    const ahead = open.result.transaction('phone').objectStore('phone').get('ahead');
                    ahead.onsuccess = () => { open.result.close(); resolve(!!ahead.result); };
                };
            })""",
            timeout=60_000,
        )

    def reopen(self) -> None:
        """The page is gone without a word, and is opened again at the same address."""
        address, context = self.page.url, self.page.context
        self.page.close(run_before_unload=False)
        self.page = context.new_page()
        self.page.goto(address)
        self.page.wait_for_selector("#main section")

    def kept(self) -> str:
        """What the badge says."""
        return " ".join(self.page.inner_text("#call-badge").split())
