"""How far a new park is: what is there, and which step comes next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from tarsus.core.marks.marks import METAL, Marks
from tarsus.queries.flock import birds_everywhere
from tarsus.records.models import Bird, Colour, Exhibit, Park, Round, Species

STEPS: Final = ("bands", "exhibits", "sheet", "rules", "phone")
"""The steps after the first person, in their order."""
_Layout = tuple[str | None, tuple[tuple[str, int], ...]]


@dataclass(frozen=True, slots=True)
class NewPark:
    """What a park has of what a first roll call needs. `unruled` are species whose birds have no rule yet."""

    named: bool
    letters: bool
    exhibits: bool
    birds: bool
    called: bool
    unruled: tuple[tuple[int, str], ...]

    def done(self, step: str) -> bool:
        """Whether a step needs nothing more."""
        return {
            "bands": self.letters,
            "exhibits": self.exhibits,
            "sheet": self.birds,
            "rules": self.birds and not self.unruled,
            "phone": self.called,
        }[step]

    def following(self, skipped: frozenset[str] = frozenset()) -> str:
        """The first step that is neither done nor skipped; *phone* is last of all."""
        left = [step for step in STEPS if not self.done(step) and step not in skipped]
        return left[0] if left else "phone"


def new_park() -> NewPark:
    """How far this park is."""
    unruled = Species.objects.filter(birds__isnull=False, rules__isnull=True).exclude(form="told")
    return NewPark(
        named=Park.objects.filter(pk=1).exclude(name="").exists(),
        letters=Colour.objects.exists(),
        exhibits=Exhibit.objects.exists(),
        birds=Bird.objects.exists(),
        called=Round.objects.exists(),
        unruled=tuple(unruled.order_by("name").distinct().values_list("id", "name")),
    )


@dataclass(frozen=True, slots=True)
class MostWear:
    """How most birds of a species wear their bands, by sex: where the metal is, how many colours where."""

    metal: Mapping[str, str | None]
    colours: Mapping[str, Mapping[str, int]]
    birds: int


def most_wear(species: str, day: date) -> MostWear | None:
    """How most of the banded birds of each sex are marked on a day; nothing where none wears a band.

    Colours are counted, not named: a rule says how many go where.
    """
    seen: dict[str, Counter[_Layout]] = {}
    for bird in birds_everywhere(day):
        if bird.species == species and bird.marks.sites:
            seen.setdefault(bird.sex, Counter())[_layout(bird.marks)] += 1
    if not seen:
        return None
    most = {sex: found.most_common(1)[0][0] for sex, found in seen.items()}
    return MostWear(
        metal={sex: metal for sex, (metal, _) in most.items()},
        colours={sex: dict(layout) for sex, (_, layout) in most.items()},
        birds=sum(found.total() for found in seen.values()),
    )


def _layout(marks: Marks) -> _Layout:
    metal = next((site for site, bands in marks.sites if METAL in bands), None)
    counts = tuple((site, sum(band != METAL for band in bands)) for site, bands in marks.sites)
    return metal, tuple((site, number) for site, number in counts if number)
