"""What was printed and signed of a month is kept, version by version, and never before the month is over."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest

from deeds.test_door import Teller
from tarsus.actions import reports
from tarsus.actions.reports import keep_printed_inventory
from tarsus.core.errors import WrongValue
from tarsus.queries.inventory import inventory_of_month
from tarsus.queries.signed_months import as_plain
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


def at(moment: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be this moment for whoever prints."""
    monkeypatch.setattr(reports.timezone, "now", lambda: moment)


def test_a_month_is_kept_as_it_was_printed_and_again_beside_it(
    park: Wendlebrook, monkeypatch: pytest.MonkeyPatch
) -> None:
    printed = datetime(2026, 4, 3, 8, tzinfo=UTC)
    at(printed, monkeypatch)
    first = keep_printed_inventory(month=date(2026, 3, 17), by=park.actors.maren)
    row = rows.PrintedInventory.objects.get(pk=first)
    assert (row.month, row.printed_by_id, row.printed_at) == (date(2026, 3, 1), park.actors.maren, printed)
    assert row.lines == as_plain(inventory_of_month(date(2026, 3, 1)))
    kept = row.lines
    assert "avocet" in str(kept)
    rows.Bird.objects.create(species_id=park.ruff, recorded_by_id=park.actors.maren)
    second = keep_printed_inventory(month=date(2026, 3, 1), by=park.actors.corin)
    assert second != first
    row.refresh_from_db()
    assert row.lines == kept, "what was signed stays as it was"
    assert rows.PrintedInventory.objects.count() == 2


def test_a_month_is_over_at_the_parks_midnight_and_not_before(
    park: Wendlebrook, monkeypatch: pytest.MonkeyPatch
) -> None:
    # In June the park's clock is an hour ahead of Greenwich.
    at(datetime(2026, 6, 30, 22, 59, tzinfo=UTC), monkeypatch)
    with pytest.raises(WrongValue) as refusal:
        keep_printed_inventory(month=date(2026, 6, 3), by=park.actors.maren)
    assert str(refusal.value) == "month: June 2026 is not over; keep it from 2026-07-01 on"
    assert not rows.PrintedInventory.objects.exists()
    at(datetime(2026, 6, 30, 23, 1, tzinfo=UTC), monkeypatch)
    assert keep_printed_inventory(month=date(2026, 6, 30), by=park.actors.maren)
    with pytest.raises(WrongValue, match=r"^month: July 2026 is not over; keep it from 2026-08-01 on"):
        keep_printed_inventory(month=date(2026, 7, 1), by=park.actors.maren)


def test_a_month_is_signed_through_the_door_by_whoever_hands_it_in(park: Wendlebrook) -> None:
    says = Teller(park)
    answer = says.done("corin", "inventory_signed", month="2026-03-01")
    row = rows.PrintedInventory.objects.get(pk=answer.wrote["version"])
    assert (row.month, row.printed_by_id) == (date(2026, 3, 1), park.actors.corin)
    said: dict[str, Any] = {"month": date(2026, 3, 1), "by": -1}
    with pytest.raises(Exception, match="by: no person -1"):
        keep_printed_inventory(**said)
