"""The form of a species' rule: where the metal goes and how many colours go where, by sex."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, Final

from django import forms
from django.forms.boundfield import BoundField

from tarsus.core.marks.sites import SITES
from tarsus.web.page_form import PageForm

SEXES: Final = (("F", "females"), ("M", "males"), ("U", "unsexed birds"))


class RuleForm(PageForm):
    """One rule; its fields follow the sites that the species allows."""

    from_on = forms.DateField(
        label="From the day", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    repeat_on_a_site = forms.BooleanField(label="One colour may stand twice on a site", required=False)
    mates_match = forms.BooleanField(label="Mates wear the same colours on opposite sides", required=False)

    def __init__(self, *args: Any, sites: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sites = tuple(site for site in SITES if site in sites) or SITES
        for sex, _ in SEXES:
            self.fields[f"metal_{sex}"] = forms.ChoiceField(
                label="Metal",
                choices=[("", "none"), *((s, s) for s in self.sites)],
                required=False,
            )
            for at, site in enumerate(self.sites):
                self.fields[f"colours_{sex}_{at}"] = forms.IntegerField(
                    label=f"{site}: colours", min_value=0, max_value=4, required=False
                )

    def rows(self) -> list[tuple[str, list[BoundField]]]:
        """The fields of each sex, under its words."""
        return [
            (words, [self[f"metal_{sex}"], *(self[f"colours_{sex}_{at}"] for at in range(len(self.sites)))])
            for sex, words in SEXES
        ]

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
