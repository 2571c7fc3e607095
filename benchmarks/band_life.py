"""Whether a band that is fine today lasts: the chance that is said, in worlds whose rates are known.

In each world bands fail at their own yearly rate by colour and age; a park watches bands put on over the
years before, some of them taken off for other reasons. Then each band that is fine is asked about two years
ahead. Printed: log loss a band of the chance from the park's record, of the published rates alone and of
whoever knows the world's rates; and how many bands really failed where .1 or more was said.

    .venv/bin/python benchmarks/band_life.py [parks]
"""

from __future__ import annotations

import sys

import numpy as np

from tarsus.core.care.band_life import AGES, WornBand, likely_unreadable, prior_rate, record_of

PARKS, BANDS, WATCHED, AHEAD = 40, 120, 8.0, 2.0
COLOURS = ("blue", "red", "yellow")
OFF_A_YEAR = 0.1
"""Bands that come off for other reasons, a year."""
WORLDS = {
    "as published": dict.fromkeys(COLOURS, 1.0),
    "yellow fails five times as fast": {"blue": 1.0, "red": 1.0, "yellow": 5.0},
    "all last three times as long": dict.fromkeys(COLOURS, 1 / 3),
}


def fails_after(rng: np.random.Generator, colour: str, times: float) -> float:
    """Years until a new band fails in a world of constant rates within each age."""
    at = 0.0
    for end in (*AGES, np.inf):
        waits = float(rng.exponential(1 / (prior_rate(colour, at) * times)))
        if at + waits < end:
            return at + waits
        at = end
    raise AssertionError("the last age has no end")


def known(colour: str, times: float, worn: float) -> float:
    """The chance that whoever knows the world's rates gives."""
    spans = zip((0.0, *AGES), (*AGES, np.inf), strict=True)
    years = ((max(0.0, min(worn + AHEAD, high) - max(worn, low)), low) for low, high in spans)
    return float(-np.expm1(-sum(ahead * prior_rate(colour, low) * times for ahead, low in years)))


def park(rng: np.random.Generator, world: dict[str, float]) -> np.ndarray:
    """One park: a row a band that is fine, of what became of it and the three chances."""
    record, fine = [], []
    for _ in range(BANDS):
        colour = str(rng.choice(COLOURS))
        began, fails = rng.uniform(0, WATCHED), fails_after(rng, colour, world[colour])
        off = rng.exponential(1 / OFF_A_YEAR)
        worn = min(began, fails, off)
        record.append(WornBand("colour", colour, worn, failed=fails == worn))
        if worn == began:
            fine.append((colour, worn, fails - worn <= AHEAD))
    told = record_of(record)
    return np.array(
        [
            (
                failed,
                likely_unreadable("colour", colour, worn, AHEAD, told).chance,
                likely_unreadable("colour", colour, worn, AHEAD, {}).chance,
                known(colour, world[colour], worn),
            )
            for colour, worn, failed in fine
        ]
    )


def main(parks: int) -> None:
    """Print a line for each world."""
    rng = np.random.default_rng(2019)
    print(
        "world | bands | log loss: told | published alone | knowing | said where .1 or more | really failed"
    )
    for name, world in WORLDS.items():
        rows = np.concatenate([park(rng, world) for _ in range(parks)])
        failed, told = rows[:, 0] == 1, rows[:, 1]
        losses = [-np.log(np.where(failed, said, 1 - said)).mean() for said in rows[:, 1:].T]
        doubted = told >= 0.1
        print(
            f"{name} | {len(rows)} | {losses[0]:.4f} | {losses[1]:.4f} | {losses[2]:.4f} "
            f"| {told[doubted].mean():.3f} | {failed[doubted].mean():.3f}",
            flush=True,
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else PARKS)
