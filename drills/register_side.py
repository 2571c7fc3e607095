"""The drill's own look into the register: tokens before it, counts after it. For nothing_lost.py."""

from __future__ import annotations

import json
import os
import sys
from typing import Any


def prepare(phones: int) -> dict[str, Any]:
    """A token a phone, the person in whose name they record, an exhibit and the birds in it."""
    from django.utils import timezone

    from tarsus.actions.devices import give_device_token
    from tarsus.queries.asked import birds_today
    from tarsus.records.models import Exhibit, Person

    keeper = Person.objects.filter(role="keeper", is_active=True).order_by("pk")[0]
    giver = Person.objects.filter(role="administrator", is_active=True).order_by("pk")[0]
    now = timezone.now()
    lived_in = {row.pk: [bird.bird_id for bird in birds_today(row.pk, now)] for row in Exhibit.objects.all()}
    exhibit = max(lived_in, key=lambda pk: len(lived_in[pk]))
    tokens = [
        give_device_token(
            name=f"drill {number}", exhibit_ids=[exhibit], people_ids=[keeper.pk], by=giver.pk, days=2
        )[1]
        for number in range(phones)
    ]
    return {"tokens": tokens, "by": keeper.pk, "exhibit": exhibit, "birds": lived_in[exhibit]}


def look(ids: list[str]) -> dict[str, Any]:
    """How many of these facts are there, how many rows tell them, and what still waits.

    Rows are counted in the tables of facts themselves, by what only this drill wrote: a doubled fact would
    stand there under another id.
    """
    from django.db import connection

    from tarsus.records.models import Note, RoundStarted, Sighting, ToldDeed, Waiting

    asked = set(ids)
    told = {str(pk) for pk in ToldDeed.objects.values_list("pk", flat=True)}
    own = list(ToldDeed.objects.filter(device__startswith="device ").values_list("pk", flat=True))
    rounds = RoundStarted.objects.filter(pk__in=own).values_list("round_id", flat=True)
    rows = (
        RoundStarted.objects.filter(round_id__in=list(rounds)).count()
        + Sighting.objects.filter(round_id__in=list(rounds)).count()
        + Note.objects.filter(text__startswith="drill phone ").count()
    )
    return {
        "database": connection.vendor,
        "found": len(asked & told),
        "rows": rows,
        "waiting": Waiting.objects.count(),
    }


def main() -> int:
    """One of the two, on the register of a home; asked and answered in JSON."""
    what, home = sys.argv[1:]
    os.environ["TARSUS_HOME"] = home
    from tarsus.cli.register import open_register

    open_register(home)
    print(json.dumps({"prepare": prepare, "look": look}[what](json.load(sys.stdin))))
    return 0


if __name__ == "__main__":
    sys.exit(main())
