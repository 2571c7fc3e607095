"""The eight species of the garden, as it keeps them.

Body masses are prompts to weigh again and never health limits. Avocet 228 to 435 g and the African penguin's
means and spreads are Dunning's printed figures; the ruff's range is spun around printed means (171 g male,
104 g female). Rockhopper, spoonbill and ibis are weakly sourced, the stilt is from memory, and so are all leg
diameters: a park measures its own birds and writes its own. Avocets and stilts are banded above the
intertarsal joint only, and parrots get no butt-end or plastic band (the Bird Banding Laboratory's own list).
A colour that is the colour of the leg vanishes on it and is left out (common practice).
"""

from __future__ import annotations

from typing import Final

from tarsus.core.marks.sites import LEFT_LEG, LEFT_TIBIA, LEFT_WING, RIGHT_LEG, RIGHT_TIBIA, RIGHT_WING
from tarsus.demo.prepared import PreparedSpecies

DUNNING: Final = "Dunning 1993: 306 g, 228 to 435"
DUNNING_SPREAD: Final = "Dunning 2008: male 3.31 ± 0.26 kg, female 2.96 ± 0.31 kg; two spreads either side"
SPUN: Final = "spun around printed means, male 171 g, female 104 g"
WEAK: Final = "weakly sourced; weigh your own birds"
FROM_MEMORY: Final = "from memory; weigh your own birds"

TIBIAE: Final = (LEFT_TIBIA, RIGHT_TIBIA)
LEGS: Final = (LEFT_LEG, RIGHT_LEG)
WINGS: Final = (LEFT_WING, RIGHT_WING)

AVOCET: Final = PreparedSpecies(
    name="Pied avocet",
    scientific="Recurvirostra avosetta",
    lookalike="avocet",
    form="tall",
    sites=TIBIAE,
    excluded=("grey",),
    leg_mm=4.0,
    band_size="4",
    mass_g={"F": (228, 435), "M": (228, 435)},
    mass_source=DUNNING,
    max_unseen_days=3,
    counts_from_days=35,
)
STILT: Final = PreparedSpecies(
    name="Black-winged stilt",
    scientific="Himantopus himantopus",
    lookalike="stilt",
    form="tall",
    sites=TIBIAE,
    excluded=("red", "pink"),
    leg_mm=3.6,
    band_size="3A",
    mass_g={"F": (160, 205), "M": (160, 205)},
    mass_source=FROM_MEMORY,
    max_unseen_days=3,
    counts_from_days=32,
)
RUFF: Final = PreparedSpecies(
    name="Ruff",
    scientific="Calidris pugnax",
    lookalike="ruff",
    form="legs",
    sites=LEGS,
    excluded=("orange", "yellow"),
    leg_mm=3.2,
    band_size="3B",
    mass_g={"F": (88, 120), "M": (145, 197)},
    mass_source=SPUN,
    max_unseen_days=4,
    counts_from_days=28,
)
SPOONBILL: Final = PreparedSpecies(
    name="Eurasian spoonbill",
    scientific="Platalea leucorodia",
    lookalike="spoonbill",
    form="legs",
    sites=LEGS,
    excluded=("black", "brown"),
    leg_mm=8.6,
    band_size="7B",
    mass_g={"F": (1200, 2100), "M": (1200, 2100)},
    mass_source=WEAK,
    max_unseen_days=4,
    counts_from_days=50,
    chick_check_every_days=4,
)
IBIS: Final = PreparedSpecies(
    name="Northern bald ibis",
    scientific="Geronticus eremita",
    lookalike="ibis",
    form="legs",
    sites=LEGS,
    excluded=("red", "pink"),
    leg_mm=8.0,
    band_size="7B",
    mass_g={"F": (1000, 1600), "M": (1000, 1600)},
    mass_source=WEAK,
    max_unseen_days=4,
    counts_from_days=45,
    chick_check_every_days=4,
)
AFRICAN_PENGUIN: Final = PreparedSpecies(
    name="African penguin",
    scientific="Spheniscus demersus",
    lookalike="African penguin",
    form="wings",
    sites=WINGS,
    excluded=("black",),
    leg_mm=None,
    band_size="stretching, M",
    mass_g={"F": (2340, 3580), "M": (2790, 3830)},
    mass_source=DUNNING_SPREAD,
    max_unseen_days=3,
    counts_from_days=80,
    mates_match=True,
    bands_off_in_moult=True,
)
ROCKHOPPER: Final = PreparedSpecies(
    name="Southern rockhopper penguin",
    scientific="Eudyptes chrysocome",
    lookalike="rockhopper",
    form="wings",
    sites=WINGS,
    excluded=("black",),
    leg_mm=None,
    band_size="stretching, M",
    mass_g={"F": (2000, 3400), "M": (2000, 3400)},
    mass_source=WEAK,
    max_unseen_days=3,
    counts_from_days=70,
    mates_match=True,
    bands_off_in_moult=True,
)
KEA: Final = PreparedSpecies(
    name="Kea",
    scientific="Nestor notabilis",
    lookalike="kea",
    form="told",
    sites=(),
    excluded=(),
    leg_mm=None,
    band_size="",
    mass_g={},
    mass_source="",
    max_unseen_days=2,
    counts_from_days=90,
    chews=True,
)

SPECIES: Final = (AVOCET, STILT, RUFF, SPOONBILL, IBIS, AFRICAN_PENGUIN, ROCKHOPPER, KEA)
