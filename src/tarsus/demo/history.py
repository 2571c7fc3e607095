"""Four hundred days of roll calls, drawn from the detection model and the reading model with a fixed seed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.marks import Marks
from tarsus.core.words.certainty import DOUBTFUL_BELOW
from tarsus.demo.attendance import Attendance, attendance
from tarsus.demo.chance import stream, uuids
from tarsus.demo.eyes import FlockEyes, read_bird, really_worn
from tarsus.demo.garden import (
    HERON_WOOD,
    JORY,
    KEA_TERRACE,
    NELL,
    QUARANTINE,
    SHINGLE_AVIARY,
    SOUTH_STRAND,
    TAMSIN,
)
from tarsus.demo.prepared import (
    PreparedGroup,
    PreparedRound,
    PreparedSighting,
)
from tarsus.demo.setting import Setting, Visit

# Quarantine comes last in the morning, with clean boots (common practice).
MORNING: Final = {
    SHINGLE_AVIARY: "07:30",
    HERON_WOOD: "06:40",
    SOUTH_STRAND: "06:15",
    KEA_TERRACE: "08:00",
    QUARANTINE: "09:40",
}
EVENING: Final = {
    SHINGLE_AVIARY: "16:30",
    HERON_WOOD: "17:20",
    SOUTH_STRAND: "16:00",
    KEA_TERRACE: "18:00",
    QUARANTINE: "18:40",
}
EVENING_ROUNDS_SINCE_DAYS: Final = 12
NOT_DONE: Final = 0.02
REASONS: Final = (
    "storm or heat",
    "birds shut in",
    "vet at work inside",
    "works in the exhibit",
    "nobody free",
)
KNOWN_BY_SIGHT: Final = {
    SHINGLE_AVIARY: 0.45,
    HERON_WOOD: 0.3,
    SOUTH_STRAND: 0.6,
    KEA_TERRACE: 1.0,
    QUARANTINE: 0.05,
}
COUNTED: Final = {HERON_WOOD: 0.7}
"""Share of the rounds in which everybody was counted: in the wood it cannot always be done."""
GROUPS_SINCE_DAYS: Final = 45
SECONDS_A_BIRD: Final = 14.0


def rounds_of(setting: Setting) -> Iterator[PreparedRound]:
    """The rounds of one exhibit in order of time, the last of them yesterday evening."""
    rng = stream(setting.seed, "rounds", setting.exhibit)
    visits = _visits(setting, rng)
    walk = _Walk(setting, attendance(setting, visits, rng), rng)
    for r, visit in enumerate(visits):
        yield walk.round(r, visit) if visit.made else walk.not_done(visit)


def _visits(setting: Setting, rng: np.random.Generator) -> list[Visit]:
    """A round every morning, of late every evening too, once the first bird has moved in; a few not made."""
    stays = [stay for bird in setting.birds for stay in bird.stays if stay.exhibit == setting.exhibit]
    first = min(stay.since for stay in stays)
    planned = []
    for days_ago in range(min(setting.days, (setting.at.today - first).days), 0, -1):
        of_late = days_ago <= EVENING_ROUNDS_SINCE_DAYS
        clocks = [MORNING[setting.exhibit], *([EVENING[setting.exhibit]] if of_late else [])]
        for clock in clocks:
            made = bool(rng.random() >= NOT_DONE) or of_late
            planned.append(Visit(days_ago, clock, setting.at.at(days_ago, clock), made))
    return planned


@dataclass
class _Round:
    """A round while it is walked: whose it is, and who has been named so far."""

    visit: Visit
    day: date
    who: str
    searched: NDArray[np.bool_]
    named: set[str] = field(default_factory=set)


def _put_right(sightings: list[PreparedSighting]) -> list[PreparedSighting]:
    """A bird known by sight shows that an earlier reading which named it was of another bird."""
    by_sight = {seen.bird for seen in sightings if seen.how == "by sight"}
    return [
        replace(seen, bird="", how="part reading", chance=1.0)
        if seen.how == "by reading" and seen.bird in by_sight
        else seen
        for seen in sightings
    ]


class _Walk:
    """A keeper's way through one exhibit, round after round."""

    def __init__(self, setting: Setting, met: Attendance, rng: np.random.Generator) -> None:
        self.setting, self.met, self.rng = setting, met, rng
        number, places = len(setting.birds), len(setting.places)
        self.usual = np.cumsum(rng.dirichlet(np.full(places, 0.5), number), axis=1)
        share = KNOWN_BY_SIGHT[setting.exhibit]
        self.by_sight = np.ones(number) if share == 1.0 else rng.beta(4 * share, 4 * (1 - share), number)
        self.kinds = [setting.species[bird.species] for bird in setting.birds]
        self._eyes: dict[tuple[str, tuple[Marks, ...]], FlockEyes] = {}
        self._of_day: tuple[date | None, dict[str, FlockEyes], list[Marks]] = (None, {}, [])

    def not_done(self, visit: Visit) -> PreparedRound:
        """A round that was not made, and why."""
        reason = str(self.rng.choice(REASONS))
        name = uuids(self.rng, 1)[0]
        return PreparedRound(name, self.setting.exhibit, visit.at, None, self._who(), not_done_because=reason)

    def round(self, r: int, visit: Visit) -> PreparedRound:
        """One roll call: the count, the birds in view one after another, the close."""
        order = self.rng.permutation(np.flatnonzero(self.met.seen[r]))
        ids = uuids(self.rng, len(order) + 1)
        day = self.setting.at.day(visit.days_ago)
        now = _Round(visit, day, self._who(), self.met.searched[r])
        self._prepare(now.day)
        sightings = [self._sighting(int(b), ids[i + 1], i, now) for i, b in enumerate(order)]
        sightings = [self._inferred(seen, now) for seen in _put_right(sightings)]
        groups: list[PreparedGroup] = []
        if visit.days_ago <= GROUPS_SINCE_DAYS:
            groups, sightings = self._grouped(sightings)
        return PreparedRound(
            id=ids[0],
            exhibit=self.setting.exhibit,
            started_at=visit.at,
            closed_at=self._after(now, 240 + SECONDS_A_BIRD * len(order)),
            by=now.who,
            counts=self._counts(r, now),
            groups=tuple(groups),
            sightings=tuple(sightings),
        )

    def _who(self) -> str:
        turn = self.rng.random()
        return TAMSIN if turn < 0.45 else JORY if turn < 0.85 else NELL

    def _after(self, now: _Round, seconds: float) -> datetime:
        return self.setting.at.at(now.visit.days_ago, now.visit.clock, seconds)

    def _prepare(self, day: date) -> None:
        """For each look-alike flock of the day its birds as the record knows them, ready for naming."""
        if self._of_day[0] == day:
            return
        marks = [bird.marks_on(day) for bird in self.setting.birds]
        flocks: dict[str, list[int]] = {}
        for b, bird in enumerate(self.setting.birds):
            # Nobody knows who is really there: a keeper reads against everybody on the roll.
            if bird.exhibit_on(day) == self.setting.exhibit and self.kinds[b].sites:
                flocks.setdefault(self.kinds[b].lookalike, []).append(b)
        eyes = {lookalike: self._eyes_of(lookalike, flock, marks) for lookalike, flock in flocks.items()}
        self._of_day = (day, eyes, marks)

    def _eyes_of(self, lookalike: str, flock: list[int], marks: list[Marks]) -> FlockEyes:
        birds = [self.setting.birds[b] for b in flock]
        worn = tuple(marks[b] for b in flock)
        key = (lookalike + "|" + "|".join(bird.name for bird in birds), worn)
        if key not in self._eyes:
            self._eyes[key] = FlockEyes(birds, worn, self.setting.misreading)
        return self._eyes[key]

    def _sighting(self, b: int, sighting_id: str, nth: int, now: _Round) -> PreparedSighting:
        bird, kind = self.setting.birds[b], self.kinds[b]
        seen = PreparedSighting(
            id=sighting_id,
            at=self._after(now, 150 + SECONDS_A_BIRD * nth + float(self.rng.integers(0, 8))),
            by=now.who,
            bird=bird.name,
            lookalike=kind.lookalike,
            how="by sight",
            place=self.setting.places[int(np.searchsorted(self.usual[b], self.rng.random()))],
        )
        _, eyes, marks = self._of_day
        if not marks[b].sites or now.searched[b] or self.rng.random() < self.by_sight[b]:
            now.named.add(bird.name)
            return seen
        worn = really_worn(marks[b], self.setting.truth.lost.get(bird.name), now.visit.days_ago)
        faded = self.setting.truth.faded.get(bird.name)
        reading = read_bird(worn, kind, self.setting.misreading, faded, self.rng)
        named = eyes[kind.lookalike].name(reading)
        # A bird that was named already in this round, or is being searched for, takes a second look.
        doubtful = named.bird in now.named or (
            named.bird != bird.name and named.bird in self.setting.truth.gone
        )
        name = "" if doubtful else named.bird
        now.named |= {name} - {""}
        return replace(
            seen,
            bird=name,
            how="by reading" if name else "part reading",
            reading=reading,
            candidates=named.candidates,
            none_of_these=named.none_of_these,
            chance=named.chance if name else 1.0,
        )

    def _inferred(self, seen: PreparedSighting, now: _Round) -> PreparedSighting:
        """At the close a part reading may fit one bird only, once those that were named are out."""
        left = [(name, chance) for name, chance in seen.candidates if name not in now.named]
        if seen.how != "part reading" or not left or left[0][0] in self.setting.truth.gone:
            return seen
        total = sum(chance for _, chance in left) + (seen.none_of_these or 0.0)
        name, chance = left[0][0], left[0][1] / total
        if chance < DOUBTFUL_BELOW:
            return seen
        now.named.add(name)
        return replace(seen, bird=name, how="inferred", chance=round(chance, 6))

    def _grouped(
        self, sightings: list[PreparedSighting]
    ) -> tuple[list[PreparedGroup], list[PreparedSighting]]:
        """Some of the birds that were read stood together: left to right, and now and then they flew."""
        groups: list[PreparedGroup] = []
        told = list(sightings)
        read = [i for i, s in enumerate(sightings) if s.reading is not None]
        while len(read) >= 4 and self.rng.random() < 0.6:
            size = int(self.rng.integers(3, 7))
            together, read = read[:size], read[size:]
            place = sightings[together[0]].place
            name = uuids(self.rng, 1)[0]
            flew = bool(self.rng.random() < 0.2)
            unread = int(self.rng.integers(0, 3)) if flew else 0
            at = sightings[together[-1]].at
            groups.append(PreparedGroup(name, at, place, len(together) + unread, flew))
            for position, i in enumerate(together):
                told[i] = replace(told[i], group=name, position=position, place=place)
        return groups, told

    def _counts(self, r: int, now: _Round) -> dict[str, int]:
        if self.rng.random() > COUNTED.get(self.setting.exhibit, 1.0) and now.visit.days_ago > 1:
            return {}
        counts: dict[str, int] = {}
        for b in np.flatnonzero(self.met.there[r]):
            kind = self.kinds[b]
            if (now.day - self.setting.birds[b].hatched_on).days >= kind.counts_from_days:
                counts[kind.lookalike] = counts.get(kind.lookalike, 0) + 1
        return counts
