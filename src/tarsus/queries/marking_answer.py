"""What is proposed at the marking desk: marks, the reasons, and what else one could take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from typing import Final

from tarsus.core.choosing.assignment import Assignment, assigned
from tarsus.core.choosing.assignment_mates import used_bands
from tarsus.core.choosing.assignment_others import best_marks
from tarsus.core.choosing.assignment_slots import Wanted
from tarsus.core.choosing.clarity import Clarity, flock_clarity
from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.birds import Bird as CoreBird
from tarsus.core.marks.candidates import iterated_marks
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading
from tarsus.queries.flock import FlockBird
from tarsus.queries.marking_birds import InDrawer, Planned, ToMark, as_will_be
from tarsus.queries.marking_words import SEX_WORDS, why_these
from tarsus.queries.observers import park_misreading
from tarsus.queries.portraits import Portrait, portrait_of

OTHERS: Final = 6
"""Other marks that are listed beside a proposal."""

NEAREST: Final = 3

SECONDS: Final = 3.0
"""Work that a page may cost in choosing marks, in seconds of one core."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """Marks to be drawn, on nobody yet."""

    marks: dict[str, list[str]]
    form: str


@dataclass(frozen=True, slots=True)
class Named:
    """How often a reading of the flock is named wrongly, and how often it is left in doubt, where a name is
    said from `sureness`."""

    wrongly: float
    in_doubt: float
    sureness: float

    @property
    def loss(self) -> float:
        """What a reading costs, in wrong names."""
        return self.wrongly + (1 - self.sureness) * self.in_doubt


@dataclass(frozen=True, slots=True)
class Other:
    """Marks one could take instead, and how the flock is then named."""

    drawn: Drawn
    named: Named


@dataclass(frozen=True, slots=True)
class Near:
    """A bird that the new one will be taken for most; `proposed` where its own marks are not fitted yet."""

    portrait: Portrait
    chance: float
    proposed: bool = False


@dataclass(frozen=True, slots=True)
class Proposal:
    """Marks for one bird."""

    bird_id: int
    name: str
    about: str
    because: str
    growing: bool
    drawn: Drawn
    why: tuple[str, ...]
    near: tuple[Near, ...]
    others: tuple[Other, ...]


@dataclass(frozen=True, slots=True)
class LeftOver:
    """What is left of a colour when all is fitted; `order` where that is below what the park wants."""

    colour: str
    amount: int
    order: bool


@dataclass(frozen=True)
class Asked:
    """One flock at the desk: its birds, who is to be marked, what waits, the rule, the drawer, the day,
    and the chance from which the park says a name."""

    birds: tuple[FlockBird, ...]
    wanted: tuple[ToMark, ...]
    plans: tuple[Planned, ...]
    rule: MarkRule | None
    drawer: InDrawer
    today: date
    sureness: float
    resting: frozenset[Marks] = frozenset()


class Answer:
    """Everything that is computed for one flock at the desk."""

    def __init__(self, asked: Asked) -> None:
        self.asked = asked
        self.misreading = park_misreading([b for b in asked.birds if b.bands], asked.today)
        ids = {one.bird.bird_id for one in asked.wanted}
        plans = {plan.bird_id: plan for plan in asked.plans}
        self.fixed = tuple(as_will_be([b for b in asked.birds if b.bird_id not in ids], plans))
        self.wanted = tuple(_wanted(one) for one in asked.wanted)
        self.stock = _in_stock(asked)
        self.found: Assignment | None = None
        self.refusal = ""
        if asked.rule is not None and asked.wanted:
            try:
                self.found = _assigned(
                    self.fixed,
                    self.wanted,
                    asked.rule,
                    asked.drawer.held,
                    self.misreading,
                    self.stock,
                    asked.sureness,
                    asked.resting,
                )
            except NotEnoughMarks as refused:
                self.refusal = str(refused)

    @property
    def named(self) -> Named | None:
        """How the flock is named with all that is proposed."""
        if self.found is not None:
            return _named(self.found.clarity)
        return _named(self._clarity(self.fixed)) if len(self.fixed) > 1 else None

    def habit(self) -> Named | None:
        """What the next free combination of the rule's list would make of the flock, from the same stock.

        None where the stock does not reach, and where mates must match: then there is no next free one.
        """
        if self.found is None or self.asked.rule is None or any(one.mate for one in self.wanted):
            return None
        taken = {bird.marks for bird in self.fixed} | self.asked.resting
        flock, left = list(self.fixed), None if self.stock is None else dict(self.stock)
        for one, wanted in zip(self.asked.wanted, self.wanted, strict=True):
            free = iterated_marks(self.asked.rule, one.row, self.asked.drawer.held)
            marks = next((some for some in free if some not in taken and _reaches(left, some)), None)
            if marks is None:
                return None
            taken.add(marks)
            for band, count in used_bands([marks]).items():
                if left is not None and band in left:
                    left[band] -= count
            flock.append(CoreBird(wanted.id, marks, wanted.sex, 1.0, wanted.lookalike))
        return _named(self._clarity(flock))

    def _clarity(self, flock: Sequence[CoreBird]) -> Clarity:
        return flock_clarity(flock, self.misreading, sureness=self.asked.sureness)

    def proposals(self) -> tuple[Proposal, ...]:
        """Marks for every bird that is to be marked."""
        if self.found is None or self.asked.rule is None:
            return ()
        found, rule = self.found, self.asked.rule
        return tuple(self._proposal(at, one, found, rule) for at, one in enumerate(self.asked.wanted))

    def _proposal(self, at: int, one: ToMark, found: Assignment, rule: MarkRule) -> Proposal:
        by_id = {str(bird.bird_id): bird for bird in self.asked.birds}
        marks, place = found.marks[self.wanted[at].id], len(self.fixed) + at
        near = [
            self._near(by_id[found.birds[other].id], found.birds[other].marks, chance)
            for other, chance in found.clarity.lookalikes(place, NEAREST)
            if chance >= 1e-4
        ]
        return Proposal(
            bird_id=one.bird.bird_id,
            name=one.bird.name,
            about=_about(one, self.asked.today),
            because=one.because,
            growing=one.growing,
            drawn=Drawn(marks.as_mapping(), one.bird.form),
            why=why_these(marks, one, rule, self.asked.birds),
            near=tuple(near),
            others=tuple(self._others(at, one, found, rule)),
        )

    def _near(self, bird: FlockBird, marks: Marks, chance: float) -> Near:
        """A bird as it is weighed: one that is to be marked itself with the marks proposed for it."""
        portrait, proposed = portrait_of(bird), marks != bird.marks
        if proposed:
            portrait = replace(portrait, marks=marks.as_mapping(), flags={})
        return Near(portrait, chance, proposed)

    def _others(self, at: int, one: ToMark, found: Assignment, rule: MarkRule) -> list[Other]:
        mine = self.wanted[at]
        marks = found.marks[mine.id]
        rest = tuple(bird for bird in found.birds if bird.id != mine.id)
        stock = None if self.stock is None else dict(self.stock)
        if stock is not None:
            for band, count in used_bands([bird.marks for bird in rest[len(self.fixed) :]]).items():
                if band in stock:
                    stock[band] -= count
        listed = _best(
            rest,
            mine,
            rule,
            self.asked.drawer.held,
            self.misreading,
            None if stock is None else tuple(stock.items()),
            self.asked.sureness,
            self.asked.resting,
        )
        others = [
            Other(Drawn(m.as_mapping(), one.bird.form), Named(wrongly, in_doubt, self.asked.sureness))
            for m, wrongly, in_doubt in listed
            if m != marks
        ]
        return others[:OTHERS]

    def left_over(self) -> tuple[LeftOver, ...]:
        """What is left in the drawer once all that is proposed is fitted, of the colours that are used."""
        if self.found is None or self.stock is None:
            return ()
        used = used_bands(list(self.found.marks.values()))
        below = self.asked.drawer.order_below
        return tuple(
            LeftOver(band, amount - used[band], amount - used[band] < below.get(band, 0))
            for band, amount in self.stock
            if band in used
        )


_Bands = tuple[tuple[str, int], ...]


@lru_cache(maxsize=32)
def _assigned(
    fixed: tuple[CoreBird, ...],
    wanted: tuple[Wanted, ...],
    rule: MarkRule,
    held: tuple[str, ...],
    misreading: Misreading,
    stock: _Bands | None,
    sureness: float,
    resting: frozenset[Marks],
) -> Assignment:
    # The same flock and wishes have the same answer: looked at again, it is not sought again.
    amounts = None if stock is None else dict(stock)
    return assigned(
        fixed,
        wanted,
        rule,
        held,
        misreading,
        stock=amounts,
        seconds=SECONDS,
        sureness=sureness,
        resting=resting,
    )


@lru_cache(maxsize=256)
def _best(
    fixed: tuple[CoreBird, ...],
    wanted: Wanted,
    rule: MarkRule,
    held: tuple[str, ...],
    misreading: Misreading,
    stock: _Bands | None,
    sureness: float,
    resting: frozenset[Marks],
) -> tuple[tuple[Marks, float, float], ...]:
    amounts = None if stock is None else dict(stock)
    most = OTHERS + 1
    found = best_marks(
        fixed, wanted, rule, held, misreading, stock=amounts, most=most, sureness=sureness, resting=resting
    )
    return tuple(found)


def _reaches(left: Mapping[str, int] | None, marks: Marks) -> bool:
    """Whether the stock has the bands for some marks."""
    if left is None:
        return True
    return all(count <= left.get(band, 0) for band, count in used_bands([marks]).items() if band != METAL)


def _named(clarity: Clarity) -> Named:
    return Named(clarity.named_wrongly, clarity.left_in_doubt, clarity.sureness)


def _wanted(one: ToMark) -> Wanted:
    bird = one.bird
    mate = one.mate if bird.form == "wings" else None
    return Wanted(str(bird.bird_id), bird.sex, one.growing, mate, 1.0, bird.lookalike)


def _in_stock(asked: Asked) -> _Bands | None:
    """Bands that are not spoken for: what kept plans will put on is set aside."""
    if asked.drawer.amounts is None:
        return None
    worn = {bird.bird_id: used_bands([bird.marks]) for bird in asked.birds}
    left = dict(asked.drawer.amounts)
    for plan in asked.plans:
        for band, count in used_bands([plan.marks]).items():
            if band != METAL and band in left:
                left[band] = max(0, left[band] - max(0, count - worn[plan.bird_id].get(band, 0)))
    return tuple(left.items())


def _about(one: ToMark, today: date) -> str:
    said = [SEX_WORDS[one.bird.sex]]
    if one.bird.hatched_on is not None and (days := (today - one.bird.hatched_on).days) < 365:
        said.append(f"{days} days")
    return ", ".join(said)
