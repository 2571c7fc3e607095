"""A photograph of a leg under lamplight: drawn, opened, tapped; the reader says whose it is."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from browser.keeper import Keeper
from tarsus.records.models import Photograph, Report, Sighting

WIDTH, HEIGHT = 4000, 3000
"""Twelve megapixels, as a phone's camera takes them."""

ROOT = Path(__file__).resolve().parents[1]

DRAWN = (Path(__file__).parent / "leg_drawn.js").read_text().partition("\n")[2]

PACKS = """async () => new Promise((resolve) => {
    const open = indexedDB.open('tarsus');
    open.onsuccess = () => {
        const all = open.result.transaction('packs').objectStore('packs').getAll();
        all.onsuccess = () => { open.result.close(); resolve(all.result); };
    };
})"""


def picture_of(
    hand: Keeper, legs: list[list[str]], size: tuple[int, int] = (WIDTH, HEIGHT), *, lying: bool = False
) -> dict[str, Any]:
    """A JPEG of two legs in lamplight, bands from the body outward, and where each of them is."""
    palette = hand.page.evaluate(PACKS)[0]["park"]["palette"]
    of = {"palette": palette, "legs": legs, "width": size[0], "height": size[1], "lying": lying}
    made = hand.page.evaluate(DRAWN, of)
    return {**made, "size": size}


def take(hand: Keeper, picture: dict[str, Any], way: str = "camera") -> None:
    """The camera hands the picture over."""
    file = {"name": "leg.jpg", "mimeType": "image/jpeg", "buffer": base64.b64decode(picture["jpeg"])}
    hand.page.set_input_files(f"#main input[data-photo={way}]", files=[file])
    hand.page.wait_for_selector("#main photo-picture canvas")


def tap_on(hand: Keeper, picture: dict[str, Any], spot: dict[str, Any]) -> None:
    """One finger on the picture, where it is shown whole."""
    hand.page.locator("#main photo-picture").scroll_into_view_if_needed()
    box = hand.page.locator("#main photo-picture canvas").bounding_box()
    assert box is not None
    width, height = picture["size"]
    scale = min(box["width"] / width, box["height"] / height)
    left = box["x"] + (box["width"] - width * scale) / 2
    top = box["y"] + (box["height"] - height * scale) / 2
    taps = hand.page.locator("#main .photo-taps > li").count()
    hand.page.mouse.click(left + spot["x"] * scale, top + spot["y"] * scale)
    hand.page.wait_for_function(
        "n => document.querySelectorAll('#main .photo-taps > li').length === n", arg=taps + 1
    )
    hand.taps += 1


def tap_all(hand: Keeper, picture: dict[str, Any], *, tall: bool = True) -> None:
    """The metal first, for it shows the light; then each band of both legs."""
    part = "tibia" if tall else "leg"
    for spot in sorted(picture["spots"], key=lambda one: one["band"] != "metal"):
        side = "right" if spot["leg"] else "left"
        hand.tap(f"[data-act=photo-site][data-value='{side} {part}']")
        hand.page.wait_for_selector(
            f"#main [data-act=photo-site][data-value='{side} {part}'][aria-pressed=true]"
        )
        tap_on(hand, picture, spot)


def worn_by(hand: Keeper, name: str) -> list[list[str]]:
    """What a bird wears on its left and right tibia, by the pack of this phone."""
    packs = hand.page.evaluate(PACKS)
    birds = [bird for pack in packs for flock in pack["flocks"] for bird in flock["birds"]]
    marks = next(bird["marks"] for bird in birds if bird["id"] == hand.park.birds[name])
    return [marks.get("left tibia", []), marks.get("right tibia", [])]


