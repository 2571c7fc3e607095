"""Closing a roll call: which groups were not called, and that nobody of them is missed by it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from browser.conftest import SMALL_PHONE
from browser.keeper import Keeper
from browser.wire import Wire
from tarsus.core.rounds.call import RollCall
from tarsus.queries.rounds import roll_call
from tarsus.records import models as rows


def latest_call() -> RollCall:
    newest = rows.Round.objects.order_by("-started__recorded_at").values_list("pk", flat=True).first()
    assert newest is not None
    return roll_call(newest, timezone.now())


RUFFS = (("Gabbro", "red"), ("Opal", "white"), ("Agate", "lime"))


@pytest.fixture
def ruffs(wendlebrook: Any) -> dict[str, int]:
    """Three ruffs, each with one colour on the left, beside the avocets of Shingle Aviary."""
    told = {"recorded_by_id": wendlebrook.people["hesper"]}
    since = timezone.localdate() - timedelta(days=30)
    species = rows.Species.objects.get(name="Ruff")
    exhibit = wendlebrook.exhibits["Shingle Aviary"]
    birds = {}
    for name, colour in RUFFS:
        bird = rows.Bird.objects.create(species=species, house_name=name, **told)
        rows.Stay.objects.create(bird=bird, exhibit_id=exhibit, from_on=since, **told)
        worn = rows.Colour.objects.get(name=colour)
        rows.Band.objects.create(
            bird=bird, site="left leg", kind="colour", colour=worn, from_on=since, **told
        )
        birds[name] = bird.pk
    wendlebrook.birds.update(birds)
    return birds


@pytest.mark.parametrize("size", [(390, 844), SMALL_PHONE], ids=["390x844", "360x640"])
def test_closing_after_the_avocets_alone_says_that_the_ruffs_were_not_called(
    keeper: Callable[..., Keeper], wire: Wire, ruffs: dict[str, int], size: tuple[int, int]
) -> None:
    hand = keeper("tamsin", size, through=wire)
    page = hand.page
    hand.ready_for_no_signal()
    wire.cut()
    hand.call_roll()
    hand.count(29)
    hand.see("Marram")
    hand.turn_to("Close")
    assert "Ruffs were not called." in page.inner_text("#main .uncalled")
    assert "without ruffs" in page.inner_text("#main [data-act=close-round]")
    # Not done, because: the ruffs are answered for, and the avocets' round goes on.
    hand.tap(".uncalled [data-act=give-up-group]")
    page.wait_for_selector("section[data-k=at-not-done]")
    assert "3 ruffs" in page.inner_text("#main")
    page.click("#main a[href='#count']")
    page.wait_for_selector("section[data-k=at-count]")
    # Or they are called, by their names alone.
    hand.call_roll(state="close")
    hand.tap(".uncalled [data-act=call-group]")
    page.wait_for_selector("section[data-k=at-count]")
    page.wait_for_selector("#main .species [aria-pressed=true]:has-text('ruff')")
    hand.count(3)
    hand.see("Opal")
    hand.turn_to("Close")
    assert page.locator("#main .uncalled").count() == 0
    assert "without" not in page.inner_text("#main [data-act=close-round]")


def test_a_group_that_was_not_called_can_be_left_to_call(
    keeper: Callable[..., Keeper], ruffs: dict[str, int]
) -> None:
    hand = keeper("tamsin")
    hand.call_roll()
    hand.count(29)
    hand.turn_to("Close")
    hand.close()
    assert "Ruffs were not called." in hand.page.inner_text("#main .uncalled")
    hand.wait_until_sent()
    kinds = [entry["fact"]["kind"] for entry in hand.entries()]
    assert kinds == ["round_started", "count", "round_closed"]


def test_where_nobody_was_called_there_is_nothing_to_close(
    keeper: Callable[..., Keeper], ruffs: dict[str, int]
) -> None:
    hand = keeper("tamsin")
    hand.call_roll(state="read")
    hand.leg("left", "metal")
    hand.tap("text=Save part reading")
    hand.strip_says("Part reading")
    hand.turn_to("Close")
    page = hand.page
    assert "Avocets and ruffs were not called." in page.inner_text("#main .uncalled")
    assert page.is_disabled("#main [data-act=close-round]")
    hand.tap(".uncalled li:has-text('ruff') [data-act=give-up-group]")
    hand.tap("text=vet at work inside")
    hand.tap(".deeds .first")
    page.wait_for_selector("section[data-k=at-close]")
    assert "Avocets were not called." in page.inner_text("#main .uncalled")
    assert "Ruffs not done: vet at work inside." in page.inner_text("#main [data-k=uncounted]")


def test_a_phone_that_comes_late_sees_the_closed_call_and_can_open_it_again(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    tamsin = keeper("tamsin")
    tamsin.call_roll()
    tamsin.count(28)
    tamsin.see("Marram")
    tamsin.turn_to("Close")
    tamsin.close()
    tamsin.wait_until_sent()
    jory = keeper("jory", through=wire)
    page = jory.page
    jory.ready_for_no_signal()
    wire.cut()
    jory.call_roll()
    page.wait_for_selector("section[data-k=at-closed]")
    told = page.inner_text("#main")
    assert "by Tamsin Reedmace" in told
    assert "1 of 29 seen" in told
    assert "28 counted of 29: one of the 28 unseen birds is missing" in told
    assert "Seen: Marram." in told
    # Opened again without signal, it goes on as the same call; the closed version stays on record.
    jory.tap("[data-act=reopen-round]")
    page.wait_for_selector("section[data-k=at-tiles]")
    assert page.inner_text("#main .call-tally b") == "1"
    jory.see("Thrift")
    wire.mend()
    jory.reopen()
    jory.wait_until_sent()
    call = latest_call()
    assert len(call.rounds) == 1
    assert call.phase == "open"
    assert call.observed == {wendlebrook.birds["Marram"], wendlebrook.birds["Thrift"]}
    assert len(call.rounds[0].earlier) == 1
    # The first phone hears of it.
    tamsin.call_roll(state="tiles")
    tamsin.page.wait_for_selector(f"#main {tamsin.tile('Chert')}")
    tamsin.page.wait_for_selector("#main .call-tally b:text-is('2')")


def test_another_call_may_be_begun_beside_the_one_that_is_over(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.call_roll()
    hand.count(29)
    hand.see("Marram")
    hand.turn_to("Close")
    hand.close()
    hand.tap("[data-act=new-round]")
    hand.page.wait_for_selector("section[data-k=at-count]")
    hand.count(29)
    hand.see("Thrift")
    assert hand.page.inner_text("#main .call-tally b") == "1"
    hand.wait_until_sent()
    call = latest_call()
    assert call.observed == {wendlebrook.birds["Thrift"]}


def test_two_counts_that_differ_are_told_on_both_phones_until_somebody_counts_again(
    keeper: Callable[..., Keeper], wire: Wire
) -> None:
    tamsin, jory = keeper("tamsin"), keeper("jory", through=wire)
    for hand in (tamsin, jory):
        hand.ready_for_no_signal()
    wire.cut()
    jory.call_roll()
    jory.count(28)
    tamsin.call_roll()
    tamsin.count(29)
    tamsin.wait_until_sent()
    wire.mend()
    jory.reopen()
    jory.wait_until_sent()
    for hand in (tamsin, jory):
        hand.call_roll(state="close")
        hand.page.wait_for_selector("#main [data-k=differ]")
        told = hand.page.inner_text("#main")
        assert "Tamsin Reedmace counted 29" in told
        assert "Jory Millpond counted 28" in told
        assert "28 stands until somebody counts again" in told
        assert "counts differ" in hand.page.inner_text("#main .call-tally")
    tamsin.call_roll(state="count")
    tamsin.page.wait_for_selector("#main [data-k=differ]")
    tamsin.count(29)
    tamsin.turn_to("Close")
    assert tamsin.page.locator("#main [data-k=differ]").count() == 0


def test_the_species_is_changed_in_every_way_of_naming(
    keeper: Callable[..., Keeper], ruffs: dict[str, int]
) -> None:
    hand = keeper("tamsin")
    hand.call_roll()
    hand.count(29)
    chosen = "#main .species [aria-pressed=true]"
    for way, species in zip(
        ("By sight", "Read", "Group", "Close"), ("ruff", "avocet", "ruff", "avocet"), strict=True
    ):
        hand.turn_to(way)
        hand.tap(f".species >> text={species}")
        hand.page.wait_for_selector(f"{chosen}:has-text('{species}')")
    hand.tap("[data-k=look]")
    hand.page.wait_for_selector("section[data-k=at-second-look]")
    hand.tap(".species >> text=ruff")
    hand.page.wait_for_selector("#main >> text=not called")


def test_what_was_read_in_a_group_is_kept_when_the_species_is_changed(
    keeper: Callable[..., Keeper], ruffs: dict[str, int]
) -> None:
    hand = keeper("tamsin")
    hand.call_roll()
    hand.count(29)
    hand.turn_to("Group")
    hand.leg("left", "metal")
    hand.tap(".species >> text=ruff")
    hand.page.wait_for_selector("#main .slot:has-text('part')")
    kept = [entry["fact"] for entry in hand.entries() if entry["fact"]["kind"] == "sighting"]
    assert [(fact["group"] is not None, fact.get("bird")) for fact in kept] == [(True, None)]
