"""Fitting bands, taking them off, and what the drawer and the rules say to it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest

from tarsus.actions.bands.checks import check_band, name_owner_of_band, record_band_found
from tarsus.actions.bands.fitting import NewBand, fit_band, take_back_band, take_off_band
from tarsus.actions.bands.stock import add_metal_series, change_stock
from tarsus.actions.refusals import AlreadySo, OutOfOrder, Unknown
from tarsus.actions.telling import Told
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.queries.marks import bands_of, marks_on
from tarsus.records import models as rows
from wendlebrook import BEGUN, DAY, Wendlebrook

pytestmark = pytest.mark.django_db
NINE = datetime(2026, 6, 11, 8, 0, tzinfo=UTC)


def colour(name: str, site: str = "right tibia", place: int | None = None) -> NewBand:
    return NewBand(site=site, kind="colour", colour=name, size="6 mm", place=place)


def band_of(park: Wendlebrook, bird: str, word: str) -> int:
    return next(b.band_id for b in bands_of([park[bird]], DAY)[park[bird]] if b.word == word)


@pytest.mark.parametrize(
    ("place", "stack"),
    [
        (None, ("yellow", "green", "pink")),
        (0, ("pink", "yellow", "green")),
        (1, ("yellow", "pink", "green")),
        (9, ("yellow", "green", "pink")),
    ],
)
def test_a_band_is_fitted_where_it_was_said_from_the_body_outward(
    park: Wendlebrook, place: int | None, stack: tuple[str, ...]
) -> None:
    fit_band(bird_id=park["Samphire"], band=colour("pink", place=place), on=DAY, by=park.actors.maren)
    assert marks_on(park["Samphire"], DAY).at("right tibia") == stack
    assert marks_on(park["Samphire"], DAY - timedelta(days=1)).at("right tibia") == ("yellow", "green")


def test_sending_a_fitting_twice_fits_one_band(park: Wendlebrook) -> None:
    deed = uuid4()
    told = {"bird_id": park["Dock"], "band": colour("pink", "left leg"), "on": DAY, "by": park.actors.tilda}
    first = fit_band(**told, deed=deed)
    assert fit_band(**told, deed=deed).band_id == first.band_id
    assert marks_on(park["Dock"], DAY).at("left leg") == ("pink",)


def test_a_metal_number_is_never_used_again(park: Wendlebrook) -> None:
    metal = NewBand(site="left leg", kind="metal", engraving="wb 31001", series="WB")
    take_off_band(band_id=park.metals["Teasel"], on=DAY, why="tight", by=park.actors.maren)
    with pytest.raises(
        AlreadySo, match=r"^engraving: wb 31001 is Teasel's \(until 2026-06-11\); read the number"
    ):
        fit_band(bird_id=park["Dock"], band=metal, on=DAY + timedelta(days=9), by=park.actors.maren)
    unsaid = NewBand(site="left leg", kind="metal", engraving="WB31001")
    with pytest.raises(AlreadySo, match=r"^engraving: WB31001 is Teasel's"):
        fit_band(bird_id=park["Dock"], band=unsaid, on=DAY, by=park.actors.maren)
    elsewhere = NewBand(site="left leg", kind="metal", engraving="WB 31001", series="another issue")
    fit_band(bird_id=park["Dock"], band=elsewhere, on=DAY, by=park.actors.maren)


def test_a_number_written_down_by_mistake_may_be_written_where_it_belongs(park: Wendlebrook) -> None:
    metal = NewBand(site="left leg", kind="metal", engraving="WB 31001", series="WB")
    take_back_band(band_id=park.metals["Teasel"], because="it is Dock's", by=park.actors.corin)
    fit_band(bird_id=park["Dock"], band=metal, on=BEGUN, by=park.actors.corin)
    assert marks_on(park["Dock"], DAY).at("left leg") == ("metal",)
    assert marks_on(park["Teasel"], DAY).at("left leg") == ()


def test_rules_are_told_and_nothing_is_refused_for_them(park: Wendlebrook) -> None:
    red = rows.Colour.objects.get(name="red")
    rows.Species.objects.get(pk=park.ruff).excluded_colours.add(red)
    rows.Species.objects.filter(pk=park.ruff).update(chews=True)
    metal = NewBand(site="right leg", kind="metal", engraving="77", series="NL")
    fit_band(bird_id=park["Dock"], band=metal, on=DAY, by=park.actors.tilda)
    second = NewBand(site="right leg", kind="closed", engraving="78", series="NL")
    assert fit_band(bird_id=park["Dock"], band=second, on=DAY, by=park.actors.tilda).warnings == (
        "two metal bands on the right leg: they can clash and hurt",
        "Ruff chews: plastic bands and butt-end bands do not last and can hurt",
        "4 bands on the right leg, 2 at most here",
    )
    fitted = fit_band(bird_id=park["Dock"], band=colour("red", "left tibia"), on=DAY, by=park.actors.tilda)
    assert "Ruff is not banded on the left tibia here" in fitted.warnings
    assert "red is not used on Ruff here" in fitted.warnings


def test_a_metal_on_the_other_sexs_side_is_told(park: Wendlebrook) -> None:
    metal = NewBand(site="left tibia", kind="metal", engraving="77", series="NL")
    said = fit_band(bird_id=park["Kelp"], band=metal, on=DAY, by=park.actors.tilda).warnings
    assert "the metal is on the left tibia, a male wears it on the right here" in said


@pytest.mark.parametrize(
    ("band", "sentence"),
    [
        (NewBand("left toe", "metal"), r"^site: 'left toe' is no site"),
        (NewBand("left leg", "tin"), r"^kind: 'tin' is no kind of band"),
        (NewBand("left leg", "colour", "tael"), r"^colour: 'tael' is no colour of the palette"),
        (NewBand("left leg", "cable tie"), r"^colour: is missing; say which colour"),
        (NewBand("left leg", "metal", "red"), r"^colour: a metal band has none"),
    ],
)
def test_a_band_that_cannot_be_is_refused_with_its_field(
    park: Wendlebrook, band: NewBand, sentence: str
) -> None:
    with pytest.raises((UnknownWord, WrongValue), match=sentence):
        fit_band(bird_id=park["Dock"], band=band, on=DAY, by=park.actors.tilda)


def test_no_bird_is_banded_before_it_hatched(park: Wendlebrook) -> None:
    rows.Bird.objects.filter(pk=park["Dock"]).update(hatched_on=date(2026, 4, 1), hatched_precision="day")
    with pytest.raises(OutOfOrder, match="before Dock hatched"):
        fit_band(bird_id=park["Dock"], band=colour("pink", "left leg"), on=BEGUN, by=park.actors.tilda)


def test_taking_off_twice_is_heard_once_and_another_day_is_refused(park: Wendlebrook) -> None:
    told = {"band_id": band_of(park, "Samphire", "green"), "why": "replaced", "by": park.actors.tilda}
    assert take_off_band(**told, on=DAY)
    assert not take_off_band(**told, on=DAY)
    with pytest.raises(AlreadySo, match=r"^band: it is off since 2026-06-11"):
        take_off_band(**told, on=DAY + timedelta(days=1))
    with pytest.raises(OutOfOrder, match="before it was fitted"):
        take_off_band(
            band_id=band_of(park, "Samphire", "yellow"),
            on=BEGUN - timedelta(days=1),
            why="lost",
            by=park.actors.tilda,
        )


def test_a_fitted_band_leaves_the_drawer_and_an_empty_drawer_is_told(park: Wendlebrook) -> None:
    stock = {"kind": "colour", "colour": "pink", "size": "6 mm", "by": park.actors.maren}
    assert change_stock(**stock, by_amount=1, because="delivery") == 1
    band = colour("pink")
    assert fit_band(bird_id=park["Samphire"], band=band, on=DAY, by=park.actors.tilda).warnings == (
        "3 bands on the right leg, 2 at most here",
    )
    assert rows.Stock.objects.get().amount == 0
    said = fit_band(bird_id=park["Sedge"], band=band, on=DAY, by=park.actors.tilda).warnings
    assert said[0] == "the drawer had no pink colour bands of size 6 mm left; count it again"
    with pytest.raises(WrongValue, match=r"^by_amount: only 0 pink colour bands of size 6 mm are there"):
        change_stock(**stock, by_amount=-1, because="broken")
    assert [c.by_amount for c in rows.StockChange.objects.order_by("pk")] == [1, -1]


def test_a_band_that_came_with_a_bird_is_not_from_our_drawer(park: Wendlebrook) -> None:
    stock = {"kind": "colour", "colour": "pink", "size": "6 mm", "by": park.actors.maren}
    change_stock(**stock, by_amount=4, because="delivery")
    worn = NewBand(site="right tibia", kind="colour", colour="pink", size="6 mm", came_with_it=True)
    fit_band(bird_id=park["Sedge"], band=worn, on=DAY, by=park.actors.tilda)
    assert rows.Stock.objects.get().amount == 4


def test_no_number_is_issued_in_two_runs(park: Wendlebrook) -> None:
    run = {"series": "WB", "prefix": "WB ", "size": "7", "by": park.actors.corin}
    add_metal_series(**run, first=20400, last=20499)
    add_metal_series(**run, first=20500, last=20549)
    with pytest.raises(WrongValue, match="20400 to 20499 is already held"):
        add_metal_series(**run, first=20480, last=20520)


def test_a_check_says_good_or_all_that_is_not(park: Wendlebrook) -> None:
    green = band_of(park, "Samphire", "green")
    told = Told(by=park.actors.tilda, at=NINE)
    assert check_band(told=told, band_id=green, conditions=["faded", "worn"])
    assert not check_band(told=told, band_id=green, conditions=["worn", "faded"])
    (worn,) = [b for b in bands_of([park["Samphire"]], DAY)[park["Samphire"]] if b.word == "green"]
    assert worn.flags == ("faded", "worn")
    for wrong in ([], ["good", "worn"]):
        with pytest.raises(WrongValue, match=r"^conditions: say 'good', or everything that is not"):
            check_band(told=Told(by=park.actors.tilda, at=NINE), band_id=green, conditions=wrong)
    with pytest.raises(UnknownWord, match=r"^conditions: 'shiny' is no condition of a band"):
        check_band(told=Told(by=park.actors.tilda, at=NINE), band_id=green, conditions=["shiny"])


def test_a_missing_band_is_drawn_as_lost_until_it_is_taken_off_the_record(park: Wendlebrook) -> None:
    white = band_of(park, "Thrift", "white")
    check_band(told=Told(by=park.actors.tilda, at=NINE), band_id=white, conditions=["missing"])
    assert marks_on(park["Thrift"], DAY).at("right tibia") == ("red", "white")
    (worn,) = [b for b in bands_of([park["Thrift"]], DAY)[park["Thrift"]] if b.word == "white"]
    assert worn.flags == ("lost",)
    take_off_band(band_id=white, on=DAY, why="lost", by=park.actors.tilda)
    assert marks_on(park["Thrift"], DAY).at("right tibia") == ("red",)


def test_a_band_on_the_floor_takes_nobody_for_dead(park: Wendlebrook) -> None:
    told = Told(by=park.actors.tilda, at=NINE)
    found = {"exhibit_id": park.shingle, "kind": "colour", "colour": "green", "place_id": park.north_spit}
    assert record_band_found(told=told, **found)
    assert not record_band_found(told=told, **found)
    assert not rows.Death.objects.exists()
    green = band_of(park, "Sedge", "green")
    because = "Sedge lacks it"
    name_owner_of_band(
        told=Told(by=park.actors.maren, at=NINE), found_id=told.id, band_id=green, because=because
    )
    assert marks_on(park["Sedge"], DAY).at("right tibia") == ("yellow",)
    assert rows.Band.objects.get(pk=green).why_off == "lost"
    assert not rows.Death.objects.exists()
    with pytest.raises(Unknown, match=r"^place: no place of this exhibit"):
        record_band_found(
            told=Told(by=park.actors.tilda, at=NINE),
            exhibit_id=park.reed,
            kind="colour",
            colour="green",
            place_id=park.north_spit,
        )
