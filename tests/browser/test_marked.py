"""Marked: what the lead kept at the desk, a keeper fits without signal, band by band in one tap each."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from browser.keeper import Keeper
from browser.wire import Wire
from tarsus.queries.marks import marks_on
from tarsus.records.models import Band, PlannedMarks, Stock
from tarsus.records.models.words import WhyOff


def in_hand(hand: Keeper, bird: int) -> None:
    hand.page.goto("about:blank")
    hand.page.goto(f"/in-hand/#bird-{bird}")
    hand.page.wait_for_selector("#hand-weight")


def release(hand: Keeper) -> None:
    for what in ("stood", "walked"):
        hand.tap(f"[data-act=seen][data-what={what}]")
        hand.page.wait_for_selector(f"#main [data-what={what}][aria-pressed=true]")
    hand.tap("[data-act=release]")
    hand.page.wait_for_selector("#main .notice:has-text('released')")


def test_what_the_desk_kept_is_fitted_without_signal_in_one_tap_a_band(
    keeper: Callable[..., Keeper], wire: Wire, wendlebrook: Any
) -> None:
    osier = wendlebrook.birds["Osier"]
    lead = keeper("hesper", size=(1280, 800))
    lead.page.click("nav >> text=Marking desk")
    lead.page.click("a:has-text('Shingle Aviary')")
    lead.page.click("text=Save for Osier")
    lead.page.wait_for_selector(".told-you")
    kept = PlannedMarks.objects.get(bird=osier)
    hand = keeper("tamsin", through=wire)
    hand.ready_for_no_signal()
    in_hand(hand, osier)
    wire.cut()
    in_hand(hand, osier)
    # All of its own comes off, and each band that was kept goes on, in the size of its species.
    for act in ("off", "fit"):
        bands = hand.page.locator(f"#main [data-act={act}]:not([data-size])")
        for at in range(bands.count()):
            bands.nth(at).click()
            hand.page.wait_for_selector(f"#main :nth-match([data-act={act}][aria-pressed=true], {at + 1})")
    number = hand.page.input_value("#main input[data-fit]")
    checks = hand.page.locator("#main [data-act=fitting]")
    for at in range(4):
        checks.nth(at).click()
    release(hand)
    assert PlannedMarks.objects.get(pk=kept.pk).fitted_at is None
    wire.mend()
    hand.page.goto("about:blank")
    hand.page.goto("/in-hand/")
    hand.page.wait_for_selector("#hand-typed")
    hand.page.wait_for_function("() => !document.querySelector('#call-badge .badge')")
    assert not hand.page.locator("#main .prompt").all_inner_texts()
    kept.refresh_from_db()
    assert kept.fitted_at is not None
    assert kept.ended_by is not None
    assert kept.ended_by.login == "tamsin"
    assert marks_on(osier, kept.fitted_at.date()).as_mapping() == kept.marks
    metal = Band.objects.get(bird=osier, kind="metal", to_on__isnull=True)
    assert (metal.engraving, metal.series, metal.size) == (number, "WB", "4")
    assert set(Band.objects.filter(bird=osier, to_on__isnull=True).values_list("size", flat=True)) == {"4"}
    off = Band.objects.filter(bird=osier, to_on__isnull=False)
    assert set(off.values_list("why_off", flat=True)) <= {WhyOff.REMARKED, WhyOff.REPLACED}
    assert Stock.objects.get(kind="metal", size="4").amount == 40
    # The page of the bird no longer says that something waits.
    lead.page.goto(f"/birds/{osier}/")
    assert lead.page.locator("#pl").count() == 0
