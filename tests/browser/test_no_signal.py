"""The exhibit has no signal: the network is really off, and what was tapped arrives once, come what may."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from browser.keeper import Keeper
from browser.wire import Wire
from tarsus.core.rounds.call import RollCall
from tarsus.queries.rounds import roll_call
from tarsus.records.models import Person, Round, Sighting


def latest_call() -> RollCall:
    newest = Round.objects.order_by("-started__recorded_at").values_list("pk", flat=True).first()
    assert newest is not None
    return roll_call(newest, timezone.now())


def told_today() -> int:
    return Sighting.objects.filter(device__gt="").count()


def test_a_roll_called_without_signal_survives_the_page_and_arrives_once(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand, birds = keeper("tamsin", through=wire), wendlebrook.birds
    hand.ready_for_no_signal()
    wire.cut()
    hand.call_roll()  # this exhibit was never opened on this phone before
    hand.count(28)
    for name in ("Marram", "Thrift", "Chert"):
        hand.see(name)
    hand.turn_to("Read")
    hand.leg("right", "red over black")
    hand.accept("Fennel")
    hand.leg("left", "metal")
    hand.tap("text=Save part reading")
    hand.strip_says("Part reading")
    hand.turn_to("By sight")
    hand.see("Sedge")
    hand.tap("[data-act=undo]")
    hand.strip_says("Part reading")
    assert hand.kept() == "9 kept on this phone"
    hand.reopen()
    assert hand.kept() == "9 kept on this phone"
    assert hand.page.inner_text("#main .call-tally b") == "4"
    hand.page.goto("/")
    assert "No connection: as last known" in hand.page.inner_text("main")
    hand.page.goto("/who/")
    hand.page.wait_for_selector("#main .leg-first")
    assert told_today() == 0
    wire.mend()
    hand.call_roll(state="close")
    hand.close()
    hand.wait_until_sent()
    hand.reopen()
    hand.wait_until_sent()
    call = latest_call()
    assert call.phase == "closed"
    assert call.observed == {birds[name] for name in ("Marram", "Thrift", "Chert", "Fennel")}
    assert Round.objects.filter(started__device__gt="").count() == 1
    assert told_today() == 6
    assert {entry["fate"] for entry in hand.entries()} == {"heard"}


def test_two_phones_out_of_signal_add_up_and_a_late_sighting_still_counts(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    birds, people = wendlebrook.birds, wendlebrook.people
    tamsin, jory = keeper("tamsin", through=wire), keeper("jory", through=wire)
    for hand in (tamsin, jory):
        hand.ready_for_no_signal()
    wire.cut()
    for hand, names in ((tamsin, ["Marram", "Thrift"]), (jory, ["Chert", "Thrift", "Kelp"])):
        hand.call_roll(state="tiles")
        for name in names:
            hand.see(name)
    tamsin.turn_to("Close")
    tamsin.close()
    wire.mend()
    tamsin.reopen()
    tamsin.wait_until_sent()
    # Jory is heard after the round was closed, and begun while it was open: one roll call.
    jory.reopen()
    jory.wait_until_sent()
    jory.page.reload()
    jory.page.wait_for_selector("#main .tiles")
    call = latest_call()
    assert len(call.rounds) == 2
    assert call.observed == {birds[name] for name in ("Marram", "Thrift", "Chert", "Kelp")}
    assert {(seen.bird, seen.by) for seen in call.sightings} == {
        (birds["Marram"], people["tamsin"]),
        (birds["Thrift"], people["tamsin"]),
        (birds["Thrift"], people["jory"]),
        (birds["Chert"], people["jory"]),
        (birds["Kelp"], people["jory"]),
    }


def test_two_phones_in_signal_call_one_round_and_see_each_other(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    tamsin, jory = keeper("tamsin"), keeper("jory")
    tamsin.call_roll()
    tamsin.count(28)
    tamsin.see("Marram")
    tamsin.wait_until_sent()
    jory.call_roll()
    jory.page.wait_for_selector(".tiles")
    assert jory.page.inner_text("#main .call-tally b") == "1"
    jory.see("Chert")
    jory.turn_to("Set")
    assert "Tamsin Reedmace has told of 1" in jory.page.inner_text("#main")
    jory.turn_to("Close")
    jory.close()
    jory.wait_until_sent()
    tamsin.turn_to("Set")
    tamsin.tap("[data-act=set-fetch]")
    tamsin.page.wait_for_selector(".notice >> text=Jory Millpond closed this round")
    assert len(latest_call().rounds) == 1


@pytest.mark.parametrize("trouble", ["500", "hangs", "drops after writing"])
def test_what_was_not_answered_is_said_again_and_written_once(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any, trouble: str
) -> None:
    hand = keeper("tamsin", through=wire)
    hand.call_roll(state="tiles")
    hand.wait_until_sent()
    wire.trouble = trouble
    hand.see("Marram")
    hand.page.wait_for_function("() => document.querySelector('#call-badge .num')")
    hand.wait_until(lambda: wire.times > 0)
    hand.page.wait_for_timeout(300)
    assert hand.kept() == "2 kept on this phone"  # the round's beginning, and the bird
    written = 1 if trouble == "drops after writing" else 0
    hand.wait_until(
        lambda: told_today() == written
    )  # it may still be writing when the phone has given up on it
    wire.trouble = ""
    hand.reopen()
    hand.wait_until_sent()
    assert told_today() == 1
    assert latest_call().observed == {wendlebrook.birds["Marram"]}


def test_a_fact_that_the_server_cannot_read_is_shown_and_can_be_said_again(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand = keeper("tamsin", through=wire)
    hand.call_roll(state="tiles")
    wire.trouble = "422"
    hand.see("Marram")
    hand.page.wait_for_selector("#call-badge >> text=2 to mend")
    wire.trouble = ""
    hand.page.click("#call-badge a")
    for left in (2, 1):
        expect(hand.page.locator("#main .mend")).to_have_count(left)
        assert "the server could not read it" in hand.page.inner_text("#main .mend-why >> nth=0")
        # A thumb that taps twice says it once.
        hand.page.eval_on_selector("#main [data-act=mend]", "(key) => { key.click(); key.click(); }")
    hand.page.wait_for_selector("#main >> text=Nothing to mend.")
    hand.wait_until_sent()
    assert told_today() == 1
    assert latest_call().observed == {wendlebrook.birds["Marram"]}


def test_a_fact_that_the_server_fails_on_is_set_aside_and_the_others_arrive(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand = keeper("tamsin", through=wire)
    hand.call_roll(state="tiles")
    hand.wait_until_sent()
    marram, *others = (wendlebrook.birds[name] for name in ("Marram", "Chert", "Thrift"))
    wire.fails_on = f'"bird":{marram},'.encode()
    for name in ("Marram", "Chert", "Thrift"):
        hand.see(name)
    hand.page.wait_for_selector("#call-badge >> text=1 set aside", timeout=60_000)
    hand.page.wait_for_function("() => !document.querySelector('#call-badge .long')", timeout=60_000)
    assert latest_call().observed == set(others)
    hand.page.click("#call-badge a")
    hand.page.wait_for_selector("#main .mend >> text=Sighting Marram")
    assert "Tell the administrator" in hand.page.inner_text("#main .note")
    wire.fails_on = b""
    hand.reopen()  # a new page tries it at once
    hand.wait_until_sent()
    assert latest_call().observed == {marram, *others}
    assert told_today() == 3


def test_a_refused_fact_says_why_and_is_mended_never_dropped(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.call_roll(state="tiles")
    hand.see("Chert")
    hand.wait_until_sent()
    hand.hand_over_to("Jory Millpond")
    Person.objects.filter(pk=wendlebrook.people["jory"]).update(is_active=False)
    hand.turn_to("By sight")
    hand.tap(hand.tile("Marram"))
    hand.page.wait_for_selector("#call-badge >> text=1 to mend")
    assert hand.page.inner_text("#main .call-tally b") == "1"  # what was refused has not happened
    hand.page.click("#call-badge a")
    assert "sign in as that person" in hand.page.inner_text("#main .mend-why")
    hand.page.select_option("[data-mend=by]", label="Tamsin Reedmace")
    hand.tap("[data-act=mend]")
    hand.wait_until_sent()
    call = latest_call()
    assert call.observed == {wendlebrook.birds["Chert"], wendlebrook.birds["Marram"]}
    assert {seen.by for seen in call.sightings} == {wendlebrook.people["tamsin"]}


def test_a_phone_whose_clock_is_two_hours_slow_is_heard_by_the_registers_time(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    here = timezone.localtime()
    # Its day is still today's, however early this runs.
    slow = min(timedelta(hours=2), here - here.replace(hour=0, minute=0, second=0))
    hand.page.clock.set_system_time(datetime.now() - slow)  # noqa: DTZ005  the phone's own clock
    hand.call_roll(state="tiles")
    hand.see("Marram")
    hand.wait_until_sent()
    seen = Sighting.objects.get(device__gt="")
    assert seen.phone_at is not None
    assert abs(timezone.now() - seen.happened_at) < timedelta(minutes=1)
    assert abs(timezone.now() - slow - seen.phone_at) < timedelta(minutes=1)


def test_a_phone_that_cannot_keep_says_so_and_acknowledges_nothing(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    """The browser takes the page's storage away; a full disk ends a write in the same way."""
    hand = keeper("tamsin", through=wire)
    hand.call_roll(state="tiles")
    hand.see("Chert")
    hand.wait_until_sent()
    hand.wait_until_packs_are_here()
    devtools = hand.page.context.new_cdp_session(hand.page)
    devtools.send("Storage.clearDataForOrigin", {"origin": wire.url, "storageTypes": "indexeddb"})
    hand.tap(hand.tile("Marram"))
    hand.page.wait_for_selector("#main [role=alert] >> text=Nothing was recorded")
    assert not hand.page.query_selector(f"#main {hand.tile('Marram')}.is-seen")
    assert hand.page.inner_text("#main .strip b") == "Chert"
    assert hand.page.inner_text("#main .call-tally b") == "1"
    hand.reopen()
    hand.see("Marram")
    hand.wait_until_sent()
    assert latest_call().observed == {wendlebrook.birds["Chert"], wendlebrook.birds["Marram"]}


