"""Runs of letters that may be an abbreviated colour, or a band a letter: they are asked, never guessed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from tarsus.core.marks.lettering import WADER, Lettering
from tarsus.core.marks.noted import UnclearMarks
from tarsus.core.marks.palette import Palette

_PROPOSED = 4


class UndecidedRun(UnclearMarks):
    """A run of letters that can be taken in two ways; the park has to say once which it means."""

    def __init__(self, run: str, proposals: Iterable[tuple[str, ...]]) -> None:
        self.run = run
        self.proposals = tuple(proposals)
        ways = " or ".join(" over ".join(bands) for bands in self.proposals)
        super().__init__(
            run, f"may be {ways}", f"say once which it is, such as {run}={self.proposals[-1][0]}"
        )


@dataclass(frozen=True)
class Runs:
    """What one file's runs of letters may be. Keys are in small letters.

    `said` holds what the park said of a run: its bands from the body outward, none where it is not to be
    read. `short` holds abbreviations of colours' names, `foreign` those of other languages than the file's,
    which count where a run is not all capitals. A run of more bands than `most` is asked too, and one with a
    small letter unless `small_letters` says that small ones stand for bands as well.
    """

    said: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    short: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    foreign: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    most: int = 2
    small_letters: bool = False

    def colours_of(self, run: str) -> tuple[str, ...]:
        """The colours that a run may abbreviate."""
        folded = run.casefold()
        foreign = () if run.isupper() else self.foreign.get(folded, ())
        return tuple(dict.fromkeys((*self.short.get(folded, ()), *foreign)))


def proposals(run: str, runs: Runs, lettering: Lettering, palette: Palette) -> tuple[tuple[str, ...], ...]:
    """The ways to take a run of letters that must be asked about; nothing where there is no doubt.

    Args:
        run: two letters or more, as written.
        runs: what is known of this file's runs.
        lettering: the letters of this file.
        palette: the park's colours.
    """
    if len(run) < 2 or not run.isalpha() or lettering.band_of.get(run) is not None:
        return ()
    letters = [bands for bands in lettering.spellings(run) if len(bands) > 1]
    short = [(colour,) for colour in runs.colours_of(run) if colour in palette.names]
    if short:
        known = {*palette.names, "metal"}
        likely = letters or [bands for bands in WADER.spellings(run) if known.issuperset(bands)]
        return tuple(dict.fromkeys([*likely, *short]))[:_PROPOSED]
    if not letters:
        return ()
    small = any(letter.islower() and letter not in lettering.band_of for letter in run[1:])
    many = any(len(bands) > runs.most for bands in letters)
    return tuple(letters[:_PROPOSED]) if many or (small and not runs.small_letters) else ()
