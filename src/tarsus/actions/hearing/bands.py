"""What writes the deeds of bands and of the drawer they come from."""

from __future__ import annotations

from typing import Final

from tarsus.actions.bands.checks import check_band, name_owner_of_band
from tarsus.actions.bands.fitting import NewBand, fit_band, take_back_band, take_off_band
from tarsus.actions.bands.planning import drop_marks, keep_marks, settle_kept_marks
from tarsus.actions.bands.stock import (
    add_metal_series,
    change_stock,
    count_stock,
    order_stock_below,
    put_back_in_stock,
)
from tarsus.actions.birds.stays import park_day
from tarsus.actions.hearing.bound import Bound, Values, Wrote, fact, spell
from tarsus.actions.hearing.taking_back import (
    band_goes_on,
    band_was_never_on,
    drop_kept_marks,
    marks_again,
    owner_was_another,
    undo_stock_change,
    undo_stock_count,
)
from tarsus.actions.known import known
from tarsus.actions.telling import Told
from tarsus.records.models import Band

_AS_SAID: Final = (
    "site",
    "place",
    "colour",
    "engraving",
    "series",
    "size",
    "temporary",
    "certified",
    "came_with_it",
    "note",
)


def _band_on(told: Told, values: Values) -> Wrote:
    band = NewBand(kind=values["what"], **{name: values[name] for name in _AS_SAID})
    on = park_day(told.happened_at)
    fitted = fit_band(bird_id=values["bird"], band=band, on=on, by=told.by, deed=told.id)
    settle_kept_marks(bird_id=values["bird"], at=told.happened_at, by=told.by)
    return Wrote(rows={"band": fitted.band_id}, said=fitted.warnings)


def _band_off(told: Told, values: Values) -> Wrote:
    on, band = park_day(told.happened_at), values["band"]
    now = take_off_band(band_id=band, on=on, why=values["why"], by=told.by, note=values["note"])
    settle_kept_marks(bird_id=known(Band, band, "band").bird_id, at=told.happened_at, by=told.by)
    return Wrote(now)


def _never_worn(told: Told, values: Values) -> Wrote:
    now = take_back_band(band_id=values["band"], because=values["because"], by=told.by)
    band = known(Band, values["band"], "band")
    if now:
        put_back_in_stock(band, told.by, values["because"])
    marks_again(band.bird_id, told, band.from_on)
    return Wrote(now)


def _keep_marks(told: Told, values: Values) -> Wrote:
    kept = keep_marks(
        bird_id=values["bird"], marks=values["marks"].as_mapping(), by=told.by, because=values["because"]
    )
    return Wrote(rows={"planned": kept})


BANDS: Final[dict[str, Bound]] = {
    "band_on": Bound(_band_on, band_was_never_on, action=fit_band),
    "band_off": Bound(_band_off, band_goes_on, action=take_off_band),
    "band_never_worn": Bound(_never_worn, action=take_back_band),
    "band_checked": fact("band_checked", check_band),
    "band_owner_named": fact("band_owner_named", name_owner_of_band, take_back=owner_was_another),
    "marks_kept": Bound(_keep_marks, drop_kept_marks, action=keep_marks),
    "marks_dropped": spell("marks_dropped", drop_marks, on="", deed=False),
    "stock_changed": spell(
        "stock_changed", change_stock, row="amount", on="", what="kind", take_back=undo_stock_change
    ),
    "stock_counted": spell("stock_counted", count_stock, row="difference", on="", take_back=undo_stock_count),
    "stock_order_below": spell("stock_order_below", order_stock_below, on="", deed=False),
    "metal_series_added": spell("metal_series_added", add_metal_series, row="series", on="", deed=False),
}
