"""The page of any deed: its form, once more what it will write where that is grave, and back again."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme

from tarsus.actions.facts import AT_A_FORM, KNOWN, REFUSED, hear_facts
from tarsus.core.care.cautions import caution
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import Kind
from tarsus.core.deeds.register import DEEDS, FAMILIES
from tarsus.queries.named_rows import choices_of
from tarsus.queries.portraits import portrait_of_bird
from tarsus.queries.quarantine import kept_not_fitted
from tarsus.queries.told_deeds import Told, in_words, row_as_said, told_deed
from tarsus.web.access import VIEWER, may, may_do, person_id, role_of
from tarsus.web.deed_forms import DeedForm
from tarsus.web.telling import refusal_of


@may(VIEWER)
def deeds(request: HttpRequest) -> HttpResponse:
    """Every deed that the person signed in may do, by family."""
    families = [
        (name, [deed for deed in family if deed.allowed_to(role_of(request))])
        for name, family in FAMILIES.items()
    ]
    return render(request, "web/deeds.html", {"families": [one for one in families if one[1]]})


@may(VIEWER)
def deed(request: HttpRequest, name: str) -> HttpResponse:
    """Tell one deed, or correct one that was told."""
    if name not in DEEDS:
        raise Http404("no deed is called so; look at the list of deeds")
    asked = DEEDS[name]
    if not may_do(request.user, name):
        return render(request, "web/refused.html", {"roles": asked.who_may}, status=403)
    form, earlier = _form(request, asked)
    if request.method == "POST" and form.is_valid():
        if asked.asks_twice and "sure" not in request.POST:
            return _page(request, form, earlier, sure=in_words(asked, form.fact(person_id(request))))
        if _told(request, form):
            return redirect(_back(request, form))
    return _page(request, form, earlier)


def _form(request: HttpRequest, asked: Deed) -> tuple[DeedForm, Told | None]:
    earlier = None
    said = request.GET.get("corrects") if asked.name != "withdrawn" else None
    if said:
        earlier = told_deed(_uuid(said))
        if earlier is None or earlier.deed.name != asked.name:
            raise Http404("nothing of this kind was told under that id; open it from the bird's page")
    own = {field.name for field in asked.fields}
    named = {name: value for name, value in request.GET.items() if name in own and value}
    form = DeedForm(
        asked,
        request.POST if request.method == "POST" else None,
        named=named,
        before=earlier.contents if earlier else _before(request, asked, named),
        corrects=earlier.id if earlier else None,
        at=earlier.happened_at if earlier else None,
    )
    return form, earlier


def _before(request: HttpRequest, asked: Deed, named: Mapping[str, Any]) -> dict[str, Any]:
    """What a form begins with: the row that is changed as it is now, and the name of whoever writes."""
    begins = {field.name: str(request.user) for field in asked.fields if field.initial == "me"}
    if named.get("bird", "").isdecimal():
        begins |= _only_sample(asked, int(named["bird"]))
    if asked.partial:
        row = next((named[field.name] for field in asked.fields if field.name in named), "")
        begins |= row_as_said(asked, int(row)) if str(row).isdecimal() else {}
    return begins


def _only_sample(asked: Deed, bird: int) -> dict[str, Any]:
    """The sample of a bird that waits for its result, where it is the only one."""
    begins = {}
    for field in asked.fields:
        if field.kind is Kind.SEX_TEST and len(waiting := choices_of(field.kind, bird=bird)) == 1:
            begins[field.name] = str(waiting[0][0])
    return begins


def _uuid(said: str) -> uuid.UUID:
    try:
        return uuid.UUID(said)
    except ValueError:
        raise Http404("that is no deed's id; open it from the bird's page") from None


def _told(request: HttpRequest, form: DeedForm) -> bool:
    """Tell the deed through the door; a refusal goes to the field it names."""
    person = person_id(request)
    fact = form.fact(person)
    (answer,) = hear_facts(facts=[fact], clock=None, device=AT_A_FORM, speaker=person)
    sent_again = answer.outcome == REFUSED and answer.place == "id"
    if answer.outcome == REFUSED and not sent_again:
        form.refuse(answer.place, refusal_of(answer))
        return False
    told = in_words(form.deed, fact)
    before = sent_again or answer.outcome == KNOWN
    messages.success(request, f"Saved before: {told}" if before else f"Saved: {told}")
    for sentence in answer.said:
        messages.warning(request, sentence[:1].upper() + sentence[1:])
    form.wrote = answer.wrote
    return True


def _page(request: HttpRequest, form: DeedForm, earlier: Told | None, sure: str = "") -> HttpResponse:
    asked = form.deed
    bird = form.named.get("bird") or (earlier.contents.get("bird") if earlier else None)
    bird = str(bird) if str(bird or "").isdecimal() else ""
    told: dict[str, Any] = {
        "warned": kept_not_fitted(int(bird)) if bird and asked.name == "quarantine_released" else "",
        "deed": asked,
        "form": form,
        "shown": [one for one in form.shown() if one[0] != "Bird" or not bird],
        "portrait": portrait_of_bird(int(bird), timezone.now()) if bird else None,
        "caution": caution(asked.caution),
        "earlier": in_words(earlier.deed, earlier.contents) if earlier else "",
        "sure": sure,
        "back": _back(request, form),
    }
    return render(request, "web/deed.html", told, status=422 if form.errors else 200)


def _back(request: HttpRequest, form: DeedForm) -> str:
    """Where one came from; else the bird's page, or Today."""
    asked = request.GET.get("next", "")
    if asked and url_has_allowed_host_and_scheme(asked, {request.get_host()}, request.is_secure()):
        return asked
    bird = form.wrote.get("bird") or form.named.get("bird")
    return reverse("bird", args=[int(bird)]) if bird and str(bird).isdecimal() else reverse("today")
