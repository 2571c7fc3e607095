"""A whole park as plain values, as the demo prepares it; `frozen` tells it in rows for the bulk reader.

Names serve as keys: within one prepared park every bird, exhibit, species and person has a name of its own.
Moments are aware datetimes, days are dates of the park's own calendar.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from tarsus.core.marks.marks import Marks, Reading


@dataclass(frozen=True, slots=True)
class PreparedPerson:
    """Somebody who may sign in, and what they may do."""

    username: str
    name: str
    role: str
    password: str
    pin: str = ""


@dataclass(frozen=True, slots=True)
class PreparedExhibit:
    """An exhibit, or a room behind the scenes, with its places (name, kind) in walking order."""

    name: str
    purpose: str
    places: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PreparedSpecies:
    """A species as this park keeps it."""

    name: str
    scientific: str
    lookalike: str
    form: str
    sites: tuple[str, ...]
    excluded: tuple[str, ...]
    leg_mm: float | None
    band_size: str
    mass_g: Mapping[str, tuple[float, float]]
    mass_source: str
    max_unseen_days: int
    counts_from_days: int
    leg_grown_at_days: int = 90
    chick_check_every_days: int = 3
    chews: bool = False
    mates_match: bool = False
    moult_months: tuple[int, int] | None = None
    bands_off_in_moult: bool = False


@dataclass(frozen=True, slots=True)
class PreparedStock:
    """Bands in the drawer: one kind, colour and size."""

    kind: str
    colour: str
    size: str
    number: int
    order_below: int


@dataclass(frozen=True, slots=True)
class PreparedSeries:
    """A run of numbered metal bands as it was issued."""

    series: str
    prefix: str
    first: int
    last: int
    size: str


@dataclass(frozen=True, slots=True)
class PreparedBand:
    """One band on one bird: where, in which order from the body outward, and from when to when."""

    kind: str
    colour: str
    site: str
    order: int
    since: date
    until: date | None = None
    off_because: str = ""
    engraving: str = ""
    size: str = ""
    came_with_it: bool = False


@dataclass(frozen=True, slots=True)
class PreparedStay:
    """A bird's time in one exhibit; `how` it came there (hatched, arrived, moved), `came_from` whence."""

    exhibit: str
    since: date
    until: date | None = None
    how: str = "arrived"
    came_from: str = ""
    released_on: date | None = None


@dataclass(frozen=True, slots=True)
class NaturalMark:
    """What tells a bird without a band: words, where on the outline (0 to 100), when to look again."""

    text: str
    x: int
    y: int
    noted_on: date
    review_by: date


@dataclass(frozen=True, slots=True)
class PreparedBird:
    """One bird and all it wore."""

    name: str
    species: str
    sex: str
    sex_known_by: str
    sex_known_on: date | None
    hatched_on: date
    hatched_precision: str
    origin: str
    stays: tuple[PreparedStay, ...]
    bands: tuple[PreparedBand, ...] = ()
    natural_marks: tuple[NaturalMark, ...] = ()
    dam: str = ""
    sire: str = ""
    transponder: str = ""
    owner: str = ""
    left: str = ""
    left_on: date | None = None
    left_for: str = ""

    def marks_on(self, day: date) -> Marks:
        """What the record says that this bird wears at the end of one day."""
        worn = [b for b in self.bands if b.since <= day and (b.until is None or b.until > day)]
        worn.sort(key=lambda band: band.order)
        by_site: dict[str, list[str]] = {}
        for band in worn:
            by_site.setdefault(band.site, []).append(band.colour or "metal")
        return Marks.of(by_site)

    def exhibit_on(self, day: date) -> str | None:
        """The exhibit this bird was in at the end of one day."""
        for stay in self.stays:
            if stay.since <= day and (stay.until is None or stay.until > day):
                return stay.exhibit
        return None


@dataclass(frozen=True, slots=True)
class PreparedPair:
    """Two birds that nest together."""

    female: str
    male: str
    since: date


@dataclass(frozen=True, slots=True)
class PreparedNest:
    """One nesting: what happened in it, as (day, what, number)."""

    female: str
    male: str
    exhibit: str
    place: str
    since: date
    events: tuple[tuple[date, str, int | None], ...]
    name: str
    ended_on: date | None = None


@dataclass(frozen=True, slots=True)
class PreparedWeight:
    """One weighing outside a handling: the bird walked onto a scale."""

    bird: str
    at: datetime
    grams: float
    scale: str
    fed: bool
    by: str
    moulting: bool = False


