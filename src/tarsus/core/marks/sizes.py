"""Which bands of the drawer a species can wear: their kind, and the size on the drawer's label."""

from __future__ import annotations

from typing import Final

from tarsus.core.marks.marks import METAL

TIE: Final = "cable tie"
ON_WINGS: Final = ("wing", "flipper")
ON_LEGS: Final = ("colour", TIE)


def serves(kind: str, size: str, wanted: str) -> bool:
    """Say whether a band is of the size that a species wears.

    Args:
        kind: of the band.
        size: as its drawer is labelled.
        wanted: the species' size, empty where the park has not said; then every size serves.

    Assumes:
        A cable tie is pulled to the leg and has sizes of its own (common practice).
    """
    return not wanted or kind == TIE or size.casefold() == wanted.casefold()


def kinds_for(form: str, word: str) -> tuple[str, ...]:
    """The kinds of band that a word of marks can be, by how the birds are told, the usual one first."""
    if word == METAL:
        return ("metal",)
    return ON_WINGS if form == "wings" else ON_LEGS


def named_band(kind: str, word: str) -> str:
    """A kind of band as it is ordered: *green*, *pink wing*, *metal*."""
    if word == METAL:
        return kind
    return word if kind == "colour" else f"{word} {kind}"
