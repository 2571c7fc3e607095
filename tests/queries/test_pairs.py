"""Pairs formed and parted; a death widows by itself, and no longer once it is withdrawn."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from phones import Phone
from tarsus.core.deeds.fields import Kind
from tarsus.queries.bird_page import bird_page
from tarsus.queries.named_rows import choices_of
from tarsus.queries.pairs import mates_of
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 6, 13, 8, tzinfo=UTC)


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    phone = Phone(park, park.actors.tilda)
    assert phone.send(phone.fact("pair_formed", one=park["Sedge"], other=park["Kelp"])) == ["written"]
    return phone


def told(park: Wendlebrook, name: str) -> list[tuple[str, str, bool]]:
    return [(mate.name, mate.why, mate.widowed) for mate in mates_of(park[name])]


def test_a_pair_parts_with_its_reason_and_goes_on_where_that_was_a_mistake(
    park: Wendlebrook, tilda: Phone
) -> None:
    parted = tilda.fact("pair_parted", pair=mates_of(park["Sedge"])[0].pair_id, why="she nests with another")
    assert tilda.send(parted) == ["written"]
    assert told(park, "Kelp") == [("Sedge", "parted: she nests with another", False)]
    assert choices_of(Kind.PAIR) == ()
    tilda.send(tilda.fact("withdrawn", corrects=parted["id"], because="another pair"))
    assert told(park, "Kelp") == [("Sedge", "", False)]


def test_a_death_widows_by_itself_and_the_page_says_so(park: Wendlebrook, tilda: Phone) -> None:
    death = tilda.fact("death", bird=park["Kelp"], exhibit=park.shingle, found_by="Tilda")
    assert tilda.send(death) == ["written"]
    assert told(park, "Sedge") == [("Kelp", "Kelp died", True)]
    assert told(park, "Kelp") == [("Sedge", "it died", False)]
    assert choices_of(Kind.PAIR) == (), "no pair that a nest could be of"
    assert "Widowed: Kelp died." in [event.text for event in bird_page(park["Sedge"], NOW).events]
    # She takes another mate; the earlier one stays readable.
    tilda.send(tilda.fact("pair_formed", one=park["Sedge"], other=park["Marram"]))
    assert [name for name, *_ in told(park, "Sedge")] == ["Marram", "Kelp"]
    tilda.send(tilda.fact("withdrawn", corrects=death["id"], because="it was Burdock"))
    assert told(park, "Sedge") == [("Marram", "", False), ("Kelp", "", False)]


def test_a_carcase_named_later_widows_from_the_day_it_was_found(park: Wendlebrook, tilda: Phone) -> None:
    death = tilda.fact("death", species=park.avocet, exhibit=park.shingle, found_by="Tilda")
    named = tilda.fact("carcase_named", death=death["id"], bird=park["Kelp"], because="its ring")
    tilda.send(death)
    assert told(park, "Sedge") == [("Kelp", "", False)]
    maren = Phone(park, park.actors.maren)
    assert maren.send({**named, "by": park.actors.maren}) == ["written"]
    (mate,) = mates_of(park["Sedge"])
    assert (mate.widowed, mate.until) == (True, date(2026, 6, 11))


def test_a_look_at_a_natural_mark_is_put_right_as_it_was_before(park: Wendlebrook, tilda: Phone) -> None:
    mark = tilda.fact("natural_mark", bird=park["Dock"], text="nick in the bill", review_on="2026-07-01")
    tilda.send(mark)
    row = rows.NaturalMark.objects.get()
    looked = tilda.fact("natural_mark_reviewed", mark=row.pk, still_there=True, next_on="2027-07-01")
    gone = tilda.fact("natural_mark_reviewed", mark=row.pk, still_there=False)
    assert tilda.send(looked) == ["written"]
    row.refresh_from_db()
    assert row.review_on == date(2027, 7, 1)
    tilda.send(tilda.fact("withdrawn", corrects=looked["id"], because="another bird"))
    row.refresh_from_db()
    assert row.review_on == date(2026, 7, 1)
    tilda.send(gone)
    assert bird_page(park["Dock"], NOW).natural_marks == ()
    tilda.send(tilda.fact("withdrawn", corrects=gone["id"], because="another bird"))
    assert [one.mark_id for one in bird_page(park["Dock"], NOW).natural_marks] == [row.pk]
