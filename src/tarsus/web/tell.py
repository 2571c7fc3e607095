"""Record, also without signal: the page's shell, with the deeds that a phone can tell, as declared."""

from __future__ import annotations

import json
from typing import Any, Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_GET

from tarsus.core.care.cautions import caution
from tarsus.core.deeds.fields import Field
from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import ROLES
from tarsus.web.access import KEEPER, RECORDS, may

OFFERED: Final = (
    "death",
    "moved",
    "whereabouts",
    "concern",
    "case_opened",
    "case_note",
    "weighed",
    "body_condition",
    "health_check",
    "treatment_rechecked",
    "note",
)
"""Deeds that a phone tells from its packs alone, those that cannot wait first."""


def deeds_of_a_phone() -> str:
    """The declarations of the offered deeds, as the phone draws their forms; the same for everybody."""
    return json.dumps([_declared(name) for name in OFFERED], sort_keys=True, ensure_ascii=False)


def _declared(name: str) -> dict[str, Any]:
    deed = DEEDS[name]
    assert deed.offline, f"a phone does not tell {name}"
    return {
        "name": name,
        "title": deed.title,
        "fields": [_field(field) for field in deed.fields if field.on_form],
        "caution": caution(deed.caution),
        "when": deed.when,
        "asks_twice": deed.asks_twice,
        "roles": [role for role in ROLES if deed.allowed_to(role)],
    }


def _field(field: Field) -> dict[str, Any]:
    return {
        "name": field.name,
        "kind": field.kind.value,
        "label": field.label,
        "required": field.required,
        "longest": field.longest,
        "low": field.low,
        "high": field.high,
        "first": field.first and field.first.isoformat(),
        "ahead": field.ahead,
        "choices": field.choices,
        "unit": field.unit,
        "hint": field.hint,
        "initial": field.initial,
        "instead_of": field.instead_of,
    }


@may(KEEPER, RECORDS)
@require_GET
@ensure_csrf_cookie
def tell(request: HttpRequest) -> HttpResponse:
    """The shell of the page; it says nothing of any bird, so that a phone may keep it."""
    return render(request, "web/tell.html", {"deeds": deeds_of_a_phone()})
