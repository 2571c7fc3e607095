"""Where a reading and a bird's marks part company, in words.

Which band is missing, which was read as another, or whether left and right were swapped; said beside a
name that is likely although it does not fit. `shared/misfit.js` is the twin of this module on the phone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tarsus.core.marks.marks import NOT_MADE_OUT, OPEN_END, Bands, Marks, Reading
from tarsus.core.readings.worn_as_read import fits, site_fits
from tarsus.core.words.numbers import capital, in_a_row


@dataclass(frozen=True, slots=True)
class Misfit:
    """What went wrong if the reading is of that bird: a sentence, and one to follow *if it is Sedge*."""

    say: str
    if_so: str


@dataclass(frozen=True, slots=True)
class _Faults:
    """Bands worn and not read, read and not worn, further ones not made out; sites read in another order."""

    gone: tuple[str, ...]
    extra: tuple[str, ...]
    further: int
    turned: int

    @property
    def number(self) -> int:
        return max(len(self.gone), len(self.extra) + self.further) + self.turned


def misfit(reading: Reading, marks: Marks) -> Misfit | None:
    """Say what of a bird's marks does not go with a reading, or None where all does.

    Left and right count as swapped where that leaves nothing to explain, or two bands fewer at least
    than the sides as read.
    """
    if fits(reading, marks):
        return None
    straight, mirrored = _faults(reading, marks), _faults(reading, marks.mirrored())
    if mirrored.number and mirrored.number + 1 >= straight.number:
        said, if_so = _said(straight)
        return Misfit(capital(said), if_so)
    mixed = f"the {_limbs(reading)} were swapped"
    if not mirrored.number:
        return Misfit(f"Then {mixed}.", f"{mixed}.")
    said, if_so = _said(mirrored)
    return Misfit(f"Then {mixed}, and {said}", f"{mixed}, and {if_so}")


def _limbs(reading: Reading) -> str:
    return "wings" if all(site.endswith("wing") for site, _ in reading.sites) else "legs"


def _faults(reading: Reading, marks: Marks) -> _Faults:
    gone: list[str] = []
    extra: list[str] = []
    further = turned = 0
    for site, read in reading.sites:
        worn = marks.at(site)
        if site_fits(read, worn):
            continue
        hidden = len(worn) if OPEN_END in read else read.count(NOT_MADE_OUT)
        lacking = _without(worn, read)
        lacking = lacking[: max(0, len(lacking) - hidden)]
        made_out = [band for band in read if band not in (NOT_MADE_OUT, OPEN_END)]
        more = _without(made_out, worn)
        over = max(0, len(read) - read.count(OPEN_END) - len(worn) - len(more))
        gone += lacking
        extra += more
        further += over
        turned += not (lacking or more or over)
    return _Faults(tuple(gone), tuple(extra), further, turned)


def _without(bands: Sequence[str], others: Bands) -> list[str]:
    """Bands that have no fellow among the others."""
    left, alone = list(others), []
    for band in bands:
        if band in left:
            left.remove(band)
        else:
            alone.append(band)
    return alone


def _said(faults: _Faults) -> tuple[str, str]:
    gone, extra = faults.gone, faults.extra
    its, several = f"its {in_a_row(gone)}", len(gone) > 1
    if gone and not extra:
        verb = "are" if several else "is"
        return f"{its} {verb} missing: lost, or overlooked.", f"{its} {verb} lost or misread."
    if gone and len(gone) == len(extra):
        both = f"{its} {'were' if several else 'was'} read as {in_a_row(extra)}."
    elif extra:
        both = f"its record has no {in_a_row(extra)} there."
    elif faults.further:
        both = "its record has no further band there."
    else:
        both = "the order was swapped."
    return both, both
