"""Settings: species, the vet's limits, and how a species is marked."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from tarsus.core.words.rule_said import rule_said
from tarsus.queries.settings_page import (
    NoSuchRow,
    RuleListed,
    colours_listed,
    lookalikes_known,
    rules_of,
    species_listed,
    species_values,
)
from tarsus.web.access import VIEWER, may, may_do, may_tell
from tarsus.web.rule_form import RuleForm, rule_initial
from tarsus.web.settings_forms import LimitsForm, SpeciesForm
from tarsus.web.settings_park import shown
from tarsus.web.telling import told


def _known(species_id: int) -> dict[str, Any]:
    try:
        return species_values(species_id)
    except NoSuchRow as refusal:
        raise Http404(str(refusal)) from None


@may(VIEWER)
def species_list(request: HttpRequest) -> HttpResponse:
    """Every species of this park."""
    shown_there = {
        "species": species_listed(),
        "may_set": may_do(request.user, "species_saved"),
        "may_limit": may_do(request.user, "limits_set"),
    }
    return render(request, "web/settings_species.html", shown_there)


@may_tell("species_saved")
def species(request: HttpRequest, species_id: int | None = None) -> HttpResponse:
    """One species, new or as it is."""
    now = _known(species_id) if species_id else {}
    names = tuple(colour.name for colour in colours_listed())
    form = SpeciesForm(request.POST or None, initial=now, colours=names, groups=lookalikes_known())
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        which = {"species": species_id} if species_id else {}
        if told(request, form, "species_saved", {**which, **values}):
            messages.success(request, f"{values['name']} is saved.")
            return redirect("settings-species")
    title = now.get("name", "A new species")
    caution = (
        "Which sites and bands a species may wear is for the banding authority's list, the vet and local law "
        "to say. Two metal bands never sit on one leg."
    )
    return shown(request, form, title, "settings-species", caution)


@may_tell("limits_set")
def limits(request: HttpRequest, species_id: int) -> HttpResponse:
    """What the vet says of one species."""
    now = _known(species_id)
    form = LimitsForm(request.POST or None, initial=now)
    sent = request.method == "POST" and form.is_valid()
    if sent and told(request, form, "limits_set", {"species": species_id, **form.cleaned_data}):
        messages.success(request, f"Limits of {now['name']} are saved.")
        return redirect("settings-species")
    return shown(request, form, f"{now['name']}: limits", "settings-species")


@may_tell("rule_set")
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
    form = RuleForm(request.POST or None, initial=initial, sites=now["sites"], shape=now["form"])
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        rule_told = {
            "species": species_id,
            "from_on": said["from_on"],
            "metal": form.metal(),
            "colours": form.colours(),
            "repeat_on_a_site": said["repeat_on_a_site"],
            "mates_match": said["mates_match"],
        }
        if told(request, form, "rule_set", rule_told):
            messages.success(request, f"How {now['name']} is marked from {said['from_on']} on is saved.")
            return redirect("settings-species")
    shown_there = {"form": form, "species": now, "rules": [(rule, _said(rule)) for rule in rules]}
    return render(
        request, "web/settings_rule.html", shown_there, status=422 if request.method == "POST" else 200
    )


def _said(rule: RuleListed) -> list[str]:
    """How a rule marks birds, a sentence a sex."""
    return [rule_said(sex, site, rule.colours.get(sex, {})) for sex, site in rule.metal.items()]
