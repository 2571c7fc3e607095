"""Marks told to people: in words, and in the park's letters. `notation` reads both back."""

from __future__ import annotations

from tarsus.core.marks.lettering import WADER, Lettering
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.noted import Level, NotedBand, NotedMarks
from tarsus.core.marks.sites import SITES


def noted(marks: Marks) -> NotedMarks:
    """Marks with nothing noted beside the bands."""
    return NotedMarks.of({site: [NotedBand(band) for band in bands] for site, bands in marks.sites})


def in_words(marks: NotedMarks | Marks, level: Level = "leg") -> str:
    """Marks in words: *metal on the left, yellow over green on the right*.

    Args:
        marks: what to tell; a site that is not in it is not told of.
        level: where this species is banded, so that *left* needs no further word.

    Returns:
        Text that `parse_marks` reads back, with the same level, to the same marks; "" if there is nothing to
        tell.
    """
    told = noted(marks) if isinstance(marks, Marks) else marks
    return ", ".join(f"{_stack(bands)} on the {_site(site, level)}" for site, bands in told.sites)


def _site(site: str, level: Level) -> str:
    side, part = site.split()
    if part == level:
        return side
    return f"{side} tarsus" if part == "leg" else site


def _stack(bands: tuple[NotedBand, ...]) -> str:
    return " over ".join(band.band + _notes(band) for band in bands) or "bare"


def _notes(band: NotedBand) -> str:
    flags = {"tie": band.tie, "temporary": band.temporary, "closed": band.closed}
    said = [band.engraving, *(word for word, is_so in flags.items() if is_so), band.condition]
    notes = ", ".join(note for note in said if note)
    return f"({notes})" if notes else ""


def in_letters(
    marks: NotedMarks | Marks, lettering: Lettering = WADER, level: Level = "leg", *, all_told: bool = True
) -> str:
    """Marks in the park's letters: `m/YG`.

    Args:
        marks: what to tell.
        lettering: the park's letters; where a colour has none, its whole stack is written in words.
        level: where this species is banded; the short form tells of its two sites.
        all_told: a site that is missing is bare (marks); where false it was not seen (a reading).

    Returns:
        `left/right` where all is at one level, otherwise each site by name: `left wing: YG; left tarsus: m`.
    """
    told = noted(marks) if isinstance(marks, Marks) else marks
    here = (f"left {level}", f"right {level}")
    if any(site not in here and (bands or not all_told) for site, bands in told.sites):
        sites = [(site, told.at(site)) for site in SITES]
        return "; ".join(
            f"{_site(site, level)}: {_letters(bands, lettering)}"
            for site, bands in sites
            if bands is not None
        )
    missing = () if all_told else None
    stacks = (told.at(site) if told.at(site) is not None else missing for site in here)
    short = [_letters(bands, lettering) for bands in stacks]
    if all(stack.startswith(side) and len(stack) > 1 for stack, side in zip(short, "LR", strict=True)):
        # `Lm/RYG` would look like the sides' own letters.
        return f"left: {short[0]}; right: {short[1]}"
    return "/".join(short)


def _letters(bands: tuple[NotedBand, ...] | None, lettering: Lettering) -> str:
    if bands is None:
        return "unseen"
    if not bands:
        return "-"
    letters = [lettering.letter_of.get(band.band, "") for band in bands]
    if not all(letters):
        # A lone R between words might be *right*.
        return _stack(bands)
    return "".join(letter + _notes(band) for letter, band in zip(letters, bands, strict=True))
