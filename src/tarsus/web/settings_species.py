"""Settings: species, the vet's limits, and how a species is marked."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from tarsus.actions.settings.species import save_species, set_limits, set_rule
from tarsus.queries.settings_page import (
    NoSuchRow,
    colours_listed,
    lookalikes_known,
    rules_of,
    species_listed,
    species_values,
)
from tarsus.web.access import LEAD, VET, VIEWER, may, passes, person_id
from tarsus.web.refusals import done
from tarsus.web.rule_form import RuleForm, rule_initial
from tarsus.web.settings_forms import LimitsForm, SpeciesForm
from tarsus.web.settings_park import shown


def _known(species_id: int) -> dict[str, Any]:
    try:
        return species_values(species_id)
    except NoSuchRow as refusal:
        raise Http404(str(refusal)) from None


@may(VIEWER)
def species_list(request: HttpRequest) -> HttpResponse:
    """Every species of this park."""
    told = {
        "species": species_listed(),
        "may_set": passes(request.user, LEAD),
        "may_limit": passes(request.user, VET),
    }
    return render(request, "web/settings_species.html", told)


@may(LEAD)
def species(request: HttpRequest, species_id: int | None = None) -> HttpResponse:
    """One species, new or as it is."""
    now = _known(species_id) if species_id else {}
    names = tuple(colour.name for colour in colours_listed())
    form = SpeciesForm(request.POST or None, initial=now, colours=names, groups=lookalikes_known())
    if request.method == "POST" and form.is_valid():
        by, values = person_id(request), dict(form.cleaned_data)
        excluded = values.pop("excluded")
        if done(form, lambda: save_species(by=by, values=values, excluded=excluded, species_id=species_id)):
            messages.success(request, f"{values['name']} is written down.")
            return redirect("settings-species")
    title = now.get("name", "A new species")
    caution = (
        "Which sites and bands a species may wear is for the banding authority's list, the vet and local law "
        "to say. Two metal bands never sit on one leg."
    )
    return shown(request, form, title, "settings-species", caution)


@may(VET)
def limits(request: HttpRequest, species_id: int) -> HttpResponse:
    """What the vet says of one species."""
    now = _known(species_id)
    form = LimitsForm(request.POST or None, initial=now)
    if request.method == "POST" and form.is_valid():
        by, values = person_id(request), form.cleaned_data
        if done(form, lambda: set_limits(by=by, species_id=species_id, values=values)):
            messages.success(request, f"Limits of {now['name']} are written down.")
            return redirect("settings-species")
    return shown(request, form, f"{now['name']}: limits", "settings-species")


@may(LEAD)
def rule(request: HttpRequest, species_id: int) -> HttpResponse:
    """How one species is marked from a day on."""
    now, rules = _known(species_id), rules_of(species_id)
    last = rules[0] if rules else None
    initial = rule_initial(
        now["sites"],
        last.metal if last else {},
        last.colours if last else {},
        timezone.localdate(),
        repeat_on_a_site=last.repeat_on_a_site if last else True,
        mates_match=last.mates_match if last else False,
    )
    form = RuleForm(request.POST or None, initial=initial, sites=now["sites"])
    if request.method == "POST" and form.is_valid():
        by, said = person_id(request), form.cleaned_data

        def deed() -> int:
            return set_rule(
                by=by,
                species_id=species_id,
                from_on=said["from_on"],
                metal=form.metal(),
                colours=form.colours(),
                repeat_on_a_site=said["repeat_on_a_site"],
                mates_match=said["mates_match"],
            )

        if done(form, deed):
            messages.success(
                request, f"How {now['name']} is marked from {said['from_on']} on is written down."
            )
            return redirect("settings-species")
    told = {"form": form, "species": now, "rules": rules}
    return render(request, "web/settings_rule.html", told, status=422 if request.method == "POST" else 200)
