"""The plan of an exhibit: where its missing birds may be and in which order to look; and how it is set."""

from __future__ import annotations

import json
from base64 import b64encode
from typing import Any, Final

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from tarsus.core.deeds.plans import LARGEST_PICTURE
from tarsus.core.presence.outline import SHAPES
from tarsus.paper.exhibit_plan import exhibit_plan
from tarsus.queries.exhibit_page import NoSuchExhibit, exhibit_named
from tarsus.queries.exhibit_plan import places_of, plan_as_said, plan_page
from tarsus.queries.plan_paper import plan_paper_of
from tarsus.web.access import VIEWER, may, may_do, may_tell
from tarsus.web.page_form import PageForm
from tarsus.web.papers import paper
from tarsus.web.telling import told

_MOST_BYTES: Final = LARGEST_PICTURE * 3 // 4


@may(VIEWER)
def plan(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """The plan of an exhibit with the walk to its missing birds, or to one of them."""
    said = request.GET.get("bird", "")
    bird = int(said) if said.isdecimal() and len(said) < 19 else None
    try:
        page = plan_page(exhibit_id, timezone.now(), bird)
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None
    shown = {
        "page": page,
        "bird": bird if any(one.portrait.bird_id == bird for one in page.search.missing) else None,
        "drawn": page.drawn() if page.plan else None,
        "may_set": may_do(request.user, "exhibit_plan_set"),
        "may_call": may_do(request.user, "round_started"),
    }
    return render(request, "web/exhibit_plan.html", shown)


@may(VIEWER)
def on_paper(_request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """The plan as a PDF: pins in the order to look, and boxes to tick."""
    try:
        asked = plan_paper_of(exhibit_id, timezone.now())
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None
    if asked is None:
        raise Http404("no plan of this exhibit is drawn yet; open the exhibit and draw one")
    return paper(exhibit_plan(**asked), f"plan-{exhibit_id}.pdf")


class PlanForm(PageForm):
    """What the page that sets a plan sends; the pins have fields of their own, three a place."""

    width_m = forms.FloatField(
        label="Width of the plan in metres", help_text="Left edge to right edge; paced out will do."
    )
    metres_a_minute = forms.FloatField(
        label="Walking pace, metres a minute", help_text="40, a slow walk, is common practice."
    )
    picture = forms.FileField(
        label="A photograph or drawing",
        required=False,
        help_text="PNG or JPEG; nothing but the picture is kept.",
    )
    without_picture = forms.BooleanField(label="Without the picture", required=False)
    tall = forms.FloatField(widget=forms.HiddenInput)
    entrance_x = forms.FloatField(widget=forms.HiddenInput, required=False)
    entrance_y = forms.FloatField(widget=forms.HiddenInput, required=False)
    shapes = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, places: dict[int, str], *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.places = places
        for place, name in places.items():
            self.fields[f"x_{place}"] = forms.FloatField(widget=forms.HiddenInput, required=False)
            self.fields[f"y_{place}"] = forms.FloatField(widget=forms.HiddenInput, required=False)
            self.fields[f"minutes_{place}"] = forms.FloatField(
                label=f"Minutes to look over {name}",
                required=False,
                widget=forms.NumberInput(attrs={"step": "0.5", "inputmode": "decimal"}),
            )

    def rows(self) -> list[tuple[int, str, forms.BoundField, forms.BoundField, forms.BoundField]]:
        """The places with their three fields."""
        return [
            (place, name, self[f"x_{place}"], self[f"y_{place}"], self[f"minutes_{place}"])
            for place, name in self.places.items()
        ]

    def pins(self) -> list[dict[str, Any]]:
        """The pins as the deed takes them; a place without a position has none."""
        said = self.cleaned_data
        return [
            {
                "place": place,
                "x": said[f"x_{place}"],
                "y": said[f"y_{place}"],
                "minutes": said[f"minutes_{place}"],
            }
            for place in self.places
            if said[f"x_{place}"] is not None and said[f"y_{place}"] is not None
        ]

    def clean_picture(self) -> str:
        """The picture in base64, empty where none was chosen."""
        chosen = self.cleaned_data["picture"]
        if not chosen:
            return ""
        if chosen.size > _MOST_BYTES:
            raise forms.ValidationError("The picture has more than 9 MB; make it smaller.")
        return b64encode(chosen.read()).decode()

    def clean_shapes(self) -> list[dict[str, Any]]:
        """What was drawn, as the page wrote it."""
        try:
            said = json.loads(self.cleaned_data["shapes"] or "[]")
        except ValueError:
            said = None
        if not isinstance(said, list):
            raise forms.ValidationError("What was drawn did not arrive whole; draw it again.")
        return said


@may_tell("exhibit_plan_set")
def edit(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """Set the plan of an exhibit: a picture or a drawing, its width, and a pin a place."""
    try:
        exhibit = exhibit_named(exhibit_id)
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None
    now, places = plan_as_said(exhibit_id), places_of(exhibit_id)
    form = PlanForm(places, request.POST or None, request.FILES or None, initial=_initial(now, places))
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        pins = form.pins()
        if not pins:
            form.add_error(None, "No place has a pin yet: choose a place, then tap the plan.")
        elif told(request, form, "exhibit_plan_set", _values(exhibit_id, said, pins)):
            messages.success(request, f"The plan of {exhibit} is saved.")
            return redirect("exhibit-plan", exhibit_id)
    shown = {
        "exhibit": exhibit,
        "exhibit_id": exhibit_id,
        "form": form,
        "shapes": SHAPES,
        "now": now | {"names": [[place, name] for place, name in places.items()], "exhibit": exhibit},
    }
    return render(
        request, "web/exhibit_plan_edit.html", shown, status=422 if request.method == "POST" else 200
    )


def _values(exhibit_id: int, said: dict[str, Any], pins: list[dict[str, Any]]) -> dict[str, Any]:
    own = ("width_m", "metres_a_minute", "tall", "entrance_x", "entrance_y", "shapes", "picture")
    return {
        "exhibit": exhibit_id,
        "pins": pins,
        "same_picture": not said["without_picture"],
        **{name: said[name] for name in own},
    }


def _initial(now: dict[str, Any], places: dict[int, str]) -> dict[str, Any]:
    x, y = now["entrance"] or (None, None)
    begins = {"entrance_x": x, "entrance_y": y, "shapes": json.dumps(now["shapes"])}
    pinned = {pin["place"]: pin for pin in now["pins"]}
    for place in places:
        pin = pinned.get(place, {})
        begins |= {f"{key}_{place}": pin.get(key) for key in ("x", "y")}
        begins[f"minutes_{place}"] = f"{pin.get('minutes', now['minutes']):g}"
    return begins | {key: f"{now[key]:g}" for key in ("width_m", "metres_a_minute", "tall")}
