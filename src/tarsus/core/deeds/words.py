"""The closed lists that deeds choose from. A test holds them to those that the register's tables know."""

from __future__ import annotations

from typing import Final

SEX: Final = (("F", "female"), ("M", "male"), ("U", "not known"))
SEX_KNOWN_BY: Final = (
    "DNA",
    "endoscopy",
    "plumage",
    "size",
    "behaviour",
    "laid an egg",
    "told on arrival",
    "not said",
)
SAMPLE: Final = ("blood", "feather", "swab", "eggshell")
LIGHTS: Final = ("bright", "dull", "dusk")
SIDE: Final = ("left", "right")
VISITOR_PAGES: Final = (
    ("off", "no"),
    ("link", "by a link that nobody guesses"),
    ("plain", "whoever looks for it"),
)
ORIGIN: Final = ("hatched here", "hatched elsewhere", "wild", "unknown")
PRECISION: Final = ("day", "month", "year", "about", "unknown")
BAND_KIND: Final = ("metal", "closed", "colour", "cable tie", "wing", "flipper")
CONDITION: Final = ("good", "worn", "faded", "unreadable", "tight", "missing")
WHY_OFF: Final = (
    "replaced",
    "lost",
    "moult",
    "tight",
    "injury",
    "re-marked",
    "left the collection",
    "other",
)
HOW: Final = ("by sight", "by reading", "inferred")
NEST_EVENT: Final = (
    ("eggs", "eggs, so many now"),
    ("hatched", "hatched, so many more"),
    ("unbanded chicks", "chicks without a band, so many now"),
    ("fledged", "chicks fledged, so many more"),
    ("vanished", "chicks vanished, so many more"),
    ("dead", "chicks found dead, so many more"),
    ("failed", "the nest failed, or so many eggs and chicks were lost"),
    ("checked", "looked at, nothing changed"),
)
WHEREABOUTS: Final = ("missing", "escaped", "found again")
NOT_LOOKED_FOR: Final = ("off-show", "nest-sitting", "moult", "not looked for", "hospital")
NOT_HANDLED: Final = ("not caught", "let go unhandled")
RULED: Final = ("nest or brood", "moult", "rest days", "heat", "cold")
