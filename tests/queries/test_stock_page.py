"""The drawer: what is held, spoken for and to be ordered, and which metal numbers are left."""

from __future__ import annotations

from uuid import uuid4

from tarsus.actions.bands.stock import add_metal_series, change_stock, count_stock, order_stock_below
from tarsus.actions.facts import hear_facts
from tarsus.queries.stock_page import stock_page
from tarsus.records import models as rows
from wendlebrook import BEGUN, MORNING, Wendlebrook


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
    told = {one.colour: (one.amount, one.order, one.why) for one in stock_page(MORNING).compartments}
    assert told == {"green": (3, 7, "order below 10"), "red": (10, 0, "")}
    assert [one.colour for one in stock_page(MORNING).to_order] == ["green"]


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
    told = {one.colour: (one.spoken_for, one.order) for one in stock_page(MORNING).compartments}
    assert told[worn.colour.name] == (0, 0), "it wears that one already"
    assert told[other.name] == (2, 1), "two are wanted, one is there"
    assert stock_page(MORNING).to_order[0].why == "kept marks wait for 2"


def test_a_count_is_kept_as_the_difference_it_found(park: Wendlebrook) -> None:
    pk = stocked(park, "green", 12)
    assert count_stock(stock_id=pk, counted=9, by=park.actors.tilda) == -3
    page = stock_page(MORNING)
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
    assert [one.amount for one in stock_page(MORNING).compartments] == [14]


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
    (run,) = stock_page(MORNING).runs
    assert (run.used, run.left, run.following) == (3, 8, "K 106")


def test_kept_marks_speak_for_their_species_size_and_a_worn_band_counts_for_its_own(
    park: Wendlebrook,
) -> None:
    rows.Species.objects.filter(pk=park.avocet).update(band_size="4")
    small, large = stocked(park, "blue", 1, "4"), stocked(park, "blue", 1, "7B")
    planned(park, "Marram", {"left tibia": ["blue", "blue", "blue"]})
    rows.Band.objects.create(
        bird_id=park["Marram"],
        site="right leg",
        kind="colour",
        colour=rows.Colour.objects.get(name="blue"),
        from_on=BEGUN,
        recorded_by_id=park.actors.tilda,
    )
    told = {one.stock_id: (one.spoken_for, one.worn, one.order) for one in stock_page(MORNING).compartments}
    assert told == {small: (2, 1, 1), large: (0, 0, 0)}
    assert stock_page(MORNING).in_one_line == "1 blue, size 4"


def test_a_wrong_delivery_is_put_right_where_it_shows_and_both_lines_stay(park: Wendlebrook) -> None:
    def tell(**keys: object) -> str:
        fact = {
            "id": str(uuid4()),
            "kind": "stock_changed",
            "at": "2026-06-12T08:00:00+01:00",
            "by": park.actors.maren,
            "what": "colour",
            "colour": "green",
            "size": "4",
            **keys,
        }
        (answer,) = hear_facts(facts=[fact], clock=None, device="page", speaker=park.actors.maren)
        assert answer.outcome == "written", answer.reason
        return str(fact["id"])

    first = tell(by_amount=50, because="delivery")
    tell(by_amount=5, because="delivery", corrects=first, why_corrected="a nought too many")
    page = stock_page(MORNING)
    assert [one.amount for one in page.compartments] == [5]
    assert [one.by_amount for one in page.changes] == [5, -50, 50]
    assert page.changes[0].where_from.before == "50 green colour, size 4: delivery."
    assert page.changes[0].where_from.why_corrected == "a nought too many"
    assert page.changes[2].where_from.taken_back_by == "Maren"


def test_a_count_that_was_wrong_is_put_right_by_what_it_changed(park: Wendlebrook) -> None:
    pk = stocked(park, "green", 12)
    ids = [str(uuid4()), str(uuid4())]
    count = {
        "id": ids[0],
        "kind": "stock_counted",
        "at": "2026-06-12T08:00:00+01:00",
        "by": park.actors.maren,
        "stock": pk,
        "counted": 2,
    }
    gone = {
        "id": ids[1],
        "kind": "withdrawn",
        "at": "2026-06-12T09:00:00+01:00",
        "by": park.actors.maren,
        "corrects": ids[0],
        "because": "the other drawer",
    }
    change_stock(
        kind="colour", colour="green", size="8 mm", by_amount=-1, because="broken", by=park.actors.maren
    )
    for fact in (count, gone):
        (answer,) = hear_facts(facts=[fact], clock=None, device="page", speaker=park.actors.maren)
        assert answer.outcome == "written", answer.reason
    assert [one.amount for one in stock_page(MORNING).compartments] == [11]
