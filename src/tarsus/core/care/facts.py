"""The plain facts that duties are derived from: what the records say of a bird, a species, the park."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from tarsus.core.care.band_life import BandRecord
from tarsus.core.care.weights import Weight, WeightLimits


@dataclass(frozen=True)
class BandOn:
    """A band a bird wears. `conditions` is what its latest check found, empty or *good* where all is well.

    `read_without`: readings since it was last read or checked that saw its site without it.
    """

    band: int
    site: str
    kind: str
    colour: str
    since: date
    conditions: frozenset[str] = frozenset()
    checked_on: date | None = None
    temporary: bool = False
    certified: bool = False
    read_without: int = 0

    @property
    def words(self) -> str:
        """As it is spoken of: *red, right leg*."""
        return f"{self.colour or self.kind}, {self.site}"


@dataclass(frozen=True)
class MarkOn:
    """A natural mark and the day on which it is to be looked at again."""

    mark: int
    text: str
    review_on: date | None


@dataclass(frozen=True)
class SampleTaken:
    """A sample for a sex test; `answered` when its finding is recorded, or the laboratory got none.

    `sent_on`: when it went to the laboratory, `None` while it is still here. `test` is its id.
    """

    label: str
    taken_on: date
    answered: bool
    sent_on: date | None = None
    test: str = ""


@dataclass(frozen=True)
class SexFound:
    """One finding of a bird's sex that was not withdrawn; `fact` is its id."""

    sex: str
    known_by: str
    on: date
    fact: str = ""


@dataclass(frozen=True)
class CaseOpen:
    """A case of the vet's that is open."""

    case: int
    about: str
    opened_on: date
    see_again_on: date | None


@dataclass(frozen=True)
class UnderTreatment:
    """A treatment that goes on, with the day of its next recheck, `None` once all were done."""

    treatment: str
    what: str
    since: date
    next_on: date | None


@dataclass(frozen=True)
class InHand:
    """A handling, and whether the look on the day after is wanted and was done."""

    handling: str
    on: date
    check_wanted: bool
    checked: bool


@dataclass(frozen=True)
class Alike:
    """Another bird of the exhibit, what a reading of the two costs in wrong names, and whether they wear the
    `same` marks."""

    bird: int
    name: str
    cost: float
    same: bool = False


@dataclass(frozen=True)
class BirdFacts:
    """What the records say of one bird today.

    `advice`: of the watch. `unseen_days`: since its last observed sighting. `ran_out`: why it was not
    looked for, until that had to be said again. `vet_told_on`: when its
    latest case was opened, closed since or not. `moulting`: said so by a keeper
    or a weighing. `quarantine_since`: `None` for a bird that is not, or no longer, held there. `planned`:
    marks that wait for its next handling, in words; `planned_metal`: the site of their identifying band.
    """

    bird: int
    name: str
    species: str
    exhibit: int | None
    exhibit_name: str
    sex: str
    hatched_on: date | None
    bands: tuple[BandOn, ...] = ()
    has_transponder: bool = False
    marks: tuple[MarkOn, ...] = ()
    advice: str = "present"
    unseen_days: int = 0
    ran_out: str = ""
    last_place: str = ""
    weights: tuple[Weight, ...] = ()
    health_checked_on: date | None = None
    here_since: date | None = None
    handlings: tuple[InHand, ...] = ()
    samples: tuple[SampleTaken, ...] = ()
    found: tuple[SexFound, ...] = ()
    cases: tuple[CaseOpen, ...] = ()
    treatments: tuple[UnderTreatment, ...] = ()
    vet_told_on: date | None = None
    moulting: bool = False
    moult_from: date | None = None
    quarantine_since: date | None = None
    planned: str = ""
    planned_metal: str = ""
    alike: tuple[Alike, ...] = ()

    def age_days(self, today: date) -> int | None:
        """Age on a day, `None` where the hatch date is not known."""
        return None if self.hatched_on is None else (today - self.hatched_on).days


@dataclass(frozen=True)
class SpeciesRules:
    """How a species is looked after here; the vet and the park set all of it.

    `metal`: the site of the identifying band by sex, where there is one. Months are 1 to 12.
    """

    name: str
    form: str = "legs"
    metal: tuple[tuple[str, str], ...] = ()
    limits: tuple[tuple[str, WeightLimits], ...] = ()
    weigh_every_days: int | None = None
    health_check_every_days: int | None = None
    leg_grown_at_days: int = 90
    chick_check_every_days: int = 3
    moult_from_month: int | None = None
    moult_to_month: int | None = None
    bands_off_in_moult: bool = False
    long_billed: bool = False

    def metal_site(self, sex: str) -> str:
        """Where the identifying band of this sex goes, empty where it does not matter."""
        return dict(self.metal).get(sex, "")

    def weight_limits(self, sex: str) -> WeightLimits:
        """The vet's percentages with the range of this sex."""
        return dict(self.limits).get(sex, WeightLimits())


@dataclass(frozen=True)
class ParkRules:
    """The park's own choices, and its record of bands."""

    remark_at_once: bool = False
    wanted_misnaming: float = 0.01
    next_catch_up: date | None = None
    band_record: BandRecord = field(default_factory=dict, repr=False)


@dataclass(frozen=True)
class StockHeld:
    """Bands of one compartment of the drawer: `words` without the size; `spoken_for` by kept marks."""

    stock: int
    words: str
    size: str
    amount: int
    order_below: int
    spoken_for: int = 0


@dataclass(frozen=True)
class CarcaseFound:
    """A carcase: whose it is (empty while that is open), and whether a post-mortem was asked and answered."""

    death: str
    exhibit: int
    species: str
    found_on: date
    named: str
    post_mortem_asked: bool
    post_mortem_answered: bool


@dataclass(frozen=True)
class StrayResult:
    """A laboratory's result for a sample that the register does not have."""

    question: str
    label: str
    sex: str
    told_on: date


@dataclass(frozen=True)
class LyingChip:
    """A bird's transponder that an antenna reads for hours without a pause."""

    bird: int
    name: str
    exhibit: int
    antenna: str
    hours: int


@dataclass(frozen=True)
class UnknownChip:
    """A transponder that was read and is no bird's here."""

    code: str
    exhibit: int
    antenna: str
    read_at: datetime


@dataclass(frozen=True)
class LooseBand:
    """A band found alone whose owner is not known yet."""

    found: str
    exhibit: int
    words: str
    found_on: date
    possible_owners: int
