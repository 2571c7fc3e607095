"""The form of a species' rule: where the metal goes and how many colours go where, by sex."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from django import forms
from django.forms.boundfield import BoundField

from tarsus.core.marks.marks import METAL, NOT_MADE_OUT
from tarsus.core.marks.sites import SITES
from tarsus.web.page_form import PageForm

SEXES: Final = (("F", "females"), ("M", "males"), ("U", "unsexed birds"))


MOST_DRAWN: Final = 4
"""So many colours on a site are drawn; no rule allows more."""


@dataclass(frozen=True, slots=True)
class RuleDrawn:
    """A bird marked by a rule: a band of any colour is drawn as one whose colour is open."""

    marks: dict[str, list[str]]
    form: str


class RuleForm(PageForm):
    """One rule; its fields follow the sites that the species allows."""

    from_on = forms.DateField(
        label="From the day", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    repeat_on_a_site = forms.BooleanField(label="One colour may stand twice on a site", required=False)
    mates_match = forms.BooleanField(label="Mates wear the same colours on opposite sides", required=False)

    def __init__(self, *args: Any, sites: Sequence[str] = (), shape: str = "legs", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shape = shape
        self.sites = tuple(site for site in SITES if site in sites) or SITES
        for sex, _ in SEXES:
            self.fields[f"metal_{sex}"] = forms.ChoiceField(
                label="Metal",
                choices=[("", "none"), *((s, s) for s in self.sites)],
                required=False,
            )
            for at, site in enumerate(self.sites):
                self.fields[f"colours_{sex}_{at}"] = forms.IntegerField(
                    label=f"{site}: colours",
                    min_value=0,
                    max_value=MOST_DRAWN,
                    required=False,
                    widget=forms.NumberInput(attrs={"data-site": site}),
                )

    def rows(self) -> list[tuple[str, list[BoundField], RuleDrawn]]:
        """The fields of each sex, under its words, and what they say drawn."""
        return [
            (
                words,
                [self[f"metal_{sex}"], *(self[f"colours_{sex}_{at}"] for at in range(len(self.sites)))],
                self._drawn(sex),
            )
            for sex, words in SEXES
        ]

    def _drawn(self, sex: str) -> RuleDrawn:
        marks = {}
        for at, site in enumerate(self.sites):
            number = str(self[f"colours_{sex}_{at}"].value() or 0)
            # Python reads no number of thousands of digits; one that is refused is drawn as none.
            colours = min(int(number), MOST_DRAWN) if number.isdecimal() and len(number) < 19 else 0
            metal = [METAL] if self[f"metal_{sex}"].value() == site else []
            marks[site] = [*metal, *([NOT_MADE_OUT] * colours)]
        return RuleDrawn(marks, self.shape)

    def metal(self) -> dict[str, str | None]:
        """Site of the metal by sex."""
        return {sex: self.cleaned_data[f"metal_{sex}"] or None for sex, _ in SEXES}

    def colours(self) -> dict[str, dict[str, int]]:
        """Number of colours by sex and site."""
        return {
            sex: {site: self.cleaned_data[f"colours_{sex}_{at}"] or 0 for at, site in enumerate(self.sites)}
            for sex, _ in SEXES
        }


def rule_initial(
    sites: Sequence[str],
    metal: Mapping[str, str | None],
    colours: Mapping[str, Mapping[str, int]],
    from_on: date,
    **more: bool,
) -> dict[str, Any]:
    """What the form starts from: the rule that stands now."""
    shown = tuple(site for site in SITES if site in sites) or SITES
    found: dict[str, Any] = {"from_on": from_on, **more}
    for sex, _ in SEXES:
        found[f"metal_{sex}"] = metal.get(sex) or ""
        for at, site in enumerate(shown):
            found[f"colours_{sex}_{at}"] = colours.get(sex, {}).get(site, 0)
    return found
