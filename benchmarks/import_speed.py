"""How long so many birds and so many weights take to be looked at and brought in, in seconds of work.

    python benchmarks/import_speed.py 20000 20000

Works in a register of its own that it makes and takes away again.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from typing import Any


@contextmanager
def timed(what: str) -> Iterator[None]:
    """Print how many seconds of work a step took."""
    began = time.process_time()
    yield
    print(f"{what:<34}{time.process_time() - began:7.2f} s of work", flush=True)


def birds(lines: int) -> bytes:
    """A list of so many birds, each with a number, a metal band and two colours."""
    colours = ("red", "white", "green", "yellow", "black")
    rows = ["name,number,species,sex,exhibit,since,marks,metal"]
    for at in range(lines):
        one, other = colours[at % 5], colours[at // 5 % 5]
        day = date(2015, 1, 1) + timedelta(days=at % 3000)
        marks = f"L: metal; R: {one} over {other}"
        rows.append(f"Bird {at},N{at},Ruff,{'FM?'[at % 3]},Exhibit {at % 40},{day},{marks},WX {100000 + at}")
    return "\n".join(rows).encode()


def weights(lines: int, birds_there: int) -> bytes:
    """A list of so many weights."""
    rows = ["number,date,weight,where"]
    for at in range(lines):
        day = date(2024, 1, 1) + timedelta(days=at % 700)
        rows.append(f"N{at % birds_there},{day},{150 + at % 40}.{at % 10},in hand")
    return "\n".join(rows).encode()


def main(lines: int, listed: int) -> None:
    """Measure each step."""
    home = tempfile.TemporaryDirectory()
    os.environ |= {"TARSUS_HOME": home.name, "DJANGO_SETTINGS_MODULE": "tarsus.server.settings"}
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    from tarsus.actions.imports import bring_in, planned
    from tarsus.actions.lists import bring_list_in, planned_list
    from tarsus.records.models import Park, Person
    from tarsus.tables.choices import Choices
    from tarsus.tables.columns import columns_for
    from tarsus.tables.list_kinds import KINDS, list_columns
    from tarsus.tables.list_reading import read_list

    by = Person.objects.create_user("rhea", "x", display_name="Rhea", role="administrator").pk
    Park.objects.create(id=1, name="Here", time_zone="Europe/London")
    said: dict[str, Any] = {"file_name": "speed.csv", "digest": "d", "by": by}
    choices = Choices(species={"Ruff": "leg"}, letters="wader")
    with timed(f"{lines} birds: the table"):
        sheet, _ = read_list(birds(lines), "speed.csv")
    columns = columns_for(sheet.headings)
    with timed("a look at each line"):
        plan = planned(sheet, columns, choices)
    assert len(plan.birds) == lines, (plan.refused[:3], plan.questions[:3])
    with timed("brought in (looked at once more)"):
        bring_in(sheet=sheet, columns=columns, choices=choices, **said)
    with timed("the same again (nothing to do)"):
        planned(sheet, columns, choices)
    kind = KINDS["weights"]
    with timed(f"{listed} weights: the table"):
        sheet, _ = read_list(weights(listed, lines), "speed.csv")
    columns = list_columns(sheet.headings, kind, {})
    with timed("a look at each line"):
        planned_list(sheet, columns, kind, Choices())
    with timed("told (looked at once more)"):
        told = bring_list_in(sheet=sheet, columns=columns, kind=kind, choices=Choices(), **said)
    assert told.told == listed, told.refused[:3]
    home.cleanup()


if __name__ == "__main__":
    main(*(int(said) for said in (*sys.argv[1:], "20000", "20000")[:2]))