@dataclass(frozen=True, slots=True)
class PreparedHandling:
    """One time in the hand: weight, condition of each band by (site, order, since), what was read."""

    bird: str
    at: datetime
    by: str
    why: str
    grams: float | None = None
    engraving_read: str = ""
    conditions: Mapping[tuple[str, int, date], str] = field(default_factory=dict)
    read_before: Reading | None = None
    read_by: str = ""
    worn: Marks | None = None
    note: str = ""
    release: str = "stood and walked"
    well_next_day: bool = True


@dataclass(frozen=True, slots=True)
class PreparedSexTest:
    """A sample, and what the laboratory said of it; `result` is empty while it is awaited."""

    bird: str
    taken_on: date
    by: str
    label: str
    laboratory: str
    sample: str = "feather"
    result: str = ""
    result_on: date | None = None


@dataclass(frozen=True, slots=True)
class PreparedCase:
    """A case that only the vet closes; of one bird, or of one among several."""

    birds: tuple[str, ...]
    opened_at: datetime
    told_by: str
    seen: tuple[str, ...]
    side: str = ""
    note: str = ""
    asked: str = ""
    closed_at: datetime | None = None
    closed_because: str = ""


@dataclass(frozen=True, slots=True)
class PreparedAbsence:
    """While it lasts an unseen bird is no miss: moult, off-show, nest-sitting, hospital."""

    bird: str
    why: str
    since: date
    until: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class PreparedForecast:
    """How warm a day is expected to be, as somebody wrote it down."""

    at: datetime
    for_day: date
    high_c: float
    by: str
    note: str


@dataclass(frozen=True, slots=True)
class PreparedNote:
    """Words about an exhibit or a bird."""

    at: datetime
    by: str
    text: str
    exhibit: str = ""
    bird: str = ""


@dataclass(frozen=True, slots=True)
class PreparedDeath:
    """A bird found dead, and what the post-mortem said."""

    bird: str
    at: datetime
    by: str
    label: str
    circumstances: str
    answer: str = ""
    answered_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class FoundBand:
    """A band found with no bird in it."""

    kind: str
    colour: str
    exhibit: str
    at: datetime
    by: str
    note: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class PreparedSighting:
    """One bird seen; `bird` is empty for a part reading that named nobody."""

    id: str
    at: datetime
    by: str
    bird: str
    lookalike: str
    how: str
    place: str
    reading: Reading | None = None
    candidates: tuple[tuple[str, float], ...] = ()
    none_of_these: float | None = None
    chance: float = 1.0
    group: str = ""
    position: int | None = None


@dataclass(frozen=True, slots=True)
class PreparedGroup:
    """Birds in view together."""

    id: str
    at: datetime
    place: str
    size: int
    flew: bool


@dataclass(frozen=True, slots=True)
class PreparedRound:
    """One roll call of one exhibit, or a round that was not made and why."""

    id: str
    exhibit: str
    started_at: datetime
    closed_at: datetime | None
    by: str
    counts: Mapping[str, int] = field(default_factory=dict)
    groups: tuple[PreparedGroup, ...] = ()
    sightings: tuple[PreparedSighting, ...] = ()
    not_done_because: str = ""


@dataclass(frozen=True, slots=True)
class PreparedPark:
    """Everything of one park up to a day. `rounds` may be a stream; it is walked once.

    `fading` says of a colour what it looks like when it is old, and after how many years.
    """

    name: str
    time_zone: str
    today: date
    metal_side: Mapping[str, str]
    palette: Mapping[str, str]
    letters: Mapping[str, str]
    not_held: tuple[str, ...]
    fading: Mapping[str, tuple[str, float]]
    people: tuple[PreparedPerson, ...]
    exhibits: tuple[PreparedExhibit, ...]
    species: tuple[PreparedSpecies, ...]
    stock: tuple[PreparedStock, ...]
    metal_series: tuple[PreparedSeries, ...]
    birds: tuple[PreparedBird, ...]
    pairs: tuple[PreparedPair, ...]
    nests: tuple[PreparedNest, ...]
    weights: tuple[PreparedWeight, ...]
    handlings: tuple[PreparedHandling, ...]
    sex_tests: tuple[PreparedSexTest, ...]
    cases: tuple[PreparedCase, ...]
    absences: tuple[PreparedAbsence, ...]
    forecasts: tuple[PreparedForecast, ...]
    notes: tuple[PreparedNote, ...]
    deaths: tuple[PreparedDeath, ...]
    found_bands: tuple[FoundBand, ...]
    rounds: Iterable[PreparedRound]
