"""The drawer: what is held, spoken for and to be ordered, and which metal numbers are left."""

from __future__ import annotations

from uuid import uuid4

from tarsus.actions.bands.stock import add_metal_series, change_stock, count_stock, order_stock_below
from tarsus.actions.facts import hear_facts
from tarsus.queries.stock_page import stock_page
from tarsus.records import models as rows
from wendlebrook import BEGUN, Wendlebrook


def stocked(park: Wendlebrook, colour: str, amount: int, size: str = "8 mm") -> int:
    change_stock(
        kind="colour", colour=colour, size=size, by_amount=amount, because="delivery", by=park.actors.maren
    )
    return rows.Stock.objects.get(colour__name=colour, size=size).pk


def planned(park: Wendlebrook, name: str, marks: dict[str, list[str]]) -> None:
    bird = rows.Bird.objects.get(house_name=name)
    rows.PlannedMarks.objects.create(bird=bird, marks=marks, planned_by_id=park.actors.maren)


def test_what_runs_low_is_ordered_up_to_its_mark_and_no_further(park: Wendlebrook) -> None:
    order_stock_below(stock_id=stocked(park, "green", 3), least=10, by=park.actors.maren)
    order_stock_below(stock_id=stocked(park, "red", 10), least=10, by=park.actors.maren)
    told = {one.colour: (one.amount, one.order, one.why) for one in stock_page().compartments}
    assert told == {"green": (3, 7, "order below 10"), "red": (10, 0, "")}
    assert [one.colour for one in stock_page().to_order] == ["green"]


def test_kept_marks_speak_for_the_bands_that_their_bird_does_not_wear_yet(park: Wendlebrook) -> None:
    worn = (
        rows.Band.objects.filter(colour__isnull=False, to_on__isnull=True)
        .select_related("bird", "colour")
        .first()
    )
    assert worn is not None
    assert worn.colour is not None
    stocked(park, worn.colour.name, 0)
    other = rows.Colour.objects.exclude(pk=worn.colour_id).first()
    assert other is not None
    stocked(park, other.name, 1)
    planned(park, worn.bird.house_name, {worn.site: [worn.colour.name, other.name, other.name]})
    told = {one.colour: (one.spoken_for, one.order) for one in stock_page().compartments}
    assert told[worn.colour.name] == (0, 0), "it wears that one already"
    assert told[other.name] == (2, 1), "two are wanted, one is there"
    assert stock_page().to_order[0].why == "kept marks wait for 2"


def test_a_count_is_kept_as_the_difference_it_found(park: Wendlebrook) -> None:
    pk = stocked(park, "green", 12)
    assert count_stock(stock_id=pk, counted=9, by=park.actors.tilda) == -3
    page = stock_page()
    assert [one.amount for one in page.compartments] == [9]
    assert [(one.by_amount, one.because) for one in page.changes] == [(-3, "counted"), (12, "delivery")]


def test_a_count_is_told_through_the_door_once(park: Wendlebrook) -> None:
    pk = stocked(park, "green", 12)
    fact = {
        "id": str(uuid4()),
        "kind": "stock_counted",
        "at": "2026-06-12T08:00:00+01:00",
        "by": park.actors.maren,
        "stock": pk,
        "counted": 14,
    }
    for outcome in ("written", "known"):
        (answer,) = hear_facts(facts=[fact], clock=None, device="page", speaker=park.actors.maren)
        assert answer.outcome == outcome, answer.reason
    assert [one.amount for one in stock_page().compartments] == [14]


def test_the_numbers_left_of_a_run_are_those_never_fitted(park: Wendlebrook) -> None:
    rows.MetalSeries.objects.all().delete()
    add_metal_series(series="WB", prefix="K", first=100, last=110, size="3.3", by=park.actors.maren)
    bird = rows.Bird.objects.get(house_name="Samphire")
    for at, (key, off) in enumerate(
        (("K100", False), ("K103", True), ("WBK105", False), ("K111", False), ("L104", False))
    ):
        rows.Band.objects.create(
            bird=bird,
            site="left leg",
            order=1000 + at,
            kind="metal",
            series="WB",
            engraving=key,
            engraving_key=key,
            from_on=BEGUN,
            to_on=BEGUN if off else None,
            why_off="replaced" if off else "",
            recorded_by_id=park.actors.tilda,
        )
    (run,) = stock_page().runs
    assert (run.used, run.left, run.following) == (3, 8, "K 106")
