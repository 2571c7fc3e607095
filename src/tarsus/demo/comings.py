"""Birds that came, hatched or left of late: newcomers in quarantine, chicks, and those no longer here."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from tarsus.core.marks.marks import Marks
from tarsus.core.marks.sites import LEFT_LEG, LEFT_TIBIA, LEFT_WING, RIGHT_TIBIA, RIGHT_WING
from tarsus.demo.calendar import Calendar
from tarsus.demo.garden import HERON_WOOD, QUARANTINE, SHINGLE_AVIARY, SOUTH_STRAND
from tarsus.demo.making import ELSEWHERE, Line, bird_of, fitted
from tarsus.demo.marking import metal_and_pair
from tarsus.demo.names import IBIS_CHICKS, RUFF_CHICK
from tarsus.demo.prepared import PreparedBand, PreparedBird, PreparedSpecies, PreparedStay
from tarsus.demo.species import AFRICAN_PENGUIN, AVOCET, IBIS, RUFF, STILT
from tarsus.demo.waders import SEDGE_WEARS, TEASEL_WEARS

NEWCOMER_LIKE_SEDGE: Final = "Fleabane"
NEWCOMER_LIKE_TEASEL: Final = "Sandwort"
NEWCOMERS: Final = (NEWCOMER_LIKE_SEDGE, NEWCOMER_LIKE_TEASEL)
ARRIVED_DAYS_AGO: Final = 4
CHICKS: Final = (RUFF_CHICK, *IBIS_CHICKS)
DIED: Final = ("Saltwort", "Gale")
DIED_DAYS_AGO: Final = (121, 65)
DEPARTED: Final = "Tormentil"


def newcomers(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Two avocets from another park, with bands of their own.

    Fleabane wears what Sedge wears. Sandwort is a female banded on the other side, as her old park does, and
    reads as Teasel, a male.
    """
    flock = (
        (NEWCOMER_LIKE_SEDGE, "F", SEDGE_WEARS, "SM 1144"),
        (NEWCOMER_LIKE_TEASEL, "F", TEASEL_WEARS, "SM 1151"),
    )
    birds = []
    for name, sex, marks, engraving in flock:
        hatched = at.day(int(rng.integers(500, 900)))
        arrived = at.day(ARRIVED_DAYS_AGO)
        birds.append(
            PreparedBird(
                name=name,
                species=AVOCET.name,
                sex=sex,
                sex_known_by="told on arrival",
                sex_known_on=arrived,
                hatched_on=hatched,
                hatched_precision="month",
                origin="hatched elsewhere",
                stays=(PreparedStay(QUARANTINE, arrived, how="arrived", came_from=ELSEWHERE),),
                bands=tuple(
                    replace(b, came_with_it=True) for b in fitted(marks, arrived, AVOCET.band_size, engraving)
                ),
                transponder=f"999000{rng.integers(10**8, 10**9)}",
                owner=ELSEWHERE,
            )
        )
    return birds


def _chick(
    name: str, species: PreparedSpecies, exhibit: str, colour: str, days: tuple[int, int], at: Calendar
) -> PreparedBird:
    hatched, banded = days
    tie = PreparedBand("cable tie", colour, LEFT_LEG, 100, at.day(banded), size="2.5 mm")
    return PreparedBird(
        name=name,
        species=species.name,
        sex="U",
        sex_known_by="",
        sex_known_on=None,
        hatched_on=at.day(hatched),
        hatched_precision="day",
        origin="hatched here",
        stays=(PreparedStay(exhibit, at.day(hatched), how="hatched"),),
        bands=(tie,),
    )


def chicks(at: Calendar) -> list[PreparedBird]:
    """A ruff chick whose tie is due for its check today, an ibis chick due yesterday, another in two days."""
    first, second = IBIS_CHICKS
    return [
        _chick(RUFF_CHICK, RUFF, SHINGLE_AVIARY, "orange", (16, RUFF.chick_check_every_days), at),
        _chick(first, IBIS, HERON_WOOD, "white", (24, IBIS.chick_check_every_days + 1), at),
        _chick(second, IBIS, HERON_WOOD, "orange", (23, 2), at),
    ]


def no_longer_here(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Two that died and one that went to another park within the history."""
    left = ((DIED[0], AVOCET, "F", "died", DIED_DAYS_AGO[0]), (DEPARTED, STILT, "M", "departed", 203))
    birds: list[PreparedBird] = []
    for name, species, sex, how, days_ago in left:
        line = Line(name, sex, metal_and_pair(sex, ("lime", "lime"), LEFT_TIBIA, RIGHT_TIBIA), 2300)
        bird = bird_of(line, species, SHINGLE_AVIARY, iter([f"WB {90001 + len(birds)}"]), rng, at)
        birds.append(_gone(bird, how, days_ago, at))
    gale = Line(DIED[1], "M", Marks.of({LEFT_WING: ["green", "green"], RIGHT_WING: []}), 4100)
    birds.append(
        _gone(bird_of(gale, AFRICAN_PENGUIN, SOUTH_STRAND, iter(()), rng, at), "died", DIED_DAYS_AGO[1], at)
    )
    return birds


def _gone(bird: PreparedBird, how: str, days_ago: int, at: Calendar) -> PreparedBird:
    day = at.day(days_ago)
    stays = tuple(replace(stay, until=stay.until or day) for stay in bird.stays)
    bands = tuple(
        replace(band, until=band.until or day, off_because=band.off_because or "left the collection")
        for band in bird.bands
    )
    went_to = ELSEWHERE if how == "departed" else ""
    return replace(bird, stays=stays, bands=bands, left=how, left_on=day, left_for=went_to)
