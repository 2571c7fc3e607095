"""What has to be at hand for a catch-up: bands by kind, colour and size, and the tools for the planned work.

It is read off the marks that were kept, the duties that need the hand, and the shelf.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from tarsus.core.care.duty import Duty
from tarsus.core.marks.fitting import Step
from tarsus.core.marks.marks import METAL
from tarsus.core.marks.sizes import TIE, kinds_for, named_band, serves

BY_ANOTHER: Final = frozenset(
    {
        "band worn",
        "band faded",
        "band unreadable",
        "band missing",
        "band wearing out",
        "band tight",
        "temporary band to replace",
    }
)
"""Duties that ask for another band in place of one; a tight one is replaced once the vet says so."""

ON_THE_BIRD: Final = BY_ANOTHER - {"band missing"}
_LIKE: Final = {TIE: "colour", "closed": METAL}
"""What replaces a band of a kind, where it is not its like: a closed ring does not go over a grown foot."""
COMES_OFF: Final = ON_THE_BIRD | {"wing band off", "metal on the other side", "two metals on a leg"}


@dataclass(frozen=True, slots=True)
class Worn:
    """One band on the bird: `word` is its colour, or ``metal``; `size` as the record has it, or empty."""

    band: int
    site: str
    kind: str
    word: str
    size: str = ""


@dataclass(frozen=True, slots=True)
class BirdWork:
    """A bird to be caught and all that is planned for it.

    `form`: how its species is told. `size`: of its species' bands, empty where the park did not say.
    `steps`: from what it wears to the marks that were kept for it; `None` where there are none.
    """

    bird: int
    name: str
    species: str
    duties: tuple[Duty, ...] = ()
    bands: tuple[Worn, ...] = ()
    form: str = "legs"
    size: str = ""
    steps: Mapping[str, Sequence[Step]] | None = None


@dataclass(frozen=True, slots=True)
class Shelf:
    """So many bands of one kind, colour (``metal`` for none) and size in the drawer."""

    kind: str
    word: str
    size: str
    amount: int


@dataclass(frozen=True, slots=True)
class BandsToTake:
    """Bands of one kind, colour and size for one species. `size` is empty where no record tells it.

    `held`: how many of them lie on the shelf; of all sizes where the size is not known.
    """

    species: str
    kind: str
    word: str
    size: str
    birds: tuple[str, ...]
    held: int

    @property
    def short(self) -> bool:
        """Whether the shelf has too few."""
        return self.held < len(self.birds)

    @property
    def words(self) -> str:
        """As the list says it: *2 yellow bands, size 4*."""
        several = len(self.birds)
        what = named_band(self.kind, self.word)
        size = f"size {self.size}" if self.size else "size by the leg: measure it"
        return f"{several} {what} band{'' if several == 1 else 's'}, {size}"

    @property
    def on_the_shelf(self) -> str:
        """What lies there of it."""
        of = "" if self.size else " of all sizes"
        return f"{self.held} on the shelf{of}" if self.held else "none on the shelf"


@dataclass(frozen=True, slots=True)
class Tool:
    """One thing to take along, and the birds it is for; none named where it is for every one of them."""

    what: str
    birds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Kit:
    """Everything to have at hand before catching begins."""

    bands: tuple[BandsToTake, ...]
    tools: tuple[Tool, ...]


def usual_sizes(worn: Iterable[tuple[str, str, str]]) -> dict[tuple[str, str], str]:
    """The size that a species wears most often, by species and kind of band.

    Args:
        worn: species, kind and size of every band that is worn; those without a size are passed over.

    Returns:
        ``(species, kind)`` -> size; of sizes worn as often the one that sorts first.
    """
    counted: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    for species, kind, size in worn:
        if size:
            counted[species, kind][size] += 1
    return {key: min(sizes, key=lambda size: (-sizes[size], size)) for key, sizes in counted.items()}


def kit_of(work: Sequence[BirdWork], shelf: Iterable[Shelf], sizes: Mapping[tuple[str, str], str]) -> Kit:
    """What the planned work of some birds needs.

    Args:
        work: the birds to be caught.
        shelf: the drawer.
        sizes: of `usual_sizes`, for a bird whose own bands tell none.

    Returns:
        Bands by species, kind, colour and size, the tools after them; nothing where nobody is caught.

    Assumes:
        Marks that were kept are what will be fitted; without them a band is replaced by its like.

    Source:
        Common practice; docs/science/catch-up.md, *Kit*.
    """
    if not work:
        return Kit((), ())
    held: Counter[tuple[str, str, str]] = Counter()
    for one in shelf:
        held[one.kind, one.word, one.size] += one.amount
    wanted: dict[tuple[str, str, str, str], list[str]] = defaultdict(list)
    for one_bird in work:
        for kind, word in bands_to_fit(one_bird):
            wanted[one_bird.species, kind, word, _size(one_bird, kind, sizes)].append(one_bird.name)
    bands = tuple(
        BandsToTake(*key, tuple(birds), _held(held, *key[1:])) for key, birds in sorted(wanted.items())
    )
    return Kit(bands, tuple(_tools(work, bands)))


def bands_to_fit(work: BirdWork) -> list[tuple[str, str]]:
    """Kind and colour of each band that a bird is to get, the marks that were kept before its duties.

    A band that moves to another site is a new one: what was opened once does not close well again. One that
    stays by the marks that were kept is replaced where it gave out.
    """
    if work.steps is None:
        wanted = ("sex result to act on", "metal on the other side")
        metals = [(METAL, METAL) for duty in work.duties if duty.kind in wanted]
        return [*_by_another(work, work.bands), *metals]
    steps = [step for on_site in work.steps.values() for step in on_site]
    staying = {step.worn for step in steps if step.stays}
    on = [(kinds_for(work.form, step.word)[0], step.word) for step in steps if step.worn is None]
    return [*on, *_by_another(work, [band for band in work.bands if band.band in staying])]


def _by_another(work: BirdWork, bands: Iterable[Worn]) -> list[tuple[str, str]]:
    """What takes the place of the bands that gave out, each once."""
    out = {duty.subject for duty in work.duties if duty.kind in BY_ANOTHER}
    return [(_LIKE.get(band.kind, band.kind), band.word) for band in bands if f"band {band.band}" in out]


def _size(work: BirdWork, kind: str, sizes: Mapping[tuple[str, str], str]) -> str:
    if work.size and kind != TIE:
        return work.size
    own = [band.size for band in work.bands if band.kind == kind and band.size]
    return own[0] if own else sizes.get((work.species, kind), "")


def _held(held: Mapping[tuple[str, str, str], int], kind: str, word: str, size: str) -> int:
    return sum(
        amount
        for (of, in_, label), amount in held.items()
        if (of, in_) == (kind, word) and serves(kind, label, size)
    )


def _tools(work: Sequence[BirdWork], bands: Sequence[BandsToTake]) -> Iterable[Tool]:
    yield Tool("Cloth bag or hood, one a bird")
    yield Tool("Scale")
    yield Tool("Nail clippers and file")
    yield Tool("Eye protection, where bills are long or hooked")
    if bands:
        yield Tool("Leg gauge: measure where the band will sit", _names(bands))
    for size in sorted({one.size for one in bands if one.kind == METAL}):
        own = [one for one in bands if one.kind == METAL and one.size == size]
        yield Tool(f"Closing pliers for metal{f' of size {size}' if size else ''}", _names(own))
    for size in sorted({one.size for one in bands if one.kind == "colour"}):
        own = [one for one in bands if one.kind == "colour" and one.size == size]
        yield Tool(f"Applicator for colour bands{f' of size {size}' if size else ''}", _names(own))
    off = tuple(one.name for one in work if _comes_off(one))
    if off:
        yield Tool("Tool to open or cut a band, and a box for those taken off", off)
    for what, kinds in _FOR:
        birds = tuple(one.name for one in work if any(duty.kind in kinds for duty in one.duties))
        if birds:
            yield Tool(what, birds)


_FOR: Final = (
    ("Moult tie, one a bird: known by it while its band is off", frozenset({"wing band off"})),
    ("Its wing band, to go back on", frozenset({"wing band back on"})),
    ("Tubes, labels and a pen for samples", frozenset({"sex sample"})),
    ("Transponder with its reader, or a camera for natural marks", frozenset({"another way to know it"})),
    ("The vet", frozenset({"band tight"})),
)


def _comes_off(work: BirdWork) -> bool:
    if any(duty.kind in COMES_OFF for duty in work.duties):
        return True
    steps = (step for on_site in (work.steps or {}).values() for step in on_site)
    return any(step.worn is not None and not step.stays for step in steps)


def _names(bands: Iterable[BandsToTake]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for one in bands for name in one.birds))
