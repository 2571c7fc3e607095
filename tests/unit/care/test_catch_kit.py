"""The kit of a catch-up: what the planned work needs, by species and size, held against the shelf.

Which tools go with which work is common practice; the numbers are counted by hand from the four birds below.
"""

from __future__ import annotations

from dataclasses import replace

from tarsus.core.care.catch_kit import (
    BandsToTake,
    BirdWork,
    Kit,
    Shelf,
    Worn,
    bands_to_fit,
    kit_of,
    usual_sizes,
)
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.marks.fitting import OnSite, fitting
from tarsus.core.marks.marks import Marks


def job(kind: str, subject: str = "") -> Duty:
    return Duty(kind, 1, 1, subject, f"{kind}.", "", None, Urgency.SOON, "", True, "")


METAL = Worn(1, "left tibia", "metal", "metal", "5")
RED, BLUE = Worn(2, "right tibia", "colour", "red", "4"), Worn(3, "right tibia", "colour", "blue", "4")
SEDGE = BirdWork(1, "Sedge", "Pied avocet", (job("band faded", "band 2"),), (METAL, RED, BLUE))
# Kept for Kelp: metal on the right, red over red on the left; nothing of it is worn where it is to go.
KELP = BirdWork(
    2, "Kelp", "Pied avocet", (job("marks to fit"),), (METAL, RED, BLUE),
    steps=fitting(
        {
            "left tibia": [OnSite(1, "metal")],
            "right tibia": [OnSite(2, "red"), OnSite(3, "blue")],
        },
        Marks.of({"right tibia": ["metal"], "left tibia": ["red", "red"]}),
    ),
)  # fmt: skip
TEASEL = BirdWork(3, "Teasel", "Ruff", (job("sex sample"), job("band missing", "band 9")), (
    Worn(9, "left leg", "colour", "red", ""),
))  # fmt: skip
MARSH = BirdWork(4, "Marsh", "African penguin", (job("wing band off", "band 7"),), (
    Worn(7, "left wing", "wing", "pink", "M"),
))  # fmt: skip
SHELF = (
    Shelf("colour", "red", "4", 2),
    Shelf("colour", "red", "7B", 9),
    Shelf("colour", "blue", "4", 6),
    Shelf("metal", "metal", "5", 1),
)
SIZES = {("Pied avocet", "colour"): "4", ("Pied avocet", "metal"): "5", ("Ruff", "colour"): "7B"}


def tools(kit: Kit) -> dict[str, tuple[str, ...]]:
    return {tool.what: tool.birds for tool in kit.tools}


def test_a_band_that_gave_out_is_replaced_by_its_like_and_marks_kept_at_the_desk_come_first() -> None:
    assert bands_to_fit(SEDGE) == [("colour", "red")]
    assert bands_to_fit(KELP) == [("colour", "red"), ("colour", "red"), ("metal", "metal")]
    both = replace(KELP, duties=(*KELP.duties, job("band worn", "band 3")))
    assert bands_to_fit(both) == bands_to_fit(KELP), "what is kept at the desk settles it"
    twice = replace(SEDGE, duties=(job("band faded", "band 2"), job("band worn", "band 2")))
    assert bands_to_fit(twice) == [("colour", "red")], "faded and worn, it is one band"


def test_bands_are_listed_by_species_kind_colour_and_size_with_what_the_shelf_has() -> None:
    kit = kit_of([SEDGE, KELP, TEASEL, MARSH], SHELF, SIZES)
    assert kit.bands == (
        BandsToTake("Pied avocet", "colour", "red", "4", ("Sedge", "Kelp", "Kelp"), 2),
        BandsToTake("Pied avocet", "metal", "metal", "5", ("Kelp",), 1),
        BandsToTake("Ruff", "colour", "red", "7B", ("Teasel",), 9),
    )
    assert [one.short for one in kit.bands] == [True, False, False]
    assert kit.bands[0].words == "3 red bands, size 4"
    assert kit.bands[1].words == "1 metal band, size 5"


def test_a_closed_ring_that_gave_out_is_replaced_by_a_metal_band_with_its_pliers() -> None:
    ring = Worn(8, "left leg", "closed", "metal", "5")
    kit = kit_of([BirdWork(5, "Heron", "Ruff", (job("band unreadable", "band 8"),), (ring,))], SHELF, {})
    assert [one.words for one in kit.bands] == ["1 metal band, size by the leg: measure it"]
    assert "Closing pliers for metal" in tools(kit)


def test_a_size_fits_its_drawer_however_its_letter_is_written() -> None:
    (red,) = kit_of([replace(TEASEL, size="7b")], SHELF, {}).bands
    assert (red.words, red.held) == ("1 red band, size 7b", 9)


def test_a_band_that_stays_by_the_kept_marks_is_replaced_where_it_gave_out() -> None:
    stays = replace(
        SEDGE,
        duties=(job("marks to fit"), job("band unreadable", "band 2"), job("band worn", "band 3")),
        steps=fitting(
            {"left tibia": [OnSite(1, "metal")], "right tibia": [OnSite(2, "red"), OnSite(3, "blue")]},
            Marks.of({"left tibia": ["metal"], "right tibia": ["red", "green"]}),
        ),
    )
    assert bands_to_fit(stays) == [("colour", "green"), ("colour", "red")], "blue comes off anyway"


def test_a_tool_to_open_a_band_is_at_hand_for_two_metals_on_a_leg() -> None:
    kit = kit_of([replace(SEDGE, duties=(job("two metals on a leg", "band 1"),))], SHELF, SIZES)
    assert tools(kit)["Tool to open or cut a band, and a box for those taken off"] == ("Sedge",)


def test_a_size_that_no_record_tells_is_measured_and_all_sizes_are_counted() -> None:
    (red,) = kit_of([TEASEL], SHELF, {}).bands
    assert (red.size, red.held) == ("", 11)
    assert red.words == "1 red band, size by the leg: measure it"
    assert red.on_the_shelf == "11 on the shelf of all sizes"
    (red,) = kit_of([replace(TEASEL, size="4")], SHELF, SIZES).bands
    assert (red.size, red.held) == ("4", 2), "the size that the park wrote for the species goes first"


def test_tools_follow_from_the_work_and_say_for_whom() -> None:
    told = tools(kit_of([SEDGE, KELP, TEASEL, MARSH], SHELF, SIZES))
    assert told["Scale"] == ()
    assert told["Closing pliers for metal of size 5"] == ("Kelp",)
    assert told["Applicator for colour bands of size 7B"] == ("Teasel",)
    assert told["Tubes, labels and a pen for samples"] == ("Teasel",)
    assert told["Moult tie, one a bird: known by it while its band is off"] == ("Marsh",)
    assert told["Tool to open or cut a band, and a box for those taken off"] == ("Sedge", "Kelp", "Marsh")
    weighed = tools(kit_of([replace(SEDGE, duties=(job("weigh"),))], SHELF, SIZES))
    assert not any("pliers" in what or "Tool to open" in what or "gauge" in what for what in weighed)


def test_nobody_caught_needs_nothing() -> None:
    assert kit_of([], SHELF, SIZES) == Kit((), ())


def test_the_usual_size_is_the_one_worn_most() -> None:
    worn = [
        ("Ruff", "colour", "7B"),
        ("Ruff", "colour", "7B"),
        ("Ruff", "colour", "8"),
        ("Ruff", "metal", ""),
    ]
    assert usual_sizes(worn) == {("Ruff", "colour"): "7B"}
    assert usual_sizes([("Ruff", "metal", "3"), ("Ruff", "metal", "2")]) == {("Ruff", "metal"): "2"}
