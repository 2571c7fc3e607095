"""From what a bird wears to what was kept for it: as few bands on and off as will do."""

from __future__ import annotations

import pytest

from tarsus.core.marks.fitting import OnSite, Step, fitting, is_fitted, steps_at
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.sizes import kinds_for, named_band, serves


def told(steps: tuple[Step, ...]) -> list[str]:
    return [f"{'=' if step.stays else '-' if step.worn is not None else '+'}{step.word}" for step in steps]


def worn(*words: str) -> list[OnSite]:
    return [OnSite(key, word) for key, word in enumerate(words)]


@pytest.mark.parametrize(
    ("wears", "wanted", "steps"),
    [
        ((), ("yellow", "green"), ["+yellow", "+green"]),
        (("yellow", "green"), (), ["-yellow", "-green"]),
        (("yellow", "green"), ("yellow", "green"), ["=yellow", "=green"]),
        # turned over: one of the two can stay, whichever stands first
        (("yellow", "green"), ("green", "yellow"), ["-yellow", "=green", "+yellow"]),
        (("red", "white"), ("red", "blue", "white"), ["=red", "+blue", "=white"]),
        # the one that comes off stands before the one that takes its place
        (("red", "white"), ("pink", "white"), ["-red", "+pink", "=white"]),
    ],
)
def test_as_many_bands_stay_as_can(wears: tuple[str, ...], wanted: tuple[str, ...], steps: list[str]) -> None:
    assert told(steps_at(worn(*wears), wanted)) == steps


def test_a_temporary_band_on_a_grown_leg_comes_off_even_for_its_own_colour() -> None:
    tie = OnSite(7, "orange", may_stay=False)
    assert told(steps_at([tie], ["orange"])) == ["-orange", "+orange"]


def test_what_is_kept_is_fitted_when_every_site_is_as_kept_and_no_other_band_is_left() -> None:
    kept = Marks.of({"left tibia": ["metal"], "right tibia": ["yellow", "green"]})
    right = {"left tibia": worn("metal"), "right tibia": worn("yellow", "green")}
    assert is_fitted(fitting(right, kept))
    assert not is_fitted(fitting(right | {"left leg": [OnSite(9, "white")]}, kept))
    assert not is_fitted(fitting(right | {"right tibia": worn("green", "yellow")}, kept))
    assert not is_fitted(fitting({}, kept))


def test_a_band_is_of_the_size_that_its_species_wears_and_a_tie_fits_any_leg() -> None:
    assert serves("colour", "7B", "7b")
    assert not serves("colour", "4", "7B")
    assert serves("metal", "4", "")
    assert serves("cable tie", "2.5 mm", "4")
    assert (kinds_for("wings", "pink")[0], kinds_for("tall", "pink")[0]) == ("wing", "colour")
    assert kinds_for("wings", "metal") == ("metal",)
    assert [named_band("wing", "pink"), named_band("colour", "pink"), named_band("metal", "metal")] == [
        "pink wing",
        "pink",
        "metal",
    ]
