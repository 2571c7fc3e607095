"""Learn the flock: a bird as through the glasses, named on roll call's own keys, without a connection."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from browser.keeper import Keeper
from browser.measures import Worked
from tarsus.records.models import SharedPractice, Sighting, ToldDeed

TAPS_A_BIRD = 3
WORKED_MS_A_BIRD = 1000

SHOWN = """() => {
    const drawing = document.querySelector('.practice-view band-drawing');
    return drawing ? JSON.parse(drawing.getAttribute('marks')) : null;
}"""


def stack(bands: list[str]) -> str:
    return " over ".join(bands) if bands else "no bands on this leg"


def answer(hand: Keeper, worn: dict[int, dict[str, list[str]]], *, wrongly: bool = False) -> tuple[int, int]:
    """Read what is shown and tap it on the keys, then a name: who was shown, and who was said."""
    marks = hand.page.evaluate(SHOWN)
    fits = [
        bird for bird, own in worn.items() if all(own.get(site, []) == bands for site, bands in marks.items())
    ]
    assert len(fits) == 1, "what is shown tells the bird"
    for side in ("left", "right"):
        if f"{side} tibia" in marks:
            hand.leg(side, stack(marks[f"{side} tibia"]))
    hand.page.wait_for_selector("#main .read-tiles .tile[data-bird]")
    if not wrongly:
        hand.tap(f".read-tiles .tile[data-bird='{fits[0]}']")
        return fits[0], fits[0]
    tiles = hand.page.locator("#main .read-tiles .tile[data-bird]")
    others = [int(tiles.nth(at).get_attribute("data-bird") or 0) for at in range(tiles.count())]
    said = next(bird for bird in others if bird != fits[0])
    hand.tap(f".read-tiles .tile[data-bird='{said}']")
    return fits[0], said


def until_heard(hand: Keeper) -> None:
    """Until the server has answered for all that the phone keeps."""
    hand.wait_until(lambda: all(entry["fate"] == "heard" for entry in hand.entries()))


def test_ten_birds_are_learnt_in_three_taps_each_without_a_connection(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.ready_for_no_signal()
    exhibit = wendlebrook.exhibits["Shingle Aviary"]
    hand.page.context.set_offline(True)
    hand.page.goto(f"/exhibits/{exhibit}/practice/")
    hand.tap("[data-act=practice-seconds][data-value='0']")
    packs = hand.page.evaluate(PACKS)
    flock = next(pack for pack in packs if pack["exhibit"]["id"] == exhibit)["flocks"][0]
    worn = {bird["id"]: bird["marks"] for bird in flock["birds"]}
    hand.tap("[data-act=practice-next]")
    worked, taps, shown = Worked(hand.page), hand.taps, []
    before = worked.ms()
    for _ in range(10):
        hand.page.wait_for_selector("#main .practice-view band-drawing svg")
        bird, said = answer(hand, worn)
        shown.append(bird)
        name = next(one["name"] for one in flock["birds"] if one["id"] == said)
        hand.page.wait_for_selector(f"#main .practice-last >> text=Right: {name}.")
    # A minute for ten: what the thumb does of it, and what the page does.
    assert hand.taps - taps <= 10 * TAPS_A_BIRD
    assert worked.ms() - before <= 10 * WORKED_MS_A_BIRD
    assert all(one not in shown[max(0, at - 3) : at] for at, one in enumerate(shown))
    hand.page.wait_for_selector("#main .practice-view band-drawing svg")
    bird, said = answer(hand, worn, wrongly=True)
    hand.page.wait_for_selector("#main [data-k=wrong]")
    hand.page.reload()
    hand.tap(".modes >> text=How ready")
    hand.page.wait_for_selector("#main [data-k=say] >> text=10 of 11 names right: between")
    named = {one["id"]: one["name"] for one in flock["birds"]}
    again = hand.page.inner_text("#main [data-k=again]")
    assert named[bird] in again
    assert f"taken for {named[said]}" in again
    hand.page.context.set_offline(False)
    hand.page.goto("/")
    assert hand.entries() == []
    assert not Sighting.objects.filter(device__gt="").exists()
    assert not ToldDeed.objects.filter(device__gt="").exists()
    hand.page.goto(f"/exhibits/{exhibit}/practice/#ready")
    hand.tap("[data-act=practice-share]")
    hand.page.wait_for_selector("#main [data-act=practice-share][aria-pressed=true]")
    until_heard(hand)
    shared = SharedPractice.objects.get()
    assert (shared.ready, len(shared.answers)) == (False, 11)
    assert all(set(one) == {"read", "worn"} for one in shared.answers)
    hand.page.reload()
    hand.tap("[data-act=practice-share][aria-pressed=true]")
    hand.page.wait_for_selector("#main [data-act=practice-share][aria-pressed=false]")
    until_heard(hand)
    assert not SharedPractice.objects.exists()


PACKS = """async () => new Promise((resolve) => {
    const open = indexedDB.open('tarsus');
    open.onsuccess = () => {
        const all = open.result.transaction('packs').objectStore('packs').getAll();
        all.onsuccess = () => { open.result.close(); resolve(all.result); };
    };
})"""


def test_a_bird_is_in_sight_for_as_long_as_was_chosen_and_no_longer(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    clock = hand.page.clock
    clock.install()
    hand.page.goto(f"/exhibits/{wendlebrook.exhibits['Shingle Aviary']}/practice/")
    for act, value in (("practice-seconds", 2), ("practice-metres", 60)):
        hand.tap(f"[data-act={act}][data-value='{value}']")
        hand.page.wait_for_selector(f"#main [data-act={act}][data-value='{value}'][aria-pressed=true]")
    # The phone's clock stands still from here on.
    clock.pause_at(hand.page.evaluate("Date.now()") / 1000 + 60)
    hand.tap("[data-act=practice-next]")
    hand.page.wait_for_selector("#main .practice-view band-drawing svg")
    clock.run_for(1_900)
    assert "blur(" in hand.page.eval_on_selector(".practice-bird", "one => getComputedStyle(one).filter")
    clock.run_for(200)
    hand.page.wait_for_selector("#main .practice-view.is-gone")
    assert hand.page.locator("#main .practice-view band-drawing").count() == 0
    hand.tap("[data-act=practice-again]")
    hand.page.wait_for_selector("#main .practice-view band-drawing svg")
    hand.tap("[data-act=practice-not]")
    hand.page.wait_for_selector("#main [data-k=wrong]")
