"""The bands of one site, from the items between its name and the next."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from tarsus.core.marks.marks import METAL
from tarsus.core.marks.noted import MOST_BANDS, NotedBand, UnclearMarks
from tarsus.core.marks.shorthand import Item

_NOTES: Final = {
    **dict.fromkeys(("tie", "t", "temporary tie", "temp tie"), "tie"),
    **dict.fromkeys(("temporary", "temp"), "temporary"),
    **dict.fromkeys(("closed", "seamless"), "closed"),
    "worn": "worn",
    "faded": "faded",
}
_NO_ORDER: Final = "does not say which band is nearer the body"
_GONE: Final = ("lost", "missing", "gone", "fell off", "removed")
_ENGRAVING: Final = re.compile(r"[\w][\w ./-]{0,19}")


@dataclass
class _Site:
    """Bands read so far, and what still waits for its band."""

    bands: list[NotedBand] = field(default_factory=list)
    group_sizes: list[int] = field(default_factory=list)
    joints: list[str] = field(default_factory=list)
    waiting: list[Item] = field(default_factory=list)
    after_joint: bool = False


def bands_from(items: Sequence[Item], where: str) -> tuple[NotedBand, ...]:
    """Bands of one site from the body outward.

    Args:
        items: what stands there, in one meaning, without the site's name.
        where: the site as it was written, for the refusal.

    Raises:
        UnclearMarks: nothing stands there, an order that is not said, or a note that belongs to no band.
    """
    items = [item for item in items if item.kind != "filler"]
    if not items:
        raise UnclearMarks(where, "has no bands beside it", "write '-' where it is bare")
    if len(items) == 1 and items[0].kind == "bare":
        return ()
    site = _Site()
    for item in items:
        _TAKE.get(item.kind, _stray)(site, item)
    if site.waiting:
        _note_before_nothing(site)
    if site.after_joint:
        raise UnclearMarks(items[-1].text, "has no band after it", "write the band, or leave it out")
    if len(site.bands) > MOST_BANDS:
        reason = f"would be {len(site.bands)} bands on one site"
        raise UnclearMarks(" ".join(item.text for item in items), reason, f"write at most {MOST_BANDS}")
    return _in_order(site)


def _in_order(site: _Site) -> tuple[NotedBand, ...]:
    if "under" not in site.joints:
        return tuple(site.bands)
    if set(site.joints) != {"under"} or len(site.joints) != len(site.bands) - 1:
        raise UnclearMarks("under", "stands beside another order", "write 'over' between all bands of a side")
    return tuple(reversed(site.bands))


def _take_bands(site: _Site, item: Item) -> None:
    engraved = item.value[-1].removeprefix("#") if item.value[-1].startswith("#") else ""
    names = item.value[:-1] if engraved else item.value
    if site.waiting and (site.bands or len(names) > 1):
        note = site.waiting[0].text
        raise UnclearMarks(
            note, "may belong to either band", f"write it after its band, as in 'yellow({note})'"
        )
    site.bands += [NotedBand(name, engraved) for name in names]
    site.group_sizes.append(len(names))
    site.after_joint = False
    waiting, site.waiting = site.waiting, []
    for one in waiting:
        _note_last(site, one.text)


def _take_joint(site: _Site, item: Item) -> None:
    if not site.bands or site.after_joint:
        raise UnclearMarks(item.text, "has no band before it", "write the band, or leave it out")
    site.joints.append("under" if item.kind == "under" else "over")
    site.after_joint = True


def _take_and(_site: _Site, item: Item) -> None:
    raise UnclearMarks(item.text, _NO_ORDER, "write 'over', as in 'yellow over green'")


def _take_note(site: _Site, item: Item) -> None:
    if not item.text.startswith(("(", "[")):
        site.waiting.append(item)
        return
    for piece in re.split(r"[,;]", item.value[0]):
        _note_last(site, piece.strip())


def _take_tie(site: _Site, item: Item) -> None:
    if site.group_sizes and site.group_sizes[-1] > 1:
        raise UnclearMarks(item.text, "may belong to either band", "write it after its band, as in 'Y(tie)G'")
    _note_last(site, "tie")


def _take_engraving(site: _Site, item: Item) -> None:
    if not site.bands or site.bands[-1].band != METAL:
        raise UnclearMarks(
            item.text,
            "follows no metal band",
            "write an engraving behind its band in brackets, as in 'Y(A12)'",
        )
    _note_last(site, item.value[0])


def _stray(_site: _Site, item: Item) -> None:
    if item.kind == "bare":
        raise UnclearMarks(item.text, "stands beside a band", "write '-' only where a side is bare")
    if item.kind == "break":
        raise UnclearMarks(item.text, _NO_ORDER, "write 'over', as in 'yellow over green'")
    raise UnclearMarks(item.text, "has no sense here", "leave it out")


def _note_before_nothing(site: _Site) -> None:
    """A note that waited for a band and is the last word: it belongs to the only band there is."""
    note = site.waiting[0].text
    if len(site.bands) != 1:
        raise UnclearMarks(
            note, "may belong to either band", f"write it after its band, as in 'yellow({note})'"
        )
    for last in site.waiting:
        _note_last(site, last.text)


def _note_last(site: _Site, note: str) -> None:
    """Put a note or an engraving on the band that was read last."""
    if not site.bands or site.after_joint:
        raise UnclearMarks(note, "belongs to no band", "write the band's colour before it")
    band = site.bands[-1]
    meaning = _NOTES.get(note.casefold(), "")
    if note.casefold() in _GONE:
        raise UnclearMarks(note, "is not worn any more", "leave out a band that the bird has lost")
    if meaning == "tie":
        if band.band == METAL:
            raise UnclearMarks(note, "cannot be metal", "write the colour of the cable tie")
        site.bands[-1] = replace(band, tie=True, temporary=False)
    elif meaning == "temporary":
        # A cable tie is temporary by itself; a colour band that is to come off again is no tie.
        site.bands[-1] = replace(band, temporary=not band.tie)
    elif meaning == "closed":
        site.bands[-1] = replace(band, closed=True)
    elif meaning:
        site.bands[-1] = replace(band, condition=meaning)
    else:
        site.bands[-1] = replace(band, engraving=_engraving(note, band))


def _engraving(note: str, band: NotedBand) -> str:
    written = any(letter.isdigit() for letter in note) or note.isupper()
    if not (written and _ENGRAVING.fullmatch(note)):
        raise UnclearMarks(
            note,
            "is no note and no engraving",
            "notes are tie, closed, worn and faded; engravings have digits or capitals",
        )
    if band.engraving:
        raise UnclearMarks(note, f"is a second engraving beside {band.engraving}", "keep one of them")
    return " ".join(note.split())


_TAKE: Final = {
    "bands": _take_bands,
    "over": _take_joint,
    "under": _take_joint,
    "slash": _take_joint,
    "and": _take_and,
    "note": _take_note,
    "tie": _take_tie,
    "engraving": _take_engraving,
}
