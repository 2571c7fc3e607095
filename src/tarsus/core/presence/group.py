"""What one flock's birds and rounds have in common: the values that each is shrunk to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class GroupEase:
    """Logit scale. A bird of this flock has ease ``N(mean, bird_sd²)``, a round adds ``N(0, round_sd²)``."""

    mean: float
    bird_sd: float
    round_sd: float


# Before anything is known of a flock: a bird is seen in 88 % of ordinary rounds, a shy one in 60 %, and a
# foggy morning costs half a logit or more. Ours, not published; they count as a handful of birds and rounds
# and are soon outweighed.
BEFORE_ANY_ROUND: Final = GroupEase(mean=2.0, bird_sd=1.2, round_sd=0.6)
MEAN_SD: Final = 2.0
"""How sure the mean of `BEFORE_ANY_ROUND` is (logit)."""
PRIOR_BIRDS: Final = 3.0
PRIOR_ROUNDS: Final = 3.0
"""As how many birds, or rounds, the prior spreads count."""
