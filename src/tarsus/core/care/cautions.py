"""The usual cautions, in the words of the trade, to stand where the act is.

Tarsus advises; the vet, licensed practice and local law decide. Every text says so in its own way. Sources
are in docs/science/cautions.md; what has none is common practice.
"""

from __future__ import annotations

from typing import Final

FIT_BAND: Final = "fit band"
CHICK_BAND: Final = "chick band"
TIGHT_BAND: Final = "tight band"
WING_BAND: Final = "wing band"
CLOSED_BAND: Final = "closed band"
CATCH: Final = "catch"
SAMPLE: Final = "sample"
BILL: Final = "bill"
HYGIENE: Final = "hygiene"
WILD: Final = "wild"
SEARCH: Final = "search"
WEIGH: Final = "weigh"
NEST: Final = "nest"
CARCASE: Final = "carcase"
MOVE: Final = "move"
CHIP: Final = "chip"
MEDICINE: Final = "medicine"
NONE: Final = ""

CAUTIONS: Final[dict[str, str]] = {
    FIT_BAND: (
        "Size by the banding authority's list and by the leg, measured where the band will sit. It "
        "slides and turns freely, does not pass over a joint, its ends meet square, nothing is caught "
        "under it. Never two metal bands on one leg; no butt-end and no plastic band on a bird that "
        "chews. As few bands on a leg as will do. Whoever fits bands is trained and, where the law "
        "asks for it, licensed."
    ),
    CHICK_BAND: (
        "A leg grows and a tie only tightens: use split bands that open, look at them as often as the "
        "vet says for this species and age, and take them off before they bind."
    ),
    TIGHT_BAND: (
        "Do not pull or cut alone: swelling hides the edge of a band. The vet decides how it comes "
        "off, today."
    ),
    WING_BAND: (
        "Wings swell in the moult: bands come off or are changed for stretching ones before it and go "
        "back after it. The bird must be known by something else meanwhile. A flipper band can wound "
        "and drag; the vet says whether it is worn at all."
    ),
    CLOSED_BAND: (
        "A closed band goes on a chick of the right age only and is not replaced lightly: taking a "
        "certified mark off may void its certificate. Ask the records office and local law first."
    ),
    CATCH: (
        "Long legs, heat and long catching kill: catch at dawn, keep catching and the hold short, "
        "stop when a bird pants or goes limp. The vet sets the minutes, the rest days, the heat and the "
        "cold; the lead keeper stops the catch."
    ),
    SAMPLE: (
        "Blood and growing feathers are taken by the vet or licensed staff. Tie the sample to the "
        "band at once."
    ),
    BILL: ("Long bills stab and hooked ones cut: protect your eyes, hold the head."),
    HYGIENE: (
        "Quarantine comes last in the round: own boots, clean hands, clean phone. The vet releases. "
        "Rules against avian influenza come before any plan of ours."
    ),
    WILD: ("A wild bird is banded under a permit of the national banding authority only."),
    SEARCH: (
        "Look first where it usually is, then where it could be stuck or hurt: behind fences, in "
        "drains, under the roof net. A bird found unwell is the vet's at once."
    ),
    WEIGH: (
        "Same scale, same hour, before feeding. A weight is a prompt and no diagnosis: the vet "
        "judges, and a bird in moult is another matter."
    ),
    NEST: (
        "A nest or brood near is left alone: catching breaks eggs and scatters chicks. Only vet and lead "
        "keeper together may decide otherwise."
    ),
    CARCASE: ("Gloves, a bag, a label, the fridge and not the freezer; the vet decides on a post-mortem."),
    MOVE: (
        "Look whether its marks clash with a bird there before it moves: the page of that flock says so. "
        "A newcomer moves only after the vet's release."
    ),
    CHIP: ("A chip is placed by the vet or licensed staff only; read it back before the bird is let go."),
    MEDICINE: (
        "Only what the vet ordered, for this bird and by its weight of today; nobody else's. Labelled, and "
        "kept out of reach; gloves where the label says so. A bird that gets worse is the vet's at once."
    ),
}
"""Caution by key; `NONE` stands for an act that needs none."""


def caution(key: str) -> str:
    """The caution that belongs to an act, empty where none does.

    Source:
        docs/science/cautions.md.
    """
    return CAUTIONS[key] if key else ""
