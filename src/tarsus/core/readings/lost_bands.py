"""Bands that fell off between the record and a check."""

from __future__ import annotations

from collections.abc import Sequence

from tarsus.core.readings.error_paths import Check


def lost_bands(checks: Sequence[Check]) -> tuple[int, int]:
    """Bands of the record that were worn no more, and those that still were."""
    lost = held = 0
    for check in checks:
        if check.record is None:
            continue
        for site, recorded in check.record.sites:
            worn = check.worn.at(site)
            rest = iter(recorded)
            if all(band in rest for band in worn):  # worn is what is left of the record, in its order
                lost += len(recorded) - len(worn)
                held += len(worn)
    return lost, held
