"""A bird in hand with the network really off: checked, weighed, released; told once afterwards."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from browser.keeper import Keeper
from browser.wire import Wire
from tarsus.records.models import Band, BandCheck, ConfirmedReading, Handling, SexTest, Weighing


def open_in_hand(hand: Keeper) -> None:
    hand.page.goto("about:blank")
    hand.page.goto("/in-hand/")
    hand.page.wait_for_selector("#hand-typed")


def test_a_bird_is_checked_weighed_and_released_without_signal_and_told_once(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    hand, sedge = keeper("tamsin", through=wire), wendlebrook.birds["Sedge"]
    hand.ready_for_no_signal()
    open_in_hand(hand)
    wire.cut()
    open_in_hand(hand)
    worn = Band.objects.filter(bird=sedge, to_on__isnull=True).order_by("site", "order")
    metal = next(band for band in worn if band.kind == "metal")
    hand.page.fill("#hand-typed", metal.engraving[-3:])
    hand.tap(f"[data-act=take][data-bird='{sedge}']")
    # What was read through the glasses before the catch: one band, and perhaps more below it.
    hand.tap("text=Read before the catch")
    hand.page.dispatch_event("#main .before band-drawing [data-site='right tibia']", "click")
    hand.tap(".before [data-act=band][data-band=yellow]")
    hand.page.wait_for_selector("#main .before [data-act=band-end]:not([disabled])")
    # The number of another bird is noticed before anything is saved.
    other = Band.objects.exclude(bird=sedge).filter(kind="metal", to_on__isnull=True).first()
    assert other is not None
    hand.page.fill("#hand-number", other.engraving)
    hand.page.wait_for_selector(f'#main [role=alert]:has-text("{other.bird}\'s")')
    assert hand.page.is_disabled("[data-act=release]")
    hand.page.fill("#hand-number", metal.engraving[-3:])
    hand.tap("[data-act=all-good]")
    colour = next(band for band in worn if band.kind == "colour")
    hand.tap(f"[data-act=condition][data-band='{colour.pk}'][data-word=worn]")
    hand.page.fill("#hand-weight", "250")
    hand.page.wait_for_selector("#main .prompt:has-text('Weigh again')")
    hand.tap("[data-act=again]")
    hand.page.fill("#hand-weight", "251")
    hand.page.wait_for_selector("#main .prompt:has-text('tell the vet today')")
    hand.tap("[data-act=vet]")
    for what in ("stood", "walked"):
        hand.tap(f"[data-act=seen][data-what={what}]")
        hand.page.wait_for_selector(f"#main [data-what={what}][aria-pressed=true]")
    # A locked phone loses nothing of what was found so far.
    hand.page.reload()
    hand.page.wait_for_selector("#hand-weight")
    assert hand.page.input_value("#hand-weight") == "251"
    hand.tap("[data-act=release]")
    hand.page.wait_for_selector("#main .notice:has-text('Sedge released')")
    assert not Handling.objects.filter(bird=sedge, device__gt="").exists()
    wire.mend()
    open_in_hand(hand)
    hand.page.wait_for_function("() => !document.querySelector('#call-badge .badge')")
    handling = Handling.objects.get(bird=sedge, device__gt="")
    assert (handling.recorded_by.login, handling.tell_vet, handling.walked_well) == ("tamsin", True, True)
    assert handling.engraving_read == metal.engraving
    confirmed = ConfirmedReading.objects.get(bird=sedge, handling=handling)
    assert confirmed.read == {"right tibia": ["yellow", "*"]}
    weights = Weighing.objects.filter(handling=handling).order_by("happened_at")
    assert [weighing.weight_g for weighing in weights] == [250, 251]
    checks = BandCheck.objects.filter(handling=handling)
    assert checks.count() == worn.count()
    assert checks.get(band=colour).condition == "worn"


def test_a_refused_handling_is_shown_with_its_reason_and_mended(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand, sedge, kelp = keeper("tamsin"), wendlebrook.birds["Sedge"], wendlebrook.birds["Kelp"]
    for bird in (sedge, kelp):  # the same label on two tubes: the second is refused
        open_in_hand(hand)
        hand.page.fill("#hand-typed", "Sedge" if bird == sedge else "Kelp")
        hand.tap(f"[data-act=take][data-bird='{bird}']")
        hand.tap("[data-act=all-good]")
        hand.tap("[data-k=sample] summary")
        hand.tap("[data-act=sample][data-word=feather]")
        hand.page.fill("#hand-label", "S 12")
        for what in ("stood", "walked"):
            hand.tap(f"[data-act=seen][data-what={what}]")
        hand.tap("[data-act=release]")
        hand.page.wait_for_selector("#main .notice")
    hand.page.wait_for_selector('#main .prompt:has-text("S 12 is on Sedge\'s sample")')
    hand.tap("[data-act=mend]")
    hand.page.fill("#hand-label", "S 13")
    hand.tap("[data-act=release]")
    hand.page.wait_for_function("() => !document.querySelector('#call-badge .badge')")
    labels = dict(SexTest.objects.filter(label__startswith="S 1").values_list("bird_id", "label"))
    assert labels == {sedge: "S 12", kelp: "S 13"}
