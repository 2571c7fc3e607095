"""Whose legs these are: the colours of a photograph handed to the reader of whole birds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from tarsus.core.marks.marks import SWAP, Reading
from tarsus.core.photographs.colours import Photographed, colourings
from tarsus.core.readings.identification import Flock, Posterior
from tarsus.core.readings.reader import Reader

Layout = Mapping[str, tuple[int | str, ...]]
"""Of each site in the picture its bands from the body outward: which tapped band, or a word of a reading."""


def reader_of_photographs(reader: Reader) -> Reader:
    """An observer of photographs: what colour a band is they say, everything else can still go wrong."""
    return replace(reader, colour=0.0, confusion=None)


def posterior(flock: Flock, photo: Photographed, layout: Layout, swap: float | None = None) -> Posterior:
    """Weigh every bird of a flock by how well it explains one photograph.

    Args:
        flock: the birds, made ready for `reader_of_photographs`.
        photo: what the photograph tells of the tapped bands.
        layout: which tapped band sits where.
        swap: the chance that left and right are exchanged in it, in place of the reader's.

    Returns:
        Chances that sum to 1: those of every joint colouring, mixed by how probable that colouring is and how
        well the flock explains it.

    Source:
        docs/science/photographs.md, eq. 7.
    """
    mixed, weights = [], []
    for colours, share in colourings(photo):
        answer = flock.posterior(_reading(photo, layout, colours, swap))
        mixed.append(answer)
        weights.append(share * answer.evidence)
    total = sum(weights)
    if not total > 0.0:
        return mixed[0]
    shares = np.array(weights) / total
    return Posterior(
        shares @ np.array([one.birds for one in mixed]),
        shares @ np.array([one.worn for one in mixed]),
        float(shares @ np.array([one.none_of_these for one in mixed])),
        shares @ np.array([one.both_ways for one in mixed]),
        float(shares @ np.array([one.otherwise for one in mixed])),
        total,
    )


def likeliest_reading(photo: Photographed, layout: Layout, swap: float | None = None) -> Reading:
    """The photograph as a reading, each band in its likeliest colour given the others."""
    return _reading(photo, layout, colourings(photo)[0][0], swap)


def _reading(photo: Photographed, layout: Layout, colours: tuple[int, ...], swap: float | None) -> Reading:
    sites = {
        site: tuple(band if isinstance(band, str) else photo.names[colours[band]] for band in bands)
        for site, bands in layout.items()
    }
    return Reading.of(sites if swap is None else {**sites, SWAP: swap})