def test_a_leg_in_lamplight_is_tapped_and_the_bird_is_named(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.ready_for_no_signal()
    hand.page.goto("/who/")
    hand.page.context.set_offline(True)
    hand.page.goto("/who/#photo")
    hand.page.reload()
    hand.page.wait_for_selector("#main [data-photo=camera]", state="attached")
    hand.tap("[data-act=exhibit]:has-text('Shingle Aviary')")
    picture = picture_of(hand, worn_by(hand, "Samphire"))
    take(hand, picture)
    tap_all(hand, picture)
    hand.tap("[data-act=photo-which][data-value=left]")
    hand.page.wait_for_selector("#main [data-k=say] >> text=Samphire")
    hand.tap(f".read-tiles {hand.tile('Samphire')}")
    hand.page.wait_for_selector("#main [data-act=seen-at]")
    hand.tap("[data-act=seen-at]")
    hand.page.wait_for_selector("#main >> text=in a photograph")
    hand.page.context.set_offline(False)
    hand.page.reload()
    hand.wait_until_sent()
    seen = Sighting.objects.get(device__gt="")
    assert (seen.bird_id, seen.how, seen.photographed) == (wendlebrook.birds["Samphire"], "by reading", True)
    assert seen.reading == {"left tibia": ["metal", "*"], "right tibia": worn_by(hand, "Samphire")[1]}
    assert seen.chance >= 0.9
    kept = Photograph.objects.get(sighting=seen)
    bands = len(seen.reading["right tibia"])
    assert len(kept.taps["bands"]) == bands
    assert kept.taps["worn"] == {"left tibia": ["metal", "*"], "right tibia": list(range(bands))}


def test_a_picture_that_does_not_say_when_clears_nobody(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.page.goto("/who/#photo")
    hand.page.wait_for_selector("#main [data-photo=file]", state="attached")
    hand.tap("[data-act=exhibit]:has-text('Shingle Aviary')")
    picture = picture_of(hand, worn_by(hand, "Samphire"), (1600, 1200))
    take(hand, picture, "file")
    hand.page.wait_for_selector("#main >> text=does not say when it was taken")
    tap_all(hand, picture)
    hand.tap(f".read-tiles {hand.tile('Samphire')}")
    hand.page.wait_for_selector("#report")
    assert hand.page.locator("[data-act=seen-at]").count() == 0
    hand.page.fill("#report", "a visitor's picture of last week")
    hand.tap("[data-act=report]")
    hand.page.wait_for_selector("#main >> text=Report saved")
    hand.wait_until_sent()
    assert not Sighting.objects.filter(device__gt="").exists()
    assert Report.objects.get(device__gt="").reading["right tibia"] == worn_by(hand, "Samphire")[1]


def test_a_roll_call_takes_a_picture_of_now_as_a_reading(
    keeper: Callable[..., Keeper], wendlebrook: Any
) -> None:
    hand = keeper("tamsin")
    hand.call_roll(state="photo")
    hand.page.wait_for_selector("#main [data-photo=camera]", state="attached")
    picture = picture_of(hand, worn_by(hand, "Samphire"), (1600, 1200))
    take(hand, picture, "file")
    tap_all(hand, picture)
    hand.tap("[data-act=photo-which][data-value=left]")
    hand.tap(f".read-tiles {hand.tile('Samphire')}")
    hand.page.wait_for_selector("#main .trouble >> text=not of now")
    hand.tap("[data-act=photo-again]")
    take(hand, picture)
    tap_all(hand, picture)
    hand.tap("[data-act=photo-which][data-value='me right']")
    hand.page.wait_for_selector("#main [data-k=say] >> text=Samphire")
    hand.tap(f".read-tiles {hand.tile('Samphire')}")
    hand.strip_says("Samphire")
    assert "in a photograph" in hand.page.inner_text("#main .strip")
    hand.wait_until_sent()
    seen = Sighting.objects.get(device__gt="")
    assert (seen.bird_id, seen.how, seen.photographed) == (wendlebrook.birds["Samphire"], "by reading", True)
    assert seen.round_id is not None


def test_in_hand_a_picture_opens_the_bird(keeper: Callable[..., Keeper], wendlebrook: Any) -> None:
    hand = keeper("tamsin")
    hand.ready_for_no_signal()
    hand.page.goto("/in-hand/")
    hand.tap("text=By a photograph of its legs")
    hand.page.wait_for_selector("#main [data-photo=file]", state="attached")
    picture = picture_of(hand, worn_by(hand, "Kelp"), (1600, 1200))
    take(hand, picture)
    tap_all(hand, picture)
    hand.tap("[data-act=photo-which][data-value=left]")
    hand.page.wait_for_selector(f"#main .read-tiles {hand.tile('Kelp')}")
    hand.tap(f".read-tiles {hand.tile('Kelp')}")
    hand.page.wait_for_url(f"**/#bird-{wendlebrook.birds['Kelp']}")
    assert hand.page.inner_text("#hand-name") == "Kelp in hand"


def test_a_picture_is_shown_as_it_was_held(keeper: Callable[..., Keeper]) -> None:
    hand = keeper("tamsin")
    hand.page.goto("/who/#photo")
    hand.page.wait_for_selector("#main [data-photo=camera]", state="attached")
    picture = picture_of(hand, [["metal"], ["red", "white"]], (1200, 1600), lying=True)
    # Exif as Pillow wrote it: Orientation 6, the picture is to be turned a quarter to the right.
    told = json.loads((ROOT / "js" / "made" / "jpeg-times.json").read_text())["big_endian_with_offset"]
    exif = base64.b64decode(told)
    begins = exif.index(b"\xff\xe1")
    segment = exif[begins : begins + 2 + int.from_bytes(exif[begins + 2 : begins + 4], "big")]
    jpeg = base64.b64decode(picture["jpeg"])
    picture["jpeg"] = base64.b64encode(jpeg[:2] + segment + jpeg[2:]).decode()
    take(hand, picture)
    hand.page.wait_for_selector("#main >> text=Taken on 11 June 2026")
    tap_all(hand, picture)
    hand.page.wait_for_selector("#main .photo-taps > li:nth-child(3) .odds")
    rows = hand.page.locator("#main .photo-taps > li")
    assert ("red" in rows.nth(1).inner_text(), "white" in rows.nth(2).inner_text()) == (True, True)
