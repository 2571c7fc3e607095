"""A list that comes again when the register knows more by now: nothing is added up, nothing newer undone."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest

from list_files import brought
from tarsus.actions.facts import hear_facts
from tarsus.records import models as rows

pytestmark = pytest.mark.django_db


def test_a_nest_list_with_a_higher_count_is_refused_and_never_added_up(park: Any) -> None:
    species = rows.Species.objects.get(pk=park.avocet).name
    head = "nest,exhibit,species,begun,eggs,Chicks out,hatched on,ended"
    row = f"Box 4,Shingle Aviary,{species},2026-04-03"
    said = {"Chicks out": "hatched"}
    assert brought(park, head, f"{row},3,2,2026-04-25,", said=said, what="nests").told == 1
    for later in ("4,3,2026-04-25,", "4,2,2026-04-26,"):
        done = brought(park, head, f"{row},{later}", said=said, what="nests")
        (refused,) = done.refused
        assert (done.told, refused.field) == (0, "Chicks out")
        assert refused.reason == "2 on 2026-04-25 were told of this nest before"
        assert refused.remedy == "correct it at the nest, or leave the line out"
    events = rows.Nest.objects.get(name="Box 4").events
    assert set(events.values_list("kind", "amount")) == {("eggs", 3), ("hatched", 2)}
    assert brought(park, head, f"{row},4,2,2026-04-25,", said=said, what="nests").told == 1
    assert set(events.values_list("kind", "amount")) == {("eggs", 3), ("eggs", 4), ("hatched", 2)}


def test_an_old_stock_list_never_overwrites_a_later_count(park: Any) -> None:
    head = "kind,colour,size,amount,date"
    for begun, counted in (("2026-04-03", "2026-05-03"), ("2026-05-03", "")):
        size = f"9.{begun[6]}"
        brought(park, head, f"colour,red,{size},40,{begun}")
        if counted:
            brought(park, head, f"colour,red,{size},35,{counted}")
        amount = rows.Stock.objects.get(size=size).amount
        done = brought(park, head, f"colour,red,{size},80,2026-03-10")
        (refused,) = done.refused
        assert (done.told, refused.field, refused.reason) == (0, "date", "was counted or used since then")
        assert refused.remedy == "count the drawer again, and write that day"
        assert rows.Stock.objects.get(size=size).amount == amount
        assert brought(park, head, f"colour,red,{size},40,{begun}").plan.in_before == (2,)
    assert brought(park, head, "colour,red,9.4,33,2026-05-03").told == 1, "a recount of the same day"


def test_a_count_of_before_a_band_was_fitted_is_refused(park: Any) -> None:
    head = "kind,colour,size,amount,date"
    brought(park, head, "colour,red,9.9,40,2026-04-03")
    drawer = rows.Stock.objects.get(size="9.9")
    band = rows.Band.objects.order_by("pk")[0]
    fitted = datetime(2026, 5, 20, 9, tzinfo=UTC)
    rows.StockChange.objects.create(
        stock=drawer, by_amount=-1, because="fitted", band=band, by_id=park.actors.maren, at=fitted
    )
    done = brought(park, head, "colour,red,9.9,38,2026-05-19")
    assert [one.reason for one in done.refused] == ["was counted or used since then"]
    assert brought(park, head, "colour,red,9.9,38,2026-05-20").told == 1


def test_a_count_that_was_a_mistake_keeps_no_older_list_out(park: Any) -> None:
    head = "kind,colour,size,amount,date"
    brought(park, head, "colour,red,9.7,40,2026-04-03")
    (wrong,) = brought(park, head, "colour,red,9.7,12,2026-05-20").plan.lines
    assert brought(park, head, "colour,red,9.7,38,2026-05-19").told == 0
    told = {"corrects": str(wrong.ids[0]), "because": "counted in the wrong drawer"}
    fact = {
        "id": str(uuid4()),
        "kind": "withdrawn",
        "by": park.actors.maren,
        "at": "2026-06-01T10:00:00+01:00",
    }
    (answer,) = hear_facts(facts=[{**fact, **told}], clock=None, device="page", speaker=park.actors.maren)
    assert answer.outcome == "written", answer.reason
    assert brought(park, head, "colour,red,9.7,38,2026-05-19").told == 1
    assert rows.Stock.objects.get(size="9.7").amount == 38
