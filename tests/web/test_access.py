"""No page without its check: every address is walked as a stranger and as everybody who may not."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import HttpResponse
from django.test import Client, RequestFactory

from addresses import addresses
from tarsus.records.models import Person
from tarsus.web.access import STANDS_FOR, may, passes
from wendlebrook import Wendlebrook


def test_every_address_says_who_may_open_it() -> None:
    every = addresses()
    assert len(every) > 5
    silent = [address for address, pattern in every if not getattr(pattern.callback, "admits", None)]
    assert silent == []


def test_a_stranger_is_sent_to_sign_in_or_refused(garden: Wendlebrook) -> None:
    client = Client()
    for address, pattern in addresses():
        if "anyone" in pattern.callback.admits:  # type: ignore[attr-defined]  # set by the decorator
            continue
        for answer in (client.get(address), client.post(address)):
            to_sign_in = answer.status_code == 302 and answer["Location"].startswith("/sign-in/?next=")
            assert to_sign_in or answer.status_code == 401, address


@pytest.mark.parametrize("login", ["pia", "tilda", "maren", "ilse", "corin", "dunstan"])
def test_whoever_has_not_the_role_is_refused(
    login: str, garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    client = signed_in(login)
    role = Person.objects.get(login=login).role
    refused = 0
    for address, pattern in addresses():
        admits = pattern.callback.admits  # type: ignore[attr-defined]  # set by the decorator
        if "anyone" in admits or not STANDS_FOR[role].isdisjoint(admits):
            continue
        refused += 1
        for answer in (client.get(address), client.post(address)):
            assert answer.status_code == 403, address
    assert refused > 0


def _person(role: str) -> Person:
    return Person(login=role, display_name=role, role=role)


def test_a_lead_may_what_a_keeper_may_and_the_other_way_not() -> None:
    assert passes(_person("lead"), "keeper")
    assert passes(_person("lead"), "viewer")
    assert not passes(_person("keeper"), "lead")
    assert passes(_person("vet"), "lead", "vet")
    assert not passes(_person("administrator"), "vet")
    assert not passes(_person("records"), "keeper")


def test_who_has_left_may_nothing() -> None:
    gone = _person("lead")
    gone.is_active = False
    assert not passes(gone, "viewer")
    assert not passes(AnonymousUser(), "viewer")


def test_a_program_is_refused_in_json_with_the_reason() -> None:
    @may("lead", json=True)
    def view(request: object) -> HttpResponse:
        return HttpResponse("done")

    request = RequestFactory().get("/")
    request.user = _person("keeper")
    assert view(request).status_code == 403
    request.user = AnonymousUser()
    assert view(request).status_code == 401
    request.user = _person("lead")
    assert view(request).status_code == 200


def test_a_role_that_does_not_exist_is_no_check() -> None:
    with pytest.raises(ValueError, match="roles are viewer, keeper"):
        may("boss")
    with pytest.raises(ValueError, match="none"):
        may()
