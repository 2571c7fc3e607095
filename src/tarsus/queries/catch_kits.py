"""What has to be at hand for a catch-up, read off marks kept, duties, bands worn and the shelf."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from tarsus.core.care.catch_kit import BirdWork, Kit, Shelf, Worn, kit_of, usual_sizes
from tarsus.core.care.duty import Duty
from tarsus.core.marks.marks import METAL
from tarsus.queries.flock import FlockBird
from tarsus.queries.kept_marks import kept_to_fit
from tarsus.records.models import Band, Species, Stock


def kit_for(birds: Sequence[FlockBird], due: Mapping[int, Sequence[Duty]], day: date) -> Kit:
    """The kit for catching these birds, in a constant number of queries.

    Args:
        birds: those to be caught.
        due: all that is due for each, what needs no hand as well.
        day: on which bands and ages are told.
    """
    if not birds:
        return Kit((), ())
    kept = kept_to_fit(day, [bird.bird_id for bird in birds], due)
    size_of = dict(Species.objects.values_list("pk", "band_size"))
    work = [
        BirdWork(
            bird.bird_id,
            bird.name,
            bird.species,
            tuple(duty for duty in due.get(bird.bird_id, ()) if duty.in_hand),
            tuple(Worn(band.band_id, band.site, band.kind, band.word, band.size) for band in bird.bands),
            bird.form,
            size_of[bird.species_id],
            kept[bird.bird_id].steps if bird.bird_id in kept else None,
        )
        for bird in birds
    ]
    shelf = [
        Shelf(row.kind, row.colour.name if row.colour else METAL, row.size, row.amount)
        for row in Stock.objects.select_related("colour")
    ]
    worn = Band.objects.filter(to_on__isnull=True, taken_back_at__isnull=True).exclude(size="")
    sizes = usual_sizes(worn.values_list("bird__species__name", "kind", "size"))
    return kit_of(work, shelf, sizes)
