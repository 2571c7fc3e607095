"""The register of all deeds. What is not in it does not exist: no face, no right, no way to write it."""

from __future__ import annotations

from typing import Final

from tarsus.core.deeds.bands import BANDS
from tarsus.core.deeds.care import CARE
from tarsus.core.deeds.coming_going import COMING_GOING
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.eyes import EYES
from tarsus.core.deeds.identity import IDENTITY
from tarsus.core.deeds.months import MONTHS
from tarsus.core.deeds.nests import NESTS
from tarsus.core.deeds.phone_news import PHONE_NEWS
from tarsus.core.deeds.plans import PLAN_SET
from tarsus.core.deeds.roll_call import ROLL_CALL
from tarsus.core.deeds.settings import SETTINGS
from tarsus.core.deeds.shifts import SHIFTS
from tarsus.core.deeds.signing_in import SIGNING_IN
from tarsus.core.deeds.treatment import TREATMENT
from tarsus.core.documents.values import parse_choice

FAMILIES: Final[dict[str, tuple[Deed, ...]]] = {
    "Roll call": ROLL_CALL,
    "Coming and going": COMING_GOING,
    "Who it is": IDENTITY,
    "Bands and stock": BANDS,
    "Care": CARE,
    "Under the vet": TREATMENT,
    "Nests": NESTS,
    "Months": MONTHS,
    "Hand over": SHIFTS,
    "Eyes": EYES,
    "Settings": (*SETTINGS, *PHONE_NEWS, PLAN_SET),
    "Signing in": SIGNING_IN,
}
DEEDS: Final[dict[str, Deed]] = {deed.name: deed for family in FAMILIES.values() for deed in family}


def deed_named(name: object, place: str = "kind") -> Deed:
    """The deed of this name.

    Raises:
        UnknownWord: no deed is called so.
    """
    return DEEDS[parse_choice(name, place, "kind of fact", DEEDS)]
