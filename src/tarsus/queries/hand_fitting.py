"""What *In hand* is to fit: kept marks band by band, bands back on after the moult, the shelf."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta
from typing import Any, Final

from tarsus.core.care.duty import Duty
from tarsus.core.marks.fitting import Step, fitting
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.sizes import kinds_for, serves
from tarsus.queries.flock import FlockBird
from tarsus.queries.kept_marks import Kept, kept_to_fit
from tarsus.queries.marks import marks_of, worn_band
from tarsus.queries.stock_page import runs_left
from tarsus.records.models import Band, Species, Stock
from tarsus.records.models.words import BandKind, WhyOff

Json = dict[str, Any]
NUMBERS: Final = 30
"""Metal numbers of a run that a phone takes along: more than one day fits."""
OFF_FOR: Final = timedelta(days=400)
"""A band that came off for a moult goes back on after it; one that is off for longer is another matter."""
BACK_ON: Final = "wing band back on"


def shelves() -> dict[str, Json]:
    """By species what the shelf has in its size: bands, and the next numbers of its metal runs."""
    rows = Stock.objects.filter(amount__gt=0).select_related("colour").order_by("kind", "colour_id", "size")
    stock = [
        {
            "kind": row.kind,
            "colour": row.colour.name if row.colour else "",
            "size": row.size,
            "amount": row.amount,
        }
        for row in rows
    ]
    runs = runs_left(NUMBERS)
    return {
        name: {
            "bands": [one for one in stock if serves(str(one["kind"]), str(one["size"]), size)],
            "runs": [
                {"series": run.series, "size": run.size, "numbers": list(run.numbers)}
                for run in runs
                if run.numbers and serves(BandKind.METAL, run.size, size)
            ],
        }
        for name, size in Species.objects.values_list("name", "band_size")
    }


def to_fit(
    birds: Sequence[FlockBird], due: Mapping[int | None, Sequence[Duty]], day: date
) -> dict[int, Json]:
    """By bird what is to be fitted when it is in hand: kept marks, else what came off for the moult.

    Args:
        birds: all that may be in hand.
        due: all that is due, by bird.
        day: of the handling.
    """
    kept = kept_to_fit(day, [bird.bird_id for bird in birds], due)
    told = {bird: _of_the_desk(one) for bird, one in kept.items()}
    waiting = {bird for bird, duties in due.items() if any(duty.kind == BACK_ON for duty in duties)}
    back = _off_for_the_moult({bird for bird in waiting if bird is not None} - told.keys(), day)
    for bird in birds:
        if bird.bird_id in back:
            marks = back[bird.bird_id]
            steps = fitting({}, marks)
            told[bird.bird_id] = _told(marks.as_mapping(), "It wore this before the moult", steps, bird.form)
    return told


def _of_the_desk(kept: Kept) -> Json:
    why = "Kept at the marking desk" + (f": {kept.because}" if kept.because else "")
    return _told(kept.marks, why, kept.steps, kept.form, temporary=kept.growing)


def _told(
    marks: Mapping[str, Sequence[str]],
    because: str,
    steps: Mapping[str, Sequence[Step]],
    form: str,
    *,
    temporary: bool = False,
) -> Json:
    return {
        "marks": {site: list(bands) for site, bands in marks.items()},
        "because": because,
        "sites": [
            {"site": site, "steps": [_step(step, form, temporary=temporary) for step in on_site]}
            for site, on_site in steps.items()
        ],
    }


def _step(step: Step, form: str, *, temporary: bool) -> Json:
    if step.worn is not None:
        return {"band": step.worn, "stays": step.stays}
    return {"word": step.word, "kinds": list(kinds_for(form, step.word)), "temporary": temporary}


def _off_for_the_moult(birds: Collection[int], day: date) -> dict[int, Marks]:
    """What birds wore until their last moult, by the day on which the last of it came off."""
    rows = Band.objects.filter(
        bird_id__in=birds, why_off=WhyOff.MOULT, to_on__gte=day - OFF_FOR, taken_back_at__isnull=True
    )
    off: dict[int, list[Band]] = defaultdict(list)
    for band in rows.select_related("colour").order_by("-to_on", "site", "order"):
        of_bird = off[band.bird_id]
        if not of_bird or of_bird[0].to_on == band.to_on:
            of_bird.append(band)
    return {bird: marks_of([worn_band(band, []) for band in bands]) for bird, bands in off.items()}
