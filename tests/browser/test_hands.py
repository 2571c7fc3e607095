"""Into whose hands a phone goes, and what it forgets when they leave."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from browser.keeper import PINS, Keeper
from browser.wire import Wire

TEN_SECONDS = 10.0

HELD = """async () => new Promise((resolve) => {
    const open = indexedDB.open('tarsus');
    open.onsuccess = () => {
        const db = open.result, act = db.transaction(['facts', 'packs']), found = {};
        for (const name of ['facts', 'packs']) {
            act.objectStore(name).count().onsuccess = ({ target }) => { found[name] = target.result; };
        }
        act.oncomplete = () => { db.close(); resolve(found); };
    };
})"""

CONFIRMED = """async () => new Promise((resolve) => {
    const open = indexedDB.open('tarsus');
    open.onsuccess = () => {
        const asked = open.result.transaction('phone').objectStore('phone').get('pins');
        asked.onsuccess = () => { open.result.close(); resolve(!!asked.result); };
    };
})"""
"""Whether the server's word on a PIN has come."""

NO_CLEARING = "IDBObjectStore.prototype.clear = () => { throw new Error('cut off'); };"


def test_a_hand_over_that_was_cancelled_while_the_server_was_asked_changes_no_hands(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand = keeper("tamsin", through=wire)
    hand.call_roll(state="set")
    tamsin = str(wendlebrook.people["tamsin"])
    wire.slow = TEN_SECONDS
    hand.page.select_option("#who-looks", label="Jory Millpond")
    hand.page.fill("dialog.pin input", PINS["Jory Millpond"])
    hand.page.press("dialog.pin input", "Enter")
    hand.page.wait_for_selector("dialog.pin >> text=Asking the server")
    hand.page.click("dialog.pin >> text=Cancel")
    wire.hurry.set()
    hand.page.wait_for_function(CONFIRMED)
    hand.page.wait_for_timeout(500)
    assert hand.page.input_value("#who-looks") == tamsin
    hand.reopen()
    hand.turn_to("Set")
    assert hand.page.input_value("#who-looks") == tamsin


def test_a_phone_forgets_all_it_was_told_or_is_asked_again(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.call_roll(state="tiles")
    hand.see("Chert")
    hand.wait_until_sent()
    before = hand.page.evaluate(HELD)
    assert min(before.values()) > 0
    hand.page.context.clear_cookies()
    cut_off = hand.page.context.new_page()
    cut_off.add_init_script(NO_CLEARING)
    cut_off.goto("/sign-in/")
    cut_off.wait_for_timeout(1000)
    assert cut_off.evaluate(HELD)["facts"] == before["facts"]
    cut_off.close()
    hand.page.goto("/sign-in/")
    hand.page.wait_for_function(f"({HELD})().then(({{ facts, packs }}) => facts + packs === 0)")
