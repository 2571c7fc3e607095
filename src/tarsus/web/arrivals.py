"""Birds that come: the shipment, what each wears, and the fewest changes before they join their flock."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time
from typing import Any, Final
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from tarsus.actions.facts import AT_A_FORM, KNOWN, REFUSED, hear_facts
from tarsus.actions.imports import planned
from tarsus.core.care.cautions import FIT_BAND, HYGIENE, caution
from tarsus.core.deeds.fields import Kind
from tarsus.core.errors import MalformedInput
from tarsus.core.words.numbers import counted
from tarsus.queries.joining import joinings, shipments
from tarsus.queries.named_rows import choices_of
from tarsus.queries.once import asking
from tarsus.queries.quarantine import park_has_quarantine
from tarsus.web.access import KEEPER, RECORDS, may, may_do, may_tell, person_id
from tarsus.web.arrival_form import MOST_BANDS, MOST_BIRDS, BandForm, BirdForm, ShipmentForm, bird_of_line
from tarsus.web.import_draft import Draft
from tarsus.web.telling import refusal_of

BANDS_ASKED: Final = 3
"""Lines for bands that a new bird begins with."""


@dataclass(frozen=True, slots=True)
class BirdAsked:
    """One bird on the form with its bands."""

    number: int
    bird: BirdForm
    bands: list[BandForm]


@may(KEEPER, RECORDS)
@require_GET
def arrivals(request: HttpRequest) -> HttpResponse:
    """Shipments of the last weeks, newcomers, and the fewest changes that keep every two apart."""
    told = {
        "shipments": shipments(timezone.now()),
        "joinings": [
            (one, [(change, json.dumps(change.given.marks)) for change in one.changes])
            for one in joinings(timezone.now())
        ],
        "may_write": may_do(request.user, "birds_come"),
        "may_keep": may_do(request.user, "marks_kept"),
        "caution": caution(FIT_BAND),
    }
    return render(request, "web/arrivals.html", told)


@may_tell("birds_come")
def new(request: HttpRequest) -> HttpResponse:
    """Write down birds that come together, one or many."""
    if request.method != "POST":
        return _page(request, _shipment(None), [_asked(None, 0, BANDS_ASKED)], uuid4())
    with asking():  # all lines of the form offer the same species and colours; nothing is written yet
        shipment = _shipment(request.POST)
        count = _birds_of(request.POST)
        birds = [_asked(request.POST, at, _bands_of(request.POST, at)) for at in range(count)]
    deed_id = _deed_id(request.POST.get("deed_id", ""))
    if "more-birds" in request.POST and len(birds) < MOST_BIRDS:
        return _page(request, shipment, [*birds, _asked(None, len(birds), BANDS_ASKED)], deed_id)
    wider = request.POST.get("more-bands", "")
    if wider.isdecimal() and int(wider) < len(birds):
        at = int(wider)
        more = [*birds[at].bands, BandForm(prefix=f"b{at}-{len(birds[at].bands)}")]
        birds[at] = replace(birds[at], bands=more[:MOST_BANDS])
        return _page(request, shipment, birds, deed_id)
    valid = [shipment.is_valid(), *(one.bird.is_valid() for one in birds)]
    valid += [band.is_valid() for one in birds for band in one.bands]
    if all(valid) and _told(request, shipment, birds, deed_id):
        return redirect("arrivals")
    return _page(request, shipment, birds, deed_id)


@may_tell("birds_come")
@require_POST
def sheet(request: HttpRequest) -> HttpResponse:
    """Read a sheet of birds into the form: every line is looked at before anything is written."""
    file = request.FILES.get("file")
    try:
        if file is None or not file.name:
            raise MalformedInput("", "no file was chosen; choose the sheet of the birds that come")
        draft = Draft.of(file.name, file.read(), None)
        table, columns = draft.table()
        choices = replace(draft.choices, letters=request.POST.get("letters", "park"), exhibit="Newcomers")
        plan = planned(table, columns, choices)
    except MalformedInput as reason:
        messages.error(request, f"{reason}.")
        return redirect("birds-come")
    for refused in plan.refused:
        messages.error(request, f"{refused}.")
    species = {name: str(key) for key, name in choices_of(Kind.SPECIES)}
    lines = [bird_of_line(bird, species) for bird in plan.birds[:MOST_BIRDS]]
    if not lines:
        messages.error(request, f"{file.name}: no line of it is a bird that can be written down.")
        return redirect("birds-come")
    messages.success(
        request, f"{file.name}: {len(lines)} read, nothing written yet. Look at each, then save."
    )
    with asking():
        asked = [_of_line(at, line) for at, line in enumerate(lines)]
    came = next((bird.came_from for bird in plan.birds if bird.came_from), "")
    return _page(request, _shipment(None, came), asked, uuid4())


def _of_line(at: int, line: dict[str, Any]) -> BirdAsked:
    """A line of a sheet on the form, with an empty band after those it wears."""
    bands = [*line["worn"][:MOST_BANDS], {}]
    return BirdAsked(
        at,
        BirdForm(prefix=f"b{at}", initial=line),
        [BandForm(prefix=f"b{at}-{place}", initial=band) for place, band in enumerate(bands)],
    )


def _page(
    request: HttpRequest, shipment: ShipmentForm, birds: Sequence[BirdAsked], deed_id: UUID
) -> HttpResponse:
    forms = [shipment, *(form for one in birds for form in (one.bird, *one.bands))]
    wrong = [one for form in forms if form.is_bound for one in form.refusals()]
    asked_more = "more-birds" in request.POST or "more-bands" in request.POST
    told = {
        "shipment": shipment,
        "birds": birds,
        "deed_id": deed_id,
        "caution": caution(HYGIENE),
        "most": len(birds) >= MOST_BIRDS,
        "refused": [] if asked_more else wrong,
    }
    return render(request, "web/birds_come.html", told, status=422 if told["refused"] else 200)


def _shipment(said: Mapping[str, Any] | None, came_from: str = "") -> ShipmentForm:
    return ShipmentForm(said, quarantine=park_has_quarantine(), initial={"came_from": came_from})


def _asked(said: Mapping[str, Any] | None, at: int, bands: int) -> BirdAsked:
    lines = [BandForm(said, prefix=f"b{at}-{place}") for place in range(bands)]
    return BirdAsked(at, BirdForm(said, prefix=f"b{at}"), lines)


def _birds_of(said: Mapping[str, Any]) -> int:
    """How many birds the form shows: they are numbered without a gap."""
    return next(at for at in range(MOST_BIRDS + 1) if at == MOST_BIRDS or f"b{at}-sex" not in said)


def _bands_of(said: Mapping[str, Any], at: int) -> int:
    return next(n for n in range(MOST_BANDS + 1) if n == MOST_BANDS or f"b{at}-{n}-site" not in said)


def _deed_id(said: str) -> UUID:
    try:
        return UUID(said)
    except ValueError:
        return uuid4()


def _told(request: HttpRequest, shipment: ShipmentForm, birds: Sequence[BirdAsked], deed_id: UUID) -> bool:
    """Tell the shipment through the door; a refusal goes to the bird and the field it names."""
    person, said = person_id(request), shipment.cleaned_data
    today = said["on"] == timezone.localdate()
    at = timezone.now() if today else timezone.make_aware(datetime.combine(said["on"], time(12)))
    fact = {
        "id": str(deed_id),
        "kind": "birds_come",
        "at": at.isoformat(),
        "by": person,
        "came_from": said["came_from"],
        "exhibit": int(said["exhibit"]),
        "on_loan": said["on_loan"],
        "papers": said["papers"],
        "newcomers": [_newcomer(one) for one in birds],
    }
    (answer,) = hear_facts(facts=[fact], clock=None, device=AT_A_FORM, speaker=person)
    if answer.outcome == KNOWN or answer.place == "id":
        messages.warning(
            request,
            "This form was saved before; what was changed since is not written. Look at the shipment "
            "below, and record anew what is missing.",
        )
        return True
    if answer.outcome == REFUSED:
        _refuse(shipment, birds, answer.place, refusal_of(answer))
        return False
    number = len(birds)
    messages.success(request, f"{number} {counted('bird', number)} from {said['came_from']} saved.")
    for sentence in answer.said:
        messages.warning(request, sentence[:1].upper() + sentence[1:] + ".")
    return True


def _newcomer(one: BirdAsked) -> dict[str, Any]:
    said = {key: value for key, value in one.bird.cleaned_data.items() if value not in ("", None)}
    said["species"] = int(said["species"])
    if "hatched_on" in said:
        said["hatched_on"] = said["hatched_on"].isoformat()
    worn = [band.cleaned_data for band in one.bands if band.cleaned_data.get("site")]
    said["worn"] = [{key: value for key, value in band.items() if value not in ("", None)} for band in worn]
    return said


def _refuse(shipment: ShipmentForm, birds: Sequence[BirdAsked], place: str, sentence: str) -> None:
    """Write a refusal to the bird and field it names, such as ``newcomers[1].engraving``."""
    head, _, field = place.partition("].")
    at = head.removeprefix("newcomers[")
    if head == place or not at.isdecimal() or int(at) >= len(birds):
        shipment.add_error(place if place in shipment.fields else None, sentence)
        return
    bird = birds[int(at)].bird
    bird.add_error(field if field in bird.fields else None, sentence)
