"""The drawer: what comes and goes, what a count finds, and what is put right afterwards."""

from __future__ import annotations

from typing import Any

import pytest

from deeds.test_door import Teller, says
from tarsus.actions.bands.planning import drop_marks, keep_marks
from tarsus.actions.bands.stock import add_metal_series, change_stock, count_stock, order_stock_below
from tarsus.core.errors import MalformedInput
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]

PINK = {"what": "colour", "colour": "pink", "size": "6 mm"}


@pytest.fixture
def drawer(says: Teller) -> int:
    """Seven pink bands of 6 mm."""
    says.done("maren", "stock_changed", **PINK, by_amount=7, because=" delivery ")
    return rows.Stock.objects.get().pk


def amount() -> int:
    return rows.Stock.objects.get().amount


def told_of_drawer() -> list[tuple[int, str]]:
    return list(rows.StockChange.objects.order_by("pk").values_list("by_amount", "because"))


def test_what_comes_and_goes_is_added_up_and_kept_line_by_line(says: Teller, drawer: int) -> None:
    answer = says.done("maren", "stock_changed", **{**PINK, "size": " 6 mm "}, by_amount=-3, because="broken")
    assert (amount(), answer.wrote["amount"]) == (4, 4)
    assert told_of_drawer() == [(7, "delivery"), (-3, "broken")]
    assert {one.by_id for one in rows.StockChange.objects.all()} == {says.park.actors.maren}
    refused = says.tell("maren", "stock_changed", **PINK, by_amount=-5, because="lost")
    assert refused.reason == "by_amount: only 4 pink colour bands of size 6 mm are there; take at most 4"
    says.done("maren", "stock_changed", **PINK, by_amount=-4, because="used up")
    assert amount() == 0


def test_bands_of_another_colour_or_size_lie_in_another_compartment(says: Teller, drawer: int) -> None:
    says.done("maren", "stock_changed", **{**PINK, "size": "8 mm"}, by_amount=1, because="delivery")
    says.done("maren", "stock_changed", what="metal", size="6 mm", by_amount=2, because="delivery")
    held = rows.Stock.objects.values_list("kind", "colour__name", "size", "amount")
    assert set(held) == {
        ("colour", "pink", "6 mm", 7),
        ("colour", "pink", "8 mm", 1),
        ("metal", None, "6 mm", 2),
    }


def test_a_count_says_by_how_much_the_drawer_was_wrong(says: Teller, drawer: int) -> None:
    counted = says.done("maren", "stock_counted", stock=drawer, counted=5)
    assert (counted.wrote["difference"], amount()) == (-2, 5)
    assert told_of_drawer()[-1] == (-2, "counted")
    more = says.done("maren", "stock_counted", stock=drawer, counted=6)
    assert (more.wrote["difference"], amount()) == (1, 6)
    assert says.done("maren", "stock_counted", stock=drawer, counted=0).wrote["difference"] == -6


def test_a_wrong_count_is_put_right_by_its_difference_whatever_was_used_since(
    says: Teller, drawer: int
) -> None:
    counted = says.done("maren", "stock_counted", stock=drawer, counted=5)
    says.done("maren", "stock_changed", **PINK, by_amount=-1, because="broken")
    says.done("maren", "withdrawn", corrects=counted.id, because="counted the lime ones")
    assert amount() == 6, "seven, less the broken one"
    assert told_of_drawer()[-1] == (2, "a mistake: counted the lime ones")


def test_a_count_is_not_undone_below_none(says: Teller, drawer: int) -> None:
    counted = says.done("maren", "stock_counted", stock=drawer, counted=9)
    says.done("maren", "stock_changed", **PINK, by_amount=-8, because="used")
    refused = says.tell("maren", "withdrawn", corrects=counted.id, because="wrong drawer")
    assert (
        refused.reason == "corrects: only 1 pink colour bands of size 6 mm are left; count them again instead"
    )
    says.done("maren", "stock_changed", **PINK, by_amount=1, because="found")
    says.done("maren", "withdrawn", corrects=counted.id, because="wrong drawer")
    assert amount() == 0


def test_a_wrong_delivery_is_undone_and_both_lines_stay(says: Teller, drawer: int) -> None:
    more = says.done("maren", "stock_changed", **PINK, by_amount=10, because="delivery")
    metal = says.done("maren", "stock_changed", what="metal", size="4", by_amount=3, because="delivery")
    says.done("maren", "withdrawn", corrects=more.id, because="for the other park")
    says.done("maren", "withdrawn", corrects=metal.id, because="for the other park")
    assert dict(rows.Stock.objects.values_list("kind", "amount")) == {"colour": 7, "metal": 0}
    assert told_of_drawer()[-2:] == [
        (-10, "a mistake: for the other park"),
        (-3, "a mistake: for the other park"),
    ]