def test_a_newer_worker_never_takes_over_while_a_round_is_open(
    keeper: Callable[..., Keeper], wendlebrook: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tarsus.web import offline

    hand = keeper("tamsin")
    hand.ready_for_no_signal()
    (old,) = worker_caches(hand)
    hand.call_roll(state="tiles")
    hand.see("Chert")
    files, version = offline.kept_files()
    monkeypatch.setattr(offline, "kept_files", lambda: (files, version[::-1]))
    asked_anew = (
        "navigator.serviceWorker.ready.then((one) => one.update().then(() => '', (error) => error.name))"
    )
    hand.page.evaluate(asked_anew)
    hand.page.wait_for_timeout(1500)
    assert worker_caches(hand) == [old]
    hand.reopen()
    hand.page.wait_for_timeout(800)
    assert worker_caches(hand) == [old]
    hand.turn_to("Close")
    hand.close()
    hand.wait_until_sent()
    hand.page.evaluate(asked_anew)
    hand.page.wait_for_function(
        "(old) => caches.keys().then((keys) => !keys.includes(old) && keys.length > 1)", arg=old
    )


def worker_caches(hand: Keeper) -> list[str]:
    keys: list[str] = hand.page.evaluate("caches.keys()")
    return sorted(key for key in keys if key != "tarsus-pages")


def test_a_flock_that_changed_meanwhile_is_told_and_the_old_phone_is_still_heard(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    from tarsus.records.models import Bird

    hand = keeper("tamsin", through=wire)
    hand.ready_for_no_signal()
    wire.cut()
    hand.call_roll(state="tiles")
    hand.see("Chert")
    Bird.objects.filter(pk=wendlebrook.birds["Kelp"]).update(house_name="Kelpie")
    wire.mend()
    stay = Bird.objects.get(pk=wendlebrook.birds["Rowan"]).stays.get(to_on=None)
    stay.to_on, stay.reason = timezone.localdate(), "moved"
    stay.save()
    hand.see("Rowan")
    hand.reopen()
    hand.page.wait_for_selector("#main .notice >> text=Rowan has left this exhibit")
    hand.wait_until_sent()
    assert latest_call().observed == {wendlebrook.birds["Chert"], wendlebrook.birds["Rowan"]}
