"""Into whose hands a phone goes, and what it forgets when they leave."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import Any

from playwright.sync_api import Error

from browser.keeper import PINS, Keeper
from browser.wire import Wire
from tarsus.records.models import Park, Sighting

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

LAY_SIX_MINUTES = """() => {
    localStorage.setItem('tarsus-touched', String(Date.now() - 6 * 60000));
    document.dispatchEvent(new Event('visibilitychange'));
}"""

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


ALL_KEPT = """async () => new Promise((resolve) => {
    const open = indexedDB.open('tarsus');
    open.onsuccess = () => {
        const db = open.result, act = db.transaction([...db.objectStoreNames]), found = [];
        for (const name of db.objectStoreNames) {
            act.objectStore(name).getAll().onsuccess = ({ target }) => { found.push(...target.result); };
        }
        act.oncomplete = () => { db.close(); resolve(JSON.stringify(found)); };
    };
})"""


def until(hand: Keeper, says: Callable[[str], bool]) -> str:
    """What the phone holds, once it is so."""
    held = ""
    for _ in range(150):
        with suppress(Error):  # the page is just leaving for another
            held = str(hand.page.evaluate(ALL_KEPT))
            if says(held):
                return held
        hand.page.wait_for_timeout(200)
    raise AssertionError(held)


def test_what_was_not_sent_is_sealed_until_its_person_signs_in_and_then_arrives_once(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.ready_for_no_signal()
    hand.call_roll(state="tiles")
    hand.see("Chert")
    hand.wait_until_sent()
    before = set(Sighting.objects.values_list("pk", flat=True))
    hand.page.context.set_offline(True)
    told = [f'"bird":{wendlebrook.birds[bird]},' for bird in ("Marl", "Flint")]
    for bird in ("Marl", "Flint"):
        hand.see(bird)
    clear = hand.page.evaluate(ALL_KEPT)
    assert all(one in clear for one in (*told, "Marl", "Flint"))
    # Without a connection it forgets and seals at once, and says that the server does not know yet.
    hand.page.goto("/settings/")
    hand.page.click("text=Sign out on this phone")
    hand.page.wait_for_selector("text=2 facts wait sealed on this phone")
    held = hand.page.evaluate(ALL_KEPT)
    assert not [word for word in (*told, "Marl", "Flint", "Chert", "sighting") if word in held]
    hand.page.context.set_offline(False)
    hand.page.wait_for_url("**/sign-in/**")
    # Somebody else neither reads nor loses them.
    hand.sign_in("jory")
    held = until(hand, lambda held: '"minutes"' in held and "Marl" in held)  # its keys came, and its packs
    assert not [word for word in told if word in held]
    hand.page.goto("/more/")
    hand.page.click("#main >> text=Sign out")
    hand.page.wait_for_selector("text=2 facts wait sealed on this phone")
    assert set(Sighting.objects.values_list("pk", flat=True)) == before
    hand.sign_in("tamsin")
    until(hand, lambda held: held.count('"fate":"heard"') == 2)
    came = Sighting.objects.exclude(pk__in=before)
    assert sorted(came.values_list("bird__house_name", flat=True)) == ["Flint", "Marl"]


def test_a_shared_phone_that_lies_untouched_is_covered_until_its_pin_is_typed(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    Park.objects.update(idle_lock_minutes=5)
    hand = keeper("tamsin")
    hand.call_roll(state="tiles")
    hand.see("Chert")
    until(hand, lambda held: '"minutes":5' in held)
    hand.turn_to("Read")
    legs = hand.page.locator("#main .legs").first.inner_html()
    hand.page.evaluate(LAY_SIX_MINUTES)
    hand.page.wait_for_selector("dialog.lock")
    for _ in range(2):
        hand.page.keyboard.press("Escape")
    assert not hand.page.locator("#main").is_visible()
    # Another page, or this one opened anew, is no way around it.
    page = hand.page.context.new_page()
    page.goto("/")
    page.wait_for_selector("dialog.lock")
    page.close()
    for pin, open_now in (("1111", False), (PINS["Tamsin Reedmace"], True)):
        hand.page.fill("dialog.lock input", pin)
        hand.page.press("dialog.lock input", "Enter")
        hand.page.wait_for_selector("dialog.lock", state="detached" if open_now else "visible")
        if not open_now:
            hand.page.wait_for_selector("dialog.lock .refusal")
    assert hand.page.locator("#main .legs").first.inner_html() == legs
    # From now on it opens without a connection as well: this phone knows the PIN.
    hand.page.context.set_offline(True)
    hand.page.evaluate(LAY_SIX_MINUTES)
    hand.page.wait_for_selector("dialog.lock")
    hand.page.fill("dialog.lock input", PINS["Tamsin Reedmace"])
    hand.page.press("dialog.lock input", "Enter")
    hand.page.wait_for_selector("dialog.lock", state="detached")