def test_an_order_is_due_below_what_was_said(says: Teller, drawer: int) -> None:
    says.done("maren", "stock_order_below", stock=drawer, least=4)
    assert rows.Stock.objects.get().order_below == 4
    says.done("maren", "stock_order_below", stock=drawer, least=0)
    assert rows.Stock.objects.get().order_below == 0


def test_a_band_without_a_size_is_of_its_species_size_and_never_guessed(
    says: Teller, park: Wendlebrook, drawer: int
) -> None:
    says.done("maren", "stock_changed", **{**PINK, "size": "8 mm"}, by_amount=1, because="delivery")
    band = {"what": "colour", "colour": "pink", "site": "left leg"}
    says.done("maren", "band_on", bird=park["Dock"], **band)
    assert dict(rows.Stock.objects.values_list("size", "amount")) == {"6 mm": 7, "8 mm": 1}, "of which?"
    rows.Species.objects.filter(pk=park.ruff).update(band_size="8 mm")
    says.done("maren", "band_on", bird=park["Teasel"], **band)
    assert dict(rows.Stock.objects.values_list("size", "amount")) == {"6 mm": 7, "8 mm": 0}
    says.done("maren", "band_on", bird=park["Burdock"], **band, size="6 mm")
    assert dict(rows.Stock.objects.values_list("size", "amount")) == {"6 mm": 6, "8 mm": 0}


def test_a_band_put_back_in_the_drawer_is_put_back_once(says: Teller, park: Wendlebrook, drawer: int) -> None:
    on = says.done("maren", "band_on", bird=park["Dock"], site="left leg", **PINK)
    assert amount() == 6
    says.done("maren", "band_never_worn", band=on.wrote["band"], because="it was Teasel")
    assert amount() == 7
    assert told_of_drawer()[-2:] == [(-1, "fitted"), (1, "not fitted: it was Teasel")]
    says.tell("maren", "withdrawn", corrects=on.id, because="it was Teasel")
    assert amount() == 7


@pytest.mark.parametrize(
    ("act", "said", "reason"),
    [
        (
            change_stock,
            {"kind": "tin", "size": "6", "by_amount": 1, "because": "x"},
            "kind: 'tin' is no kind",
        ),
        (
            change_stock,
            {"kind": "metal", "size": " ", "by_amount": 1, "because": "x"},
            "size: is empty; write something",
        ),
        (
            change_stock,
            {"kind": "metal", "size": "6", "by_amount": 1, "because": " "},
            "because: is empty; write something",
        ),
        (
            change_stock,
            {"kind": "colour", "colour": "tael", "size": "6", "by_amount": 1, "because": "x"},
            "colour: 'tael' is no colour of the palette",
        ),
        (count_stock, {"stock_id": -1, "counted": 0}, "stock: no "),
        (count_stock, {"stock_id": -1, "counted": -1}, "counted: -1 is less than none; give 0 or more"),
        (order_stock_below, {"stock_id": -1, "least": 0}, "stock: no "),
        (order_stock_below, {"stock_id": -1, "least": -1}, "least: -1 is less than none; give 0 or more"),
        (
            add_metal_series,
            {"series": "WB", "prefix": "WB ", "first": 9, "last": 8, "size": "4"},
            "last: 8 is before 9; exchange them",
        ),
        (keep_marks, {"bird_id": -1, "marks": {}}, "bird: no "),
        (drop_marks, {"planned_id": -1}, "planned marks: no "),
    ],
)
def test_what_no_drawer_and_no_desk_has_is_refused(
    park: Wendlebrook, act: Any, said: dict[str, Any], reason: str
) -> None:
    with pytest.raises(MalformedInput) as refusal:
        act(**said, by=park.actors.maren)
    assert str(refusal.value).startswith(reason)
    with pytest.raises(MalformedInput):
        act(**said, by=-1)


def test_runs_of_numbers_meet_and_never_overlap(park: Wendlebrook) -> None:
    run = {"prefix": "WB ", "size": "7", "by": park.actors.corin}
    made = add_metal_series(series="WB", **run, first=98, last=104)
    row = rows.MetalSeries.objects.get(pk=made)
    assert (row.first, row.last, row.digits, row.size) == (98, 104, 3, "7")
    for first, last in ((104, 110), (90, 98), (100, 100), (90, 110)):
        with pytest.raises(MalformedInput, match="first: WB WB  98 to 104 is already held; leave those"):
            add_metal_series(series="WB", **run, first=first, last=last)
    for series, first, last in (("WB", 105, 105), ("WB", 97, 97), ("WC", 98, 104)):
        add_metal_series(series=series, **run, first=first, last=last)
    other = {**run, "prefix": "WX "}
    add_metal_series(series="WB", **other, first=98, last=104)
