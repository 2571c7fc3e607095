"""The form of birds that come together: as many birds as there are, each with the bands that it wears."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django import forms
from django.utils import timezone

from tarsus.core.deeds.fields import Kind
from tarsus.core.deeds.register import DEEDS
from tarsus.core.marks.marks import METAL
from tarsus.queries.named_rows import choices_of
from tarsus.tables.bird_lines import BirdLine
from tarsus.web.page_form import PageForm

DEED: Final = DEEDS["birds_come"]
MOST_BIRDS: Final = 60
MOST_BANDS: Final = 12
_PARTS: Final = {part.name: part for part in DEED.field("newcomers").parts}
_WORN: Final = {part.name: part for part in _PARTS["worn"].parts}


def _day_box() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


def _said(part: Any, empty: str) -> list[tuple[str, str]]:
    return [("", empty), *part.choices]


class ShipmentForm(PageForm):
    """What all birds of a shipment have in common."""

    came_from = forms.CharField(label="From", max_length=120)
    exhibit = forms.ChoiceField(label="Live in first")
    on = forms.DateField(label="When", widget=_day_box(), initial=timezone.localdate)
    papers = forms.CharField(label="Papers", max_length=120, required=False)
    on_loan = forms.BooleanField(label="On loan", required=False)

    def __init__(self, *args: Any, quarantine: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offered = choices_of(Kind.EXHIBIT)
        first = sorted(offered, key=lambda one: one[1] != quarantine)
        self.fields["exhibit"].choices = [(str(key), name) for key, name in first]  # type: ignore[attr-defined]  # a choice field


class BirdForm(PageForm):
    """One bird of a shipment."""

    house_name = forms.CharField(label="Name", max_length=60, required=False)
    species = forms.ChoiceField(label="Species")
    number = forms.CharField(label="The park's own number", max_length=40, required=False)
    sex = forms.ChoiceField(label="Sex", choices=_PARTS["sex"].choices, initial="U")
    known_by = forms.ChoiceField(
        label="How its sex is known", choices=_said(_PARTS["known_by"], "told on arrival"), required=False
    )
    hatched_on = forms.DateField(label="Hatched", widget=_day_box(), required=False)
    hatched_precision = forms.ChoiceField(
        label="How closely that is known",
        choices=_said(_PARTS["hatched_precision"], "to the day"),
        required=False,
    )
    origin = forms.ChoiceField(label="Origin", choices=_said(_PARTS["origin"], "not said"), required=False)
    owner = forms.CharField(label="Owned by, if not by this park", max_length=120, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offered = [(str(key), name) for key, name in choices_of(Kind.SPECIES)]
        self.fields["species"].choices = [("", "choose"), *offered]  # type: ignore[attr-defined]  # a choice field


class BandForm(PageForm):
    """One band as a newcomer wears it; a line without a side is none."""

    site = forms.ChoiceField(label="Side", choices=_said(_WORN["site"], "no band"), required=False)
    kind = forms.ChoiceField(label="Kind", choices=_WORN["kind"].choices, initial="metal", required=False)
    colour = forms.ChoiceField(label="Colour", required=False)
    engraving = forms.CharField(label="Engraving", max_length=30, required=False)
    certified = forms.BooleanField(label="Certified", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["colour"].choices = [("", "none"), *choices_of(Kind.COLOUR)]  # type: ignore[attr-defined]  # a choice field


def bird_of_line(line: BirdLine, species: Mapping[str, str]) -> dict[str, Any]:
    """One line of a sheet as the form says it: the bird's own fields, and ``worn``.

    Args:
        line: as the sheet was read.
        species: their numbers by name.
    """
    hatched = line.hatched
    worn = [
        {
            "site": site,
            "kind": _kind(site, metal=band.band == METAL, tie=band.tie, closed=band.closed),
            "colour": "" if band.band == METAL else band.band,
            "engraving": band.engraving,
        }
        for site, bands in line.marks.sites
        for band in bands
    ]
    return {
        "house_name": line.name,
        "species": species.get(line.species.name, ""),
        "number": line.number,
        "sex": line.sex,
        "known_by": "" if line.sex_known_by == "not said" else line.sex_known_by,
        "hatched_on": hatched.day if hatched else None,
        "hatched_precision": hatched.precision if hatched else "",
        "origin": "" if line.origin == "unknown" else line.origin,
        "owner": line.owner,
        "worn": worn,
    }


def _kind(site: str, *, metal: bool, tie: bool, closed: bool) -> str:
    if metal:
        return "closed" if closed else "metal"
    if tie:
        return "cable tie"
    return "wing" if site.endswith("wing") else "colour"
