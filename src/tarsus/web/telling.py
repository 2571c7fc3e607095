"""Telling a deed from a page that has a form of its own; what is refused comes back to the form's fields."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.forms import BaseForm
from django.http import HttpRequest
from django.utils import timezone

from tarsus.actions.facts import AT_A_FORM, REFUSED, Answer, hear_facts
from tarsus.web.access import person_id


def tell(request: HttpRequest, kind: str, values: Mapping[str, Any], deed_id: UUID | None = None) -> Answer:
    """Tell one deed in the name of whoever is signed in; what a form leaves empty is not said."""
    person = person_id(request)
    fact = {
        "id": str(deed_id or uuid4()),
        "kind": kind,
        "at": timezone.now().isoformat(),
        "by": person,
        **{key: _plain(value) for key, value in values.items()},
    }
    (answer,) = hear_facts(facts=[fact], clock=None, device=AT_A_FORM, speaker=person)
    return answer


def told(
    request: HttpRequest,
    form: BaseForm,
    kind: str,
    values: Mapping[str, Any],
    places: Mapping[str, str] | None = None,
) -> Answer | None:
    """Tell one deed with a form's values.

    Args:
        request: of whoever is signed in.
        form: a bound form; a refusal is written to the field that it names.
        kind: of the deed.
        values: of the deed's fields.
        places: fields of the form by the deed's own names, where these differ.

    Returns:
        The answer; `None` where it was refused.
    """
    answer = tell(request, kind, values)
    if answer.outcome != REFUSED:
        return answer
    place = answer.place.split("[")[0].split(".")[0]
    place = (places or {}).get(place, place)
    form.add_error(place if place in form.fields else None, refusal_of(answer))
    return None


def done(request: HttpRequest, kind: str, values: Mapping[str, Any], success: str) -> bool:
    """Tell one deed that a button asks for, and say on the next page what became of it."""
    answer = tell(request, kind, values)
    if answer.outcome == REFUSED:
        messages.error(request, refusal_of(answer))
    else:
        messages.success(request, success)
    return answer.outcome != REFUSED


def refusal_of(answer: Answer) -> str:
    """A refusal as a sentence of its own, without the place it stands at."""
    text = answer.reason.removeprefix(f"{answer.place}: ") if answer.place else answer.reason
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?", "!")) else ".")


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, UUID):
        return str(value)
    if isinstance(value, tuple | list):
        return [_plain(one) for one in value]
    return value
