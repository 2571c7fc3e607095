"""Fixed chance: a stream of numbers for each part of the demo, so that one part never moves another."""

from __future__ import annotations

import zlib
from typing import Final
from uuid import UUID

import numpy as np

SEED: Final = 20417


def stream(seed: int, *part: str) -> np.random.Generator:
    """The random numbers of one named part: the same seed and name give the same numbers on every machine."""
    key = zlib.crc32("/".join(part).encode())
    return np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, key])))


def uuids(rng: np.random.Generator, number: int) -> list[str]:
    """So many ids of the form a phone would choose, drawn from the stream."""
    raw = rng.bytes(16 * number)
    return [str(UUID(bytes=raw[16 * i : 16 * i + 16], version=4)) for i in range(number)]
