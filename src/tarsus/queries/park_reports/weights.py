"""The report of weights: each weighing of a span, against the bird's own usual weight."""

from __future__ import annotations

from collections import defaultdict
from typing import Final

from tarsus.core.care.weights import Weight, reference_for
from tarsus.core.reports.report import Column, Kind, Part, Report, Row
from tarsus.queries.park_reports.asked import Asked, at_park, lived_between, names_of_birds
from tarsus.records.models import Weighing
from tarsus.records.standing import standing

_COLUMNS: Final = (
    Column("bird", wide=1),
    Column("species", wide=1),
    Column("when", Kind.MOMENT),
    Column("weight", Kind.GRAMS),
    Column("its usual", Kind.GRAMS),
    Column("of its usual", Kind.SHARE),
    Column("how"),
    Column("fed"),
    Column("moult"),
    Column("weighed by"),
)
NOTE: Final = (
    "Its usual weight is the median of its own weights taken alike within a year, outside moult and the"
    " last fortnight; where there are too few, none is told. A weight is compared only with weights of "
    "the same scale. What it means is the vet's to judge."
)


def weights(asked: Asked) -> Report:
    """The weighings of a span of days, bird by bird, in a constant number of queries."""
    rows = Weighing.objects.filter(happened_at__gte=asked.begins, happened_at__lt=asked.ends)
    if asked.exhibit_id is not None:
        rows = rows.filter(bird_id__in=[bird.bird_id for bird in lived_between(asked)])
    told = list(standing(rows.select_related("recorded_by").order_by("happened_at", "pk")))
    names = names_of_birds(row.bird_id for row in told)
    every: dict[int, list[Weight]] = defaultdict(list)
    earlier = Weighing.objects.filter(bird_id__in=names, happened_at__lt=asked.ends)
    for row in standing(earlier.order_by("happened_at", "pk")):
        every[row.bird_id].append(_weight(row))
    told.sort(key=lambda row: (names[row.bird_id].species, names[row.bird_id].name, row.happened_at))
    lines = tuple(_row(row, names[row.bird_id].name, names[row.bird_id].species, every) for row in told)
    table = Part("Weights", _COLUMNS, lines, "No weight was told.")
    return Report("weights", "Weights", asked.words, (table,), (NOTE,))


def _weight(row: Weighing) -> Weight:
    return Weight(at_park(row.happened_at), row.weight_g, row.scale or row.where, row.fed, row.moulting)


def _row(row: Weighing, name: str, species: str, every: dict[int, list[Weight]]) -> Row:
    weight = _weight(row)
    usual = reference_for(weight, [one for one in every[row.bird_id] if one.at < weight.at])
    cells = (
        name,
        species,
        weight.at,
        row.weight_g,
        round(usual.usual_g, 1) if usual else None,
        row.weight_g / usual.usual_g if usual else None,
        row.scale or row.where,
        {True: "fed", False: "not fed", None: ""}[row.fed],
        "in moult" if row.moulting else "",
        row.recorded_by.display_name,
    )
    return Row((str(row.pk),), cells, row.bird_id)
