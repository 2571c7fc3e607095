"""What really happens in the garden, whether or not anybody has noticed yet.

Each story is a name and a few plain values; `history.py` lets the keepers meet them and `care.py` writes down
what people did about them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from tarsus.core.marks.sites import RIGHT_TIBIA

GONE: Final = "Aspen"
GONE_DAYS_AGO: Final = 8
SHY: Final = "Sorrel"
MISSING_SINCE_LAST_EVENING: Final = "Sedge"
LOST_A_BAND: Final = "Kelp"
LOST_ITS_BAND_DAYS_AGO: Final = 9
FADED: Final = "Samphire"
SEX_RESULT_AWAITED: Final = "Hazel"
SEX_RESULT_CAME: Final = "Osier"
BANDED_AS_THE_OTHER_SEX: Final = "Clover"
LIGHT: Final = "Tansy"
LAME: Final = "Thrift"
ONE_OF_THREE: Final = ("Shale", "Fennel", "Cockle")
SOON_IN_MOULT: Final = "Skerry"
MOULT_BEGINS_IN_DAYS: Final = 9
IN_MOULT: Final = "Tide"
IN_MOULT_SINCE_DAYS: Final = 6
WORN: Final = "Reach"
NEST_WITH_EGGS: Final = ("Marram", "Flint")
NEST_WITH_CHICKS: Final = ("Dulse", "Yarrow")
NEST_FLEDGING: Final = ("Avens", "Bistort")
NEST_FAILED: Final = ("Sedge", "Chert")
STOCK_RUNNING_LOW: Final = ("orange", "green")


@dataclass(frozen=True)
class Truth:
    """What is so, as the rounds will meet it; all times in days before today.

    Args:
        gone: bird to the first round that could no longer meet it (days ago, and the clock time of that day).
        lost: bird to the band it has lost: site, order from the body outward, days ago.
        faded: bird to the colour a band looks like in poor light: site, order, colour, chance.
        ease: bird to its own ease of being seen, on the logit scale, where a story sets it.
        unmet_in_last_rounds: of the flock that was counted short, who was not met in how many last rounds.
    """

    gone: Mapping[str, tuple[int, str]]
    lost: Mapping[str, tuple[str, int, int]]
    faded: Mapping[str, tuple[str, int, str, float]]
    ease: Mapping[str, float]
    unmet_in_last_rounds: Mapping[str, int]


TRUTH: Final = Truth(
    gone={GONE: (GONE_DAYS_AGO, "12:00"), MISSING_SINCE_LAST_EVENING: (1, "12:00")},
    lost={LOST_A_BAND: (RIGHT_TIBIA, 0, LOST_ITS_BAND_DAYS_AGO)},
    faded={FADED: (RIGHT_TIBIA, 0, "orange", 0.15)},
    ease={SHY: 0.3, GONE: 3.4, MISSING_SINCE_LAST_EVENING: 4.2, LOST_A_BAND: 3.0, "Thrift": 2.6, FADED: 3.1},
    unmet_in_last_rounds={MISSING_SINCE_LAST_EVENING: 2, SHY: 2, "Bracken": 1},
)
