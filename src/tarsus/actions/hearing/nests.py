"""What writes the deeds of nests, and of months that are handed in."""

from __future__ import annotations

from dataclasses import replace
from typing import Final
from uuid import UUID, uuid5

from tarsus.actions.bands.fitting import NewBand, fit_band
from tarsus.actions.birds.stays import park_day
from tarsus.actions.hearing.bound import Bound, Earlier, Values, Wrote, fact, spell
from tarsus.actions.hearing.coming_going import give_number_up
from tarsus.actions.hearing.taking_back import band_was_never_on, begun, ended, in_place_of
from tarsus.actions.nests import begin_nest, bird_from_nest, end_nest, put_nest_right, record_nest_event
from tarsus.actions.reports import keep_printed_inventory
from tarsus.actions.telling import Told
from tarsus.core.errors import WrongValue
from tarsus.records.models import Band, Nest


def _from_nest(told: Told, values: Values) -> Wrote:
    before = in_place_of(told)
    bird = bird_from_nest(
        told=told,
        nest_id=values["nest"],
        hatched_on=values["hatched_on"],
        house_name=values["house_name"],
        number=values["number"],
        bird_id=int(before.wrote["bird"]) if before is not None and "bird" in before.wrote else None,
    )
    if not any(values[name] for name in ("site", "what", "colour", "engraving", "size", "temporary")):
        return Wrote(rows={"bird": bird})
    for name in ("site", "what"):
        if not values[name]:
            raise WrongValue(name, "is missing; say where the band sits and of what kind it is")
    worn = ("site", "colour", "engraving", "size", "temporary")
    fitted = fit_band(
        bird_id=bird,
        band=NewBand(kind=values["what"], **{name: values[name] for name in worn}),
        on=park_day(told.happened_at),
        by=told.by,
        deed=_band_of(told.id),
    )
    return Wrote(rows={"bird": bird, "band": fitted.band_id}, said=fitted.warnings)


def _band_of(deed: UUID) -> UUID:
    """The id under which the band is written that a chick got with its name."""
    return uuid5(deed, "band")


def _no_bird_after_all(earlier: Earlier, told: Told, because: str) -> None:
    """Take the band back, and let the park's own number be free again; the bird lives nowhere by then."""
    if Band.objects.filter(deed=_band_of(earlier.id)).exists():
        band_was_never_on(replace(earlier, id=_band_of(earlier.id)), told, because)
    give_number_up(earlier, told, because)


def _begin_nest(told: Told, values: Values) -> Wrote:
    said = {name: values[name] for name in ("name", "forbids_chase")}
    said |= {f"{name}_id": values[name] for name in ("exhibit", "species", "pair", "place")}
    before = in_place_of(told)
    on = park_day(told.happened_at)
    if before is not None and "nest" in before.wrote:
        nest = int(before.wrote["nest"])
        put_nest_right(nest_id=nest, from_on=on, by=told.by, said=said)
    else:
        nest = begin_nest(from_on=on, by=told.by, deed=told.id, **said)
    return Wrote(rows={"nest": nest})


def _no_nest(earlier: Earlier, told: Told, because: str) -> None:
    """Take a nest back that was written by mistake, under whichever deed it was last put right."""
    first = Nest.objects.filter(pk=int(earlier.wrote["nest"])).values_list("deed", flat=True).first()
    begun(Nest)(replace(earlier, id=first or earlier.id), told, because)


NESTS: Final[dict[str, Bound]] = {
    "nest_begun": Bound(_begin_nest, _no_nest, action=begin_nest),
    "nest_event": fact("nest_event", record_nest_event, plain=True, event="kind"),
    "bird_from_nest": Bound(_from_nest, _no_bird_after_all, action=bird_from_nest),
    "nest_ended": spell("nest_ended", end_nest, deed=False, take_back=ended(Nest, "nest")),
}
MONTHS: Final[dict[str, Bound]] = {
    "inventory_signed": spell("inventory_signed", keep_printed_inventory, row="version", on="", deed=False),
}
