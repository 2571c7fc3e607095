"""What an import warns of: facts that break a rule go in as they are, and somebody is told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from tarsus.core.marks.marks import METAL
from tarsus.core.marks.wording import in_words
from tarsus.tables.bird_lines import BirdLine
from tarsus.tables.known import LEVELS, RegisterKnown
from tarsus.tables.rows import Remark

_BY_SIGHT: Final = "is told apart by other marks than bands in this park"


def remarks_on(bird: BirdLine, known: RegisterKnown) -> tuple[Remark, ...]:
    """What a bird's bands break: sites, colours, two metals on a leg, the side of its sex, too many on a leg.

    Source:
        Two metal bands never on one leg: US Bird Banding Laboratory. The side by sex is the park's own
        setting.
    """
    texts = [
        *_two_metals(bird),
        *_sites(bird),
        *_colours(bird),
        *_side(bird, known),
        *_crowded(bird, known),
        *_closed_colours(bird),
        *_temporary(bird),
    ]
    return tuple(Remark(bird.line, "marks", text, bird.sheet) for text in texts)


def _limb(site: str) -> str:
    side, part = site.split()
    return f"{side} wing" if part == "wing" else f"{side} leg"


def _two_metals(bird: BirdLine) -> Iterator[str]:
    metals = Counter(_limb(site) for site, _ in bird.marks.metals())
    for limb, amount in metals.items():
        if amount > 1 and limb.endswith("leg"):
            yield f"{amount} metal bands on the {limb}: two metals wear each other and the leg"


def _sites(bird: BirdLine) -> Iterator[str]:
    for site, bands in bird.marks.sites:
        if bands and site not in bird.species.sites:
            yield f"a band on the {site}, where a {bird.species.name} is not banded in this park"


def _colours(bird: BirdLine) -> Iterator[str]:
    worn = {band.band for _, bands in bird.marks.sites for band in bands}
    for colour in sorted(worn & set(bird.species.excluded)):
        yield f"{colour} is not used for a {bird.species.name} in this park"


def _side(bird: BirdLine, known: RegisterKnown) -> Iterator[str]:
    side = {"F": known.female_side, "M": known.male_side}.get(bird.sex, "")
    word = {"F": "females", "M": "males"}.get(bird.sex, "")
    sides = {site.split()[0] for site, _ in bird.marks.metals()}
    if side and sides and sides != {side}:
        wrong = " and ".join(sorted(sides - {side}))
        yield f"the metal band is on the {wrong}; {word} wear it on the {side} in this park"


def _crowded(bird: BirdLine, known: RegisterKnown) -> Iterator[str]:
    worn: Counter[str] = Counter()
    for site, bands in bird.marks.sites:
        worn[_limb(site)] += len(bands)
    for limb, amount in worn.items():
        if amount > known.bands_per_leg and limb.endswith("leg"):
            yield f"{amount} bands on the {limb}; this park fits at most {known.bands_per_leg}"


def _closed_colours(bird: BirdLine) -> Iterator[str]:
    if any(band.closed and band.band != METAL for _, bands in bird.marks.sites for band in bands):
        yield "a closed colour band is recorded as a colour band, with a note"


def _temporary(bird: BirdLine) -> Iterator[str]:
    for site, bands in bird.marks.sites:
        for band in bands:
            if band.temporary:
                yield f"temporary {band.band} on the {site} is to come off again; for a cable tie write tie"


def marks_told(bird: BirdLine) -> str:
    """The marks in words, for a list that people read."""
    return in_words(bird.marks, LEVELS[bird.species.form]) or "no marks told"
