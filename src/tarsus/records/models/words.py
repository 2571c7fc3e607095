"""The closed lists of the register, one word each. The database refuses any other."""

from __future__ import annotations

from django.db.models import TextChoices


class Role(TextChoices):
    """What a person may do, from least to most."""

    VIEWER = "viewer"
    KEEPER = "keeper"
    LEAD = "lead"
    VET = "vet"
    RECORDS = "records"
    ADMINISTRATOR = "administrator"


class ReadsAs(TextChoices):
    """Which error chances stand for a person's readings."""

    TRAINED = "trained"
    UNTRAINED = "untrained"


class Light(TextChoices):
    """The light in which a round is read."""

    BRIGHT = "bright"
    DULL = "dull"
    DUSK = "dusk"


class ColourVision(TextChoices):
    """How a person sees colours."""

    USUAL = "usual"
    PROTAN = "protan"
    DEUTAN = "deutan"
    TRITAN = "tritan"


class Side(TextChoices):
    """The bird's own side; empty where it does not matter."""

    LEFT = "left"
    RIGHT = "right"
    EITHER = ""


class PlaceKind(TextChoices):
    """What a place within an exhibit is."""

    PERCH = "perch"
    POOL = "pool"
    LEDGE = "ledge"
    GROUND = "ground"
    NIGHT_HOUSE = "night house"
    OFF_SHOW = "off-show"
    HOSPITAL = "hospital"
    QUARANTINE = "quarantine"


class Purpose(TextChoices):
    """What an exhibit is for."""

    DISPLAY = "display"
    OFF_SHOW = "off-show"
    HOSPITAL = "hospital"
    QUARANTINE = "quarantine"


class Form(TextChoices):
    """How a species is told apart, and therefore drawn."""

    LEGS = "legs"
    TALL = "tall"
    WINGS = "wings"
    TOLD = "told"


class Sex(TextChoices):
    """Female, male or not known."""

    FEMALE = "F"
    MALE = "M"
    UNKNOWN = "U"


class SexKnownBy(TextChoices):
    """How a sex came to be known."""

    DNA = "DNA"
    ENDOSCOPY = "endoscopy"
    PLUMAGE = "plumage"
    SIZE = "size"
    BEHAVIOUR = "behaviour"
    LAID = "laid an egg"
    TOLD = "told on arrival"
    NOT_SAID = "not said"


class VisitorPages(TextChoices):
    """Whether visitors may open a page of an exhibit, and by which address."""

    OFF = "off"
    LINK = "link"
    PLAIN = "plain"


class Precision(TextChoices):
    """How closely a hatch date is known."""

    DAY = "day"
    MONTH = "month"
    YEAR = "year"
    ABOUT = "about"
    UNKNOWN = "unknown"


class Origin(TextChoices):
    """Where a bird comes from."""

    HATCHED_HERE = "hatched here"
    HATCHED_ELSEWHERE = "hatched elsewhere"
    WILD = "wild"
    UNKNOWN = "unknown"


class BandKind(TextChoices):
    """What a band is."""

    METAL = "metal"
    CLOSED = "closed"
    COLOUR = "colour"
    CABLE_TIE = "cable tie"
    WING = "wing"
    FLIPPER = "flipper"


class Condition(TextChoices):
    """What a check found of a band."""

    GOOD = "good"
    WORN = "worn"
    FADED = "faded"
    UNREADABLE = "unreadable"
    TIGHT = "tight"
    MISSING = "missing"


class WhyOff(TextChoices):
    """Why a band is no longer on the bird."""

    REPLACED = "replaced"
    LOST = "lost"
    MOULT = "moult"
    TIGHT = "tight"
    INJURY = "injury"
    REMARKED = "re-marked"
    END = "left the collection"
    OTHER = "other"


class How(TextChoices):
    """How the bird of a sighting was named."""

    BY_SIGHT = "by sight"
    BY_READING = "by reading"
    INFERRED = "inferred"
    PART_READING = "part reading"


class NestEventKind(TextChoices):
    """What was found at a nest."""

    EGGS = "eggs"
    HATCHED = "hatched"
    UNBANDED_CHICKS = "unbanded chicks"
    BANDED = "banded"
    FLEDGED = "fledged"
    VANISHED = "vanished"
    DEAD = "dead"
    FAILED = "failed"
    CHECKED = "checked"


class Whereabouts(TextChoices):
    """What became of a bird that is not where it should be."""

    MISSING = "missing"
    ESCAPED = "escaped"
    FOUND_AGAIN = "found again"
    PRESUMED_DEAD = "presumed dead"


class NotLookedForWhy(TextChoices):
    """Why an unseen bird is no miss."""

    OFF_SHOW = "off-show"
    NEST_SITTING = "nest-sitting"
    MOULT = "moult"
    NOT_LOOKED_FOR = "not looked for"
    HOSPITAL = "hospital"


class WeighedWhere(TextChoices):
    """How a weight was taken."""

    IN_HAND = "in hand"
    PERCH_SCALE = "perch scale"


class Sample(TextChoices):
    """What a sex test is made from."""

    BLOOD = "blood"
    FEATHER = "feather"
    SWAB = "swab"
    EGGSHELL = "eggshell"


class NotHandledHow(TextChoices):
    """What became of a bird of a catch-up that was not handled."""

    NOT_CAUGHT = "not caught"
    LET_GO = "let go unhandled"


class Ruled(TextChoices):
    """Which limit a signed reason lifts."""

    NEST = "nest or brood"
    MOULT = "moult"
    REST_DAYS = "rest days"
    HEAT = "heat"
    COLD = "cold"
