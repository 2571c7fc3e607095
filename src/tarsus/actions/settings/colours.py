"""The palette: what colours the park's bands have, and which letter stands in each."""

from __future__ import annotations

import re
from typing import Final

from django.db import transaction

from tarsus.actions.known import known, known_person
from tarsus.actions.settings.rows import said, save_row
from tarsus.core.errors import WrongValue
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, OPEN_END
from tarsus.core.marks.palette import BUILT_IN, LETTERS
from tarsus.records.models import Band, Colour, Park

_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")


@transaction.atomic
def save_colour(
    *,
    by: int,
    name: str,
    hexed: str,
    letter: str,
    held: bool = True,
    colour_id: int | None = None,
    material: str = "",
    faded_hex: str = "",
    fades_in_years: float | None = None,
    order: int = 0,
) -> int:
    """Write a colour of the palette down, a new one or as it is now.

    Args:
        by: the person who writes.
        name: what readings call it.
        hexed: its sRGB when new, as ``#rrggbb``.
        letter: one letter, or two; no other band has it.
        held: the park has such bands or will have them.
        colour_id: the colour that is changed, `None` for a new one.
        material: what the bands are made of.
        faded_hex: its sRGB when it is old, empty where it is not known.
        fades_in_years: after so many years it looks like that.
        order: its place in the palette.

    Returns:
        The colour's id.

    Raises:
        Unknown: no such colour.
        WrongValue: a name or letter that is taken, a value that is no sRGB, a new name for one that is worn.
    """
    known_person(by)
    row = known(Colour, colour_id, "colour") if colour_id is not None else Colour()
    name = _free_name(said("name", name, "the colour's name").lower(), row)
    letter = _free_letter(letter.strip(), row)
    hexed, faded_hex = hexed.strip(), faded_hex.strip()
    for place, value in (("hexed", hexed), ("faded_hex", faded_hex)):
        if not _HEX.fullmatch(value) and (value or place == "hexed"):
            raise WrongValue(place, f"{value!r} is no sRGB colour; write it as '#c8102e'")
    if fades_in_years is not None and not fades_in_years > 0:
        raise WrongValue("fades_in_years", "write how many years, more than 0, or leave it empty")
    values = {
        "name": name,
        "hex": hexed.lower(),
        "letter": letter,
        "held": held,
        "material": material.strip(),
        "faded_hex": faded_hex.lower(),
        "fades_in_years": fades_in_years,
        "order": order,
    }
    return save_row(row, values, by)


@transaction.atomic
def take_published_colours(*, by: int) -> int:
    """Enter the built-in colours with the published letters, those that are not entered yet.

    Returns:
        How many were entered.
    """
    known_person(by)
    taken = set(Colour.objects.values_list("name", flat=True))
    letters = set(Colour.objects.values_list("letter", flat=True))
    wanted = [
        (at, name)
        for at, name in enumerate(BUILT_IN.names)
        if name not in taken and LETTERS[name] not in letters
    ]
    for at, name in wanted:
        save_colour(by=by, name=name, hexed=BUILT_IN.hex_of(name), letter=LETTERS[name], order=at)
    return len(wanted)


def _free_name(name: str, row: Colour) -> str:
    if name in (METAL, NOT_MADE_OUT, OPEN_END):
        raise WrongValue("name", f"{name!r} means something else in a reading; call the colour otherwise")
    if Colour.objects.filter(name=name).exclude(pk=row.pk).exists():
        raise WrongValue("name", f"{name} is in the palette already; change that one, or choose another name")
    if row.pk and row.name != name and Band.objects.filter(colour=row).exists():
        raise WrongValue("name", f"{row.name} is worn and read by that name; add a new colour instead")
    return name


def _free_letter(letter: str, row: Colour) -> str:
    if not 1 <= len(letter) <= 2 or not letter.isalnum():
        raise WrongValue("letter", f"{letter!r} cannot stand in a band; choose one letter, or two")
    other = Colour.objects.filter(letter=letter).exclude(pk=row.pk).first()
    if other is not None:
        raise WrongValue("letter", f"{letter} is the letter of {other.name}; choose another")
    if letter == (Park.objects.values_list("metal_letter", flat=True).first() or "m"):
        raise WrongValue("letter", f"{letter} is the letter of metal; choose another")
    return letter
