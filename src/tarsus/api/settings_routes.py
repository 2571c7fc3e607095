"""What programs ask of the settings, of imports and of the installation, for whom the pages are.

They are changed as everything is: by telling the deed that the page of the same name tells.
"""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from ninja import Router

from tarsus.actions.safekeeping.soundness import soundness
from tarsus.api.access import EITHER, asker_of
from tarsus.api.paging import Asked, Page, RowId, page_of
from tarsus.api.routes import REFUSED
from tarsus.api.settings_schemas import (
    CheckedOut,
    ColoursOut,
    ColourWholeOut,
    DeviceOut,
    ExhibitSetOut,
    ImportOut,
    ListedOut,
    NewParkOut,
    ParkOut,
    PersonOut,
    SpeciesOut,
    WaitingRowOut,
)
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import ADMINISTRATOR, LEAD, RECORDS, VIEWER
from tarsus.core.errors import NoAnswer
from tarsus.core.marks.letter_check import letters_that_collide
from tarsus.queries.days import park_today
from tarsus.queries.devices import devices
from tarsus.queries.imports import BatchTold, batch_told, batches_told
from tarsus.queries.learned_cameras import learned_of_checks
from tarsus.queries.learned_page import colours_to_retire
from tarsus.queries.new_park import STEPS, new_park
from tarsus.queries.settings_page import (
    colour_values,
    colours_listed,
    exhibit_values,
    exhibits_listed,
    park_values,
    people_listed,
    person_values,
    places_listed,
    rules_of,
    species_listed,
    species_values,
)

router = Router(auth=EITHER, tags=["Settings"])


def _who_may(request: HttpRequest, *deeds: str) -> None:
    """Let whoever may do one of these deeds pass, of the whole park."""
    asker_of(request).of_park(*(role for name in deeds for role in DEEDS[name].who_may))


@router.get("/settings/park", response={200: ParkOut, **REFUSED}, summary="What the park has chosen")
def park(request: HttpRequest) -> Any:
    _who_may(request, "park_set")
    return park_values()


@router.get("/settings/colours", response={200: ColoursOut, **REFUSED}, summary="The palette")
def colours(request: HttpRequest) -> dict[str, Any]:
    _who_may(request, "colour_saved")
    listed = colours_listed()
    letters = {colour.name: colour.letter for colour in listed}
    return {
        "colours": listed,
        "collide": letters_that_collide(letters, str(park_values()["metal_letter"])) if listed else (),
        "retire": colours_to_retire(),
        "checked": learned_of_checks(park_today()),
    }


@router.get("/settings/colours/{colour_id}", response={200: ColourWholeOut, **REFUSED}, summary="One colour")
def colour(request: HttpRequest, colour_id: RowId) -> Any:
    _who_may(request, "colour_saved")
    return colour_values(colour_id)


@router.get("/settings/species", response={200: Page[ListedOut], **REFUSED}, summary="The species kept here")
def species_list(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker_of(request).of_park(VIEWER)
    return page_of(request, species_listed(), part)


@router.get(
    "/settings/species/{species_id}",
    response={200: SpeciesOut, **REFUSED},
    summary="One species, its limits and how it is marked",
)
def species(request: HttpRequest, species_id: RowId) -> dict[str, Any]:
    _who_may(request, "species_saved", "limits_set", "rule_set")
    return species_values(species_id) | {"rules": rules_of(species_id)}


@router.get("/settings/exhibits", response={200: Page[ListedOut], **REFUSED}, summary="Exhibits as set")
def exhibit_list(request: HttpRequest, part: Asked) -> dict[str, Any]:
    _who_may(request, "exhibit_saved", "place_saved")
    return page_of(request, exhibits_listed(), part)


@router.get(
    "/settings/exhibits/{exhibit_id}",
    response={200: ExhibitSetOut, **REFUSED},
    summary="One exhibit as set, with its places",
)
def exhibit(request: HttpRequest, exhibit_id: RowId) -> dict[str, Any]:
    _who_may(request, "exhibit_saved", "place_saved")
    return exhibit_values(exhibit_id) | {"places": places_listed(exhibit_id)}


@router.get("/settings/people", response={200: Page[ListedOut], **REFUSED}, summary="Who may sign in")
def people(request: HttpRequest, part: Asked) -> dict[str, Any]:
    _who_may(request, "person_saved")
    return page_of(request, people_listed(), part)


@router.get("/settings/people/{person_id}", response={200: PersonOut, **REFUSED}, summary="One person")
def person(request: HttpRequest, person_id: RowId) -> Any:
    _who_may(request, "person_saved")
    return person_values(person_id)


@router.get(
    "/settings/devices", response={200: Page[DeviceOut], **REFUSED}, summary="Devices, without their tokens"
)
def device_list(request: HttpRequest, part: Asked) -> dict[str, Any]:
    _who_may(request, "device_token_given")
    return page_of(request, devices(), part)


@router.get(
    "/sound", response={200: list[CheckedOut], **REFUSED}, summary="Whether the installation is sound"
)
def sound(request: HttpRequest) -> list[Any]:
    asker_of(request).of_park(ADMINISTRATOR)
    return list(soundness(timezone.now()))


@router.get("/new-park", response={200: NewParkOut, **REFUSED}, summary="How far a new park is")
def beginning(request: HttpRequest) -> dict[str, Any]:
    _who_may(request, "park_set")
    now = new_park()
    return {
        "steps": [(step, now.done(step)) for step in STEPS],
        "following": now.following(),
        "unruled": now.unruled,
    }


@router.get("/imports", response={200: Page[ImportOut], **REFUSED}, summary="The latest imports")
def imports(request: HttpRequest, part: Asked) -> dict[str, Any]:
    asker_of(request).of_park(LEAD, RECORDS)
    return page_of(request, batches_told(), part)


@router.get("/imports/{batch_id}", response={200: ImportOut, **REFUSED}, summary="One import as it went")
def one_import(request: HttpRequest, batch_id: RowId) -> Any:
    return _import(request, batch_id)


@router.get(
    "/imports/{batch_id}/waiting",
    response={200: Page[WaitingRowOut], **REFUSED},
    summary="Lines of an import that wait to be mended, and why",
)
def waiting_lines(request: HttpRequest, batch_id: RowId, part: Asked) -> dict[str, Any]:
    return page_of(request, _import(request, batch_id).waiting, part)


def _import(request: HttpRequest, batch_id: int) -> BatchTold:
    asker_of(request).of_park(LEAD, RECORDS)
    told = batch_told(batch_id)
    if told is None:
        raise NoAnswer(f"there is no import {batch_id}; ask /api/v1/imports which there are")
    return told
