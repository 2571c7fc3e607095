"""A keeper's own choice of marks, judged by the measure of the desk; and the fewest birds to re-band."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from tarsus.core.choosing.clarity import flock_clarity
from tarsus.core.choosing.clashes import NobodyToRebandLeft
from tarsus.core.choosing.rebanding import on_the_wrong_side, plan_rebanding
from tarsus.core.errors import NoAnswer, UnknownWord, WrongValue
from tarsus.core.marks.birds import Bird as CoreBird
from tarsus.core.marks.fitting import OnSite, fitting
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.rules import MarkRule
from tarsus.core.words.marks_cost import changes_said, judged
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.decision import park_decision
from tarsus.queries.flock import FlockBird
from tarsus.queries.flock_page import flock_birds
from tarsus.queries.marking_answer import NEAREST, Drawn, Near
from tarsus.queries.marking_birds import InDrawer, as_will_be, drawer, plans_of, residents_of
from tarsus.queries.marking_rules import rule_of
from tarsus.queries.marking_words import stays_on
from tarsus.queries.observers import park_misreading
from tarsus.queries.portraits import portrait_of
from tarsus.queries.resting_marks import resting_marks
from tarsus.records.models import Species

_BETWEEN: Final = re.compile(r"\s+over\s+|\s*[,;/]\s*|\s+")


@dataclass(frozen=True, slots=True)
class Wish:
    """Marks that somebody wishes for a bird: what they make of the flock, and what speaks against them."""

    bird_id: int
    name: str
    drawn: Drawn
    says: str
    notes: tuple[str, ...]
    near: tuple[Near, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """A bird to re-band: why, with what, and how many bands go on."""

    bird_id: int
    name: str
    drawn: Drawn
    because: str
    put_on: int


@dataclass(frozen=True, slots=True)
class Changes:
    """The fewest birds to re-band so that every two are told apart; `refusal` where there is no such plan."""

    says: str
    birds: tuple[Change, ...]
    refusal: str = ""


@dataclass(frozen=True)
class _Flock:
    birds: tuple[FlockBird, ...]
    species: Species
    rule: MarkRule | None
    drawer: InDrawer
    now: datetime

    @classmethod
    def of(cls, exhibit_id: int, lookalike: str, now: datetime) -> _Flock:
        today = day_of(now, park_zone())
        birds = flock_birds(exhibit_id, lookalike, today)
        ids = [bird.species_id for bird in birds]
        species = Species.objects.get(pk=max(set(ids), key=lambda one: (ids.count(one), -one)))
        held = drawer(species.form, species.band_size)
        everyone = (*birds, *residents_of(birds, exhibit_id, today))
        return cls(everyone, species, rule_of(species.pk, today), held, now)


def marks_written(sites: Mapping[str, str], colours: Sequence[str]) -> Marks:
    """Marks as somebody types them: by site, from the body outward, *lime over orange* or *lime, orange*.

    Raises:
        UnknownWord: no such colour.
        WrongValue: nothing is written.
    """
    known = {METAL, *colours}
    found: dict[str, list[str]] = {}
    for site, text in sites.items():
        rest = f" {text.strip().casefold()} "
        for colour in sorted((one for one in known if " " in one), key=len, reverse=True):
            rest = rest.replace(f" {colour} ", f" {colour.replace(' ', '_')} ")
        words = [word.replace("_", " ") for word in _BETWEEN.split(rest.strip()) if word]
        for word in words:
            if word not in known:
                raise UnknownWord(site, word, "colour of the palette", sorted(known))
        if words:
            found[site] = words
    if not found:
        raise WrongValue("marks", "no bands are written; write some, such as lime over orange")
    return Marks.of(found)


def wish_for(exhibit_id: int, lookalike: str, bird_id: int, marks: Marks, now: datetime) -> Wish:
    """Judge marks that somebody wishes for a bird, by what the proposals of the desk are judged by.

    Args:
        exhibit_id: where its flock lives.
        lookalike: the flock's look-alike group.
        bird_id: whose marks.
        marks: all that it would wear.
        now: the moment of asking.

    Raises:
        NoSuchFlock: none of its birds lives there today.
        WrongValue: the bird is none of this flock.
    """
    flock = _Flock.of(exhibit_id, lookalike, now)
    bird = next((one for one in flock.birds if one.bird_id == bird_id), None)
    if bird is None:
        raise WrongValue("bird", "it is none of this flock; choose one of the list")
    others = [one for one in flock.birds if one.bird_id != bird_id]
    plans = plans_of(others)
    rest = as_will_be(others, plans)
    wished = CoreBird(str(bird_id), marks, bird.sex, 1.0, bird.lookalike)
    today = day_of(now, park_zone())
    eyes = park_misreading([one for one in flock.birds if one.bands] or [bird], today)
    sureness = park_decision().sureness
    then = flock_clarity([*rest, wished], eyes, sureness=sureness)
    before = as_will_be(flock.birds, plans_of(flock.birds))
    cost_now = flock_clarity(before, eyes, sureness=sureness).loss if len(before) > 1 else 0.0
    by_id = {str(one.bird_id): one for one in flock.birds}
    near = tuple(
        Near(portrait_of(by_id[rest[at].id]), chance)
        for at, chance in then.lookalikes(len(rest), NEAREST)
        if chance >= 1e-4
    )
    return Wish(
        bird_id=bird_id,
        name=bird.name,
        drawn=Drawn(marks.as_mapping(), bird.form),
        says=judged(then.loss, cost_now),
        notes=tuple(_against(marks, bird, flock, rest, by_id)),
        near=near,
    )


def _against(
    marks: Marks,
    bird: FlockBird,
    flock: _Flock,
    rest: Sequence[CoreBird],
    by_id: Mapping[str, FlockBird],
) -> list[str]:
    """What speaks against a wish, and what it keeps of the bands that are on."""
    species, said = flock.species, []
    for site, bands in marks.sites:
        if species.sites and site not in species.sites:
            said.append(f"{species.name} is not banded on the {site} here.")
        if bands.count(METAL) > 1:
            said.append(f"Two metal bands on the {site} can clash and hurt.")
    words = Counter(band for _, bands in marks.sites for band in bands)
    if flock.rule is not None:
        today = day_of(flock.now, park_zone())
        age = None if bird.hatched_on is None else (today - bird.hatched_on).days
        row = flock.rule.row_of(bird.sex, age is not None and age < species.leg_grown_at_days)
        metal = flock.rule.metal_site(row)
        if metal is not None and METAL not in marks.at(metal):
            said.append(f"The rule here puts its metal on the {metal}.")
        counts = {site: n for site, bands in marks.sites if (n := sum(band != METAL for band in bands))}
        if counts not in [dict(layout) for layout in flock.rule.layouts(row)]:
            said.append("The rule here asks for another number of colours, or other sites.")
        never = sorted(flock.rule.excluded & words.keys())
        said += [f"{word} is not used on this species here." for word in never]
    worn = Counter(band for _, bands in bird.marks.sites for band in bands)
    for word, wanted in (words - worn).items():
        there = (flock.drawer.amounts or {}).get(word)
        if word != METAL and there is not None and there < wanted:
            said.append(f"{there} {word} of its size on the shelf, {wanted} wanted.")
    said += [f"{by_id[one.id].name} wears these marks." for one in rest if one.marks == marks]
    said += [
        f"{one.name} wore these marks; they rest until {one.until:%-d %B %Y}."
        for one in resting_marks(bird.lookalike, day_of(flock.now, park_zone()))
        if one.marks == marks
    ]
    return [*said, *filter(None, [stays_on(marks, bird.marks)])]


def _to_fit(worn: Marks, wanted: Marks) -> int:
    """How many bands go on; one that only changes its place is taken off and fitted too."""
    on = {site: [OnSite(at, band) for at, band in enumerate(bands)] for site, bands in worn.sites}
    return sum(step.worn is None for steps in fitting(on, wanted).values() for step in steps)


def fewest_changes(exhibit_id: int, lookalike: str, now: datetime) -> Changes:
    """The fewest birds of a flock to re-band so that every two are told apart; the others stay.

    A bird with a certified band keeps its marks. What was kept at the desk counts as worn.

    Raises:
        NoSuchFlock: none of its birds lives there today.
    """
    flock = _Flock.of(exhibit_id, lookalike, now)
    if flock.rule is None:
        return Changes("", (), "there is no rule for this species yet")
    worn = as_will_be(flock.birds, plans_of(flock.birds))
    if len(worn) < 2:
        return Changes(changes_said(0, len(worn), proven=True), ())
    by_id = {str(one.bird_id): one for one in flock.birds}
    stays = {str(one.bird_id) for one in flock.birds if any(band.certified for band in one.bands)}
    amounts = flock.drawer.amounts
    colours = [one for one in flock.drawer.held if amounts is None or amounts.get(one, 0) > 0]
    eyes = park_misreading([one for one in flock.birds if one.bands], day_of(now, park_zone()))
    try:
        resting = [one.marks for one in resting_marks(lookalike, day_of(now, park_zone()))]
        clarity = park_decision().clarity
        plan = plan_rebanding(worn, flock.rule, colours, eyes, clarity, keep=stays, resting=resting)
    except NobodyToRebandLeft as refused:
        one, other = (by_id[bird].name for bird in refused.pair)
        return Changes("", (), str(NobodyToRebandLeft(one, other)))
    except NoAnswer as refused:
        return Changes("", (), str(refused))
    changes = []
    for new in plan.birds:
        bird = by_id[new.bird]
        alike = sorted(
            by_id[other].name
            for pair in plan.clashes
            if new.bird in pair
            for other in pair
            if other != new.bird
        )
        why = [f"too alike to {', '.join(alike)}"] if alike else []
        if on_the_wrong_side(next(one for one in worn if one.id == new.bird), flock.rule):
            why.insert(0, "its metal is on the side of the other sex")
        because = "; ".join(why) or "gives up its marks to make room"
        drawn = Drawn(new.given.as_mapping(), bird.form)
        changes.append(Change(bird.bird_id, bird.name, drawn, because, _to_fit(bird.marks, new.given)))
    return Changes(changes_said(len(changes), len(worn), proven=plan.proven), tuple(changes))
