"""What writes the deeds of nests, and of months that are handed in."""

from __future__ import annotations

from typing import Final

from tarsus.actions.hearing.bound import Bound, Values, Wrote, fact, spell
from tarsus.actions.hearing.taking_back import begun, ended
from tarsus.actions.nests import begin_nest, bird_from_nest, end_nest, record_nest_event
from tarsus.actions.reports import keep_printed_inventory
from tarsus.actions.telling import Told
from tarsus.records.models import Nest


def _from_nest(told: Told, values: Values) -> Wrote:
    bird = bird_from_nest(
        told=told,
        nest_id=values["nest"],
        hatched_on=values["hatched_on"],
        house_name=values["house_name"],
        number=values["number"],
    )
    return Wrote(rows={"bird": bird})


NESTS: Final[dict[str, Bound]] = {
    "nest_begun": spell("nest_begun", begin_nest, row="nest", on="from_on", take_back=begun(Nest)),
    "nest_event": fact("nest_event", record_nest_event, event="kind"),
    "bird_from_nest": Bound(_from_nest, action=bird_from_nest),
    "nest_ended": spell("nest_ended", end_nest, deed=False, take_back=ended(Nest, "nest")),
}
MONTHS: Final[dict[str, Bound]] = {
    "inventory_signed": spell("inventory_signed", keep_printed_inventory, row="version", on="", deed=False),
}
