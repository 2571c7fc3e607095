"""A slow server is no missing connection; and without one, every link leads to a page of our own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.utils import timezone

from browser.keeper import Keeper
from browser.wire import Wire
from tarsus.records.models import SetAside, Sighting, Waiting
from tarsus.web.offline import PATIENCE_MS

A_MINUTE = 60.0
SOON = 25_000
"""Milliseconds within which a page says what is known although its answer takes a minute."""


@pytest.fixture
def patience_ms() -> int:
    """These phones wait no longer than a keeper's."""
    return PATIENCE_MS


def text_of(hand: Keeper) -> str:
    return " ".join(hand.page.inner_text("main").split())


def test_a_page_shows_what_is_known_while_it_asks_and_takes_the_answer_when_it_comes(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand = keeper("tamsin", through=wire)
    hand.ready_for_no_signal()
    hand.page.set_default_timeout(SOON)
    wire.slow = A_MINUTE
    hand.page.goto("/")
    assert "still asking the server" in text_of(hand)
    assert "No connection" not in text_of(hand)
    assert "To call" in text_of(hand)
    wire.hurry.set()
    hand.page.wait_for_selector("#as-of", state="detached")
    hand.page.wait_for_selector("main >> text=To call", state="attached")
    wire.hurry.clear()
    kelp = wendlebrook.birds["Kelp"]
    hand.page.goto(f"/birds/{kelp}/")
    hand.page.wait_for_selector("main h2 >> text=Kelp")
    assert "The server is slow: still asking for this page." in text_of(hand)
    hand.page.goto("/in-hand/")
    hand.page.wait_for_selector("#hand-typed")
    assert "still asking the server" in text_of(hand)
    hand.page.goto("/who/")
    hand.page.wait_for_selector("#main .leg-first")
    hand.page.goto(f"/birds/{kelp}/")
    wire.hurry.set()
    hand.page.wait_for_selector("main:not(.stand-in):not(:has(#as-of)) >> text=Kelp")


def test_a_slow_server_holds_up_no_tap(keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any) -> None:
    hand = keeper("tamsin", through=wire)
    hand.ready_for_no_signal()
    wire.slow = A_MINUTE
    hand.page.set_default_timeout(SOON)
    hand.call_roll(state="tiles")
    hand.page.evaluate("dispatchEvent(new Event('online'))")  # a newer pack is asked for, and takes its time
    for name in ("Marram", "Thrift"):
        hand.see(name)
    assert hand.kept() == "3 kept on this phone"
    wire.hurry.set()
    hand.wait_until_sent()


def test_a_first_visit_with_a_slow_server_says_so_and_opens_when_it_answers(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand = keeper("tamsin", through=wire)
    hand.ready_for_no_signal()
    hand.page.goto("about:blank")
    hand.page.goto("/sign-in/")
    devtools = hand.page.context.new_cdp_session(hand.page)
    devtools.send("Storage.clearDataForOrigin", {"origin": wire.url, "storageTypes": "indexeddb"})
    wire.slow = A_MINUTE
    hand.page.goto("/who/")
    hand.page.wait_for_selector("#main >> text=Still asking the server for the birds of the exhibits")
    assert hand.page.locator("#main [data-again]").count() == 1
    wire.hurry.set()
    hand.page.wait_for_selector("#main .leg-first")
    wire.cut()
    devtools.send("Storage.clearDataForOrigin", {"origin": wire.url, "storageTypes": "indexeddb"})
    hand.page.goto("/in-hand/")
    hand.page.wait_for_selector("#main [role=alert] >> text=the server has not answered")
    assert hand.page.locator("#main [data-again]").count() == 1
    wire.mend()
    hand.tap("[data-again]")
    hand.page.wait_for_selector("#hand-typed")


def test_without_a_connection_every_link_leads_to_what_this_phone_knows(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand = keeper("tamsin", through=wire)
    hand.ready_for_no_signal()
    wire.cut()
    hand.page.goto(f"/birds/{wendlebrook.birds['Kelp']}/")
    hand.page.wait_for_selector("main h2 >> text=Kelp")
    assert "No connection: this page is with the server." in text_of(hand)
    assert "As this phone knew it" in text_of(hand)
    number = wendlebrook.exhibits["Shingle Aviary"]
    for address in (f"/exhibits/{number}/", f"/exhibits/{number}/sheet.pdf"):
        hand.page.goto(address)
        hand.page.wait_for_selector(f"main a[href='/birds/{wendlebrook.birds['Kelp']}/']")
    for address in ("/settings/", "/waiting/", "/nests/"):
        hand.page.goto(address)
        hand.page.wait_for_selector("main >> text=Nothing of this page is kept on this phone.")
        assert hand.page.locator(f"main a[href='/exhibits/{number}/roll-call/']").count() == 1
    wire.mend()
    hand.page.click("main [data-again]")
    hand.page.wait_for_selector("main h1:has-text('Nests')", state="attached")


def test_any_exhibit_says_which_ones_this_phone_has_not_got(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand = keeper("tamsin", through=wire)
    hand.ready_for_no_signal()
    wire.cut()
    number = wendlebrook.exhibits["Shingle Aviary"]
    hand.page.evaluate(
        """(id) => new Promise((resolve) => {
            const open = indexedDB.open('tarsus');
            open.onsuccess = () => {
                const act = open.result.transaction('packs', 'readwrite');
                act.objectStore('packs').delete(id);
                act.oncomplete = () => { open.result.close(); resolve(true); };
            };
        })""",
        number,
    )
    hand.page.goto("/who/")
    hand.page.wait_for_selector("#main >> text=Not on this phone, so not asked: Shingle Aviary.")


def test_the_sign_in_page_says_how_many_facts_wait(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand = keeper("tamsin", through=wire)
    hand.ready_for_no_signal()
    wire.cut()
    hand.call_roll(state="tiles")
    hand.see("Marram")
    hand.page.context.clear_cookies()
    wire.mend()
    hand.page.goto("/sign-in/")
    hand.page.wait_for_selector("#waits-here >> text=2 facts wait sealed on this phone")
    assert not Sighting.objects.filter(device__gt="").exists()
    hand.sign_in("tamsin")
    hand.page.wait_for_selector(".top .kept-badge:not(:has(.badge))", state="attached")
    hand.page.wait_for_function("() => !document.querySelector('.top .kept-badge .badge')")
    hand.wait_until(Sighting.objects.filter(device__gt="").exists)
    assert Sighting.objects.filter(device__gt="").count() == 1


def test_what_was_refused_after_all_sent_is_told_and_mended(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.call_roll(state="tiles")
    hand.see("Marram")
    hand.wait_until_sent()
    seen = Sighting.objects.get(device__gt="")
    # As the register keeps a fact whose turn came and who was refused then.
    Waiting.objects.create(
        id=seen.pk,
        needs=seen.round_id,
        kind="sighting",
        contents={"kind": "sighting", "at": timezone.now().isoformat(), "by": wendlebrook.people["tamsin"]},
        told="",
        device=seen.device,
        reason="bird: was moved that morning",
    )
    hand.see("Chert")
    hand.page.wait_for_selector("#call-badge >> text=1 to mend")
    hand.page.click("#call-badge a")
    assert "was moved that morning" in hand.page.inner_text("#main .mend-why")
    hand.tap("[data-act=mend]")
    hand.wait_until_sent()
    assert SetAside.objects.get().waiting == seen.pk
    hand.reopen()
    hand.wait_until_sent()
