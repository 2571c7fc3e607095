"""The first hour of a new park: step by step to the first roll call; each may be skipped, and resumed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from tarsus.core.errors import MalformedInput
from tarsus.core.marks.first_rules import FirstRule, first_rules
from tarsus.core.marks.marks import METAL
from tarsus.queries.exhibit_page import exhibits_now
from tarsus.queries.new_park import STEPS, NewPark, most_wear, new_park
from tarsus.queries.settings_page import NoSuchRow, exhibits_listed, park_values, species_values
from tarsus.web.access import LEAD, RECORDS, may, may_tell
from tarsus.web.import_draft import keep_draft
from tarsus.web.import_pages import uploaded
from tarsus.web.page_form import PageForm
from tarsus.web.phone import joining
from tarsus.web.telling import refusal_of, tell, told

SKIPPED: Final = "new_park_skipped"
LEVEL: Final = {"legs": "leg", "tall": "tibia", "wings": "wing"}
WORDS: Final = {
    "bands": "Sides and letters",
    "exhibits": "Exhibits",
    "sheet": "Your birds",
    "rules": "How they are marked",
    "phone": "A phone, and the first roll",
}
SIDES: Final = {"left": ("left", "right"), "right": ("right", "left"), "none": ("", "")}
"""The side of the females' metal, and that of the males', by what is chosen."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """One drawing of a choice: whose it is, and what it wears."""

    who: str
    form: str
    marks: dict[str, list[str]]


@may_tell("park_set")
def overview(request: HttpRequest) -> HttpResponse:
    """On to the first step that is left."""
    return redirect(f"new-park-{new_park().following(_skipped(request))}")


@may_tell("park_set")
@require_POST
def skip(request: HttpRequest, step: str) -> HttpResponse:
    """Leave a step for later; Settings, and this page, lead back to it."""
    if step not in STEPS:
        raise Http404("no step is called so")
    request.session[SKIPPED] = [*_skipped(request) - {step}, step]
    return redirect("new-park")


class BandsForm(PageForm):
    """On which side the metal sits, and which letters colours have."""

    side = forms.ChoiceField(choices=[(side, side) for side in SIDES])
    letters = forms.ChoiceField(choices=[("published", ""), ("own", "")])


@may_tell("park_set")
def bands(request: HttpRequest) -> HttpResponse:
    """Where the metal sits by sex, and the letters of the colours."""
    form = BandsForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        female, male = SIDES[form.cleaned_data["side"]]
        sides = {"female_side": female, "male_side": male}
        if told(request, form, "park_set", sides) and told(request, form, "published_colours", {}):
            if form.cleaned_data["letters"] == "own":
                messages.success(request, "Change the letters that are others here, then go on.")
                return redirect("settings-colours")
            return _on(request, "bands")
    now = park_values()
    chosen = next((key for key, (side, _) in SIDES.items() if side == now["female_side"]), "left")
    shown = {"form": form, "ways": [(key, *way) for key, way in _ways().items()], "chosen": chosen}
    return _step(request, "bands", shown, refused=bool(form.errors))


def _ways() -> dict[str, tuple[str, tuple[Drawn, ...]]]:
    """Where the metal may sit, in words and drawn for a female and a male."""

    def pair(female: str, male: str) -> tuple[Drawn, ...]:
        return (
            Drawn("female", "legs", {f"{female} leg": [METAL]}),
            Drawn("male", "legs", {f"{male} leg": [METAL]}),
        )

    return {
        "left": ("Females left, males right", pair("left", "right")),
        "right": ("Females right, males left", pair("right", "left")),
        "none": ("The side does not tell the sex", pair("left", "left")),
    }


class ExhibitsForm(PageForm):
    """The names of the exhibits, one a line."""

    names = forms.CharField(
        label="Exhibits, one a line",
        widget=forms.Textarea(attrs={"rows": 4}),
        required=False,
        max_length=2000,
    )


@may_tell("exhibit_saved")
def exhibits(request: HttpRequest) -> HttpResponse:
    """Where rolls are called."""
    form = ExhibitsForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        names = [" ".join(line.split()) for line in form.cleaned_data["names"].splitlines()]
        named = list(dict.fromkeys(name for name in names if name))
        for order, name in enumerate(named):
            if not told(request, form, "exhibit_saved", _exhibit(name, order), {"name": "names"}):
                break
        else:
            return _on(request, "exhibits", later=not named)
    return _step(request, "exhibits", {"form": form, "known": exhibits_listed()}, refused=bool(form.errors))


def _exhibit(name: str, order: int) -> dict[str, Any]:
    return {"name": name, "purpose": "display", "order": order}


@may(LEAD, RECORDS)
def sheet(request: HttpRequest) -> HttpResponse:
    """The park's own list of birds: chosen here, looked at line by line on the import's own page."""
    refusal = ""
    if request.method == "POST":
        try:
            # Which letters the park writes in was asked a step ago.
            keep_draft(request, uploaded(request, letters="park"))
            return redirect("import-look")
        except MalformedInput as reason:
            refusal = str(reason)
    return _step(request, "sheet", {"refusal": refusal}, refused=bool(refusal))


@may_tell("rule_set")
def rules(request: HttpRequest, species_id: int | None = None) -> HttpResponse:
    """How a species is marked, drawn; those that have no rule yet come one after another."""
    now = new_park()
    which = species_id or (now.unruled[0][0] if now.unruled else None)
    if which is None:
        return _step(request, "rules", {"species": None, "birds": now.birds})
    try:
        species = species_values(which)
    except NoSuchRow as reason:
        raise Http404(str(reason)) from None
    offered = {rule.key: rule for rule in _offered(species)}
    refusal = ""
    if request.method == "POST":
        rule = offered.get(request.POST.get("rule", ""))
        refusal = _rule_refused(request, which, rule)
        if not refusal:
            messages.success(request, f"How {species['name']} is marked is saved.")
            return _on(request, "rules")
    ways = [(rule, _drawn(rule, species)) for rule in offered.values()]
    return _step(
        request,
        "rules",
        {"species": species, "ways": ways, "refusal": refusal, "left": len(now.unruled)},
        refused=bool(refusal),
    )


def _offered(species: dict[str, Any]) -> tuple[FirstRule, ...]:
    if species["form"] not in LEVEL:
        return ()
    worn = most_wear(species["name"], timezone.localdate())
    as_worn = None if worn is None else (worn.metal, worn.colours, worn.birds)
    return first_rules(LEVEL[species["form"]], park_values()["female_side"], as_worn)


def _drawn(rule: FirstRule, species: dict[str, Any]) -> list[Drawn]:
    never = frozenset(species["excluded"])
    shown = (("female", "F"), ("male", "M"), ("unsexed", "U"))
    return [Drawn(who, species["form"], rule.example(sex, never).as_mapping()) for who, sex in shown]


def _rule_refused(request: HttpRequest, species: int, rule: FirstRule | None) -> str:
    """Set the rule; answer why it was refused."""
    if rule is None:
        return "Choose one of the ways below, or skip this step."
    values = {
        "species": species,
        "from_on": timezone.localdate(),
        "metal": dict(rule.metal),
        "colours": {sex: dict(counts) for sex, counts in rule.colours.items()},
        "repeat_on_a_site": True,
        "mates_match": False,
    }
    answer = tell(request, "rule_set", values)
    return refusal_of(answer) if answer.outcome == "refused" else ""


@may_tell("park_set")
def phone(request: HttpRequest) -> HttpResponse:
    """A phone that joins, and the first roll to call."""
    rolls = [one for one in exhibits_now(timezone.now()) if one.on_roll]
    return _step(request, "phone", {"rolls": rolls, **joining(request)})


def _skipped(request: HttpRequest) -> frozenset[str]:
    return frozenset(request.session.get(SKIPPED, ()))


def _on(request: HttpRequest, step: str, *, later: bool = False) -> HttpResponse:
    """On to the next step; one that was answered is skipped no more."""
    kept = _skipped(request) - {step} | ({step} if later else set())
    request.session[SKIPPED] = sorted(kept)
    return redirect("new-park")


def _step(request: HttpRequest, step: str, more: dict[str, Any], *, refused: bool = False) -> HttpResponse:
    """One step's page, with the whole way beside it."""
    now = new_park()
    shown = {"step": step, "title": WORDS[step], "way": way_of(now, _skipped(request)), **more}
    return render(request, f"web/new_park_{step}.html", shown, status=422 if refused else 200)


def way_of(now: NewPark, skipped: frozenset[str]) -> list[tuple[str, str, str]]:
    """Each step with its words and how it stands: done, left for later, or empty."""
    return [
        (step, WORDS[step], "done" if now.done(step) else "left for later" if step in skipped else "")
        for step in STEPS
    ]
