"""A reader spelled out in full, as documents and packs carry it."""

from __future__ import annotations

from typing import Any

from tarsus.core.marks.marks import METAL
from tarsus.core.readings.misreading import Misreading


def explicit_reader(misreading: Misreading) -> dict[str, Any]:
    """Write an observer down so that nothing needs to be derived from colours again.

    Args:
        misreading: the observer.

    Returns:
        What ``reader`` takes, with a row of confusions for every colour of the palette in its order, also
        where it is empty, and one for metal where metal can be misread. What a row leaves over is the right
        colour.
    """
    rows = {}
    for at, worn in enumerate(misreading.words):
        row = zip(misreading.words, misreading.confusion[at], strict=True)
        others = {read: chance for read, chance in row if read != worn and chance > 0.0}
        if others or worn != METAL:
            rows[worn] = others
    wrong = [1.0 - misreading.confusion[at][at] for at in range(1, len(misreading.words))]
    return {
        "swap": misreading.swap,
        "flip": misreading.flip,
        "colour": sum(wrong) / len(wrong) if wrong else 0.0,
        "overlook": misreading.overlook,
        "lost": misreading.lost,
        "confusion": rows,
    }
