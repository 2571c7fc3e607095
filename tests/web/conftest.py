"""A park's people with different rights, and a browser for each of them."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client

import wendlebrook
from tarsus.records.models import Park, Person
from wendlebrook import Wendlebrook

PASSWORD = "a long walk to the north spit"
PEOPLE = {
    "vera": ("Vera watches", "viewer"),
    "ines": ("Ines keeps", "keeper"),
    "oda": ("Oda leads", "lead"),
    "vito": ("Vito heals", "vet"),
    "rhea": ("Rhea records", "records"),
    "ann": ("Ann administers", "administrator"),
}


@pytest.fixture
def people(db: None) -> dict[str, Person]:
    """Six people, one of each role."""
    return {
        login: Person.objects.create_user(login, PASSWORD, display_name=name, role=role)
        for login, (name, role) in PEOPLE.items()
    }


@pytest.fixture
def park(db: None) -> Park:
    """A park with a name; its colours are the built-in ones until it enters its own."""
    return Park.objects.create(id=1, name="Wendlebrook Bird Garden", time_zone="Europe/London")


@pytest.fixture
def browser_of(people: dict[str, Person]) -> Callable[[str], Client]:
    """A signed-in browser of one person."""

    def signed_in(login: str) -> Client:
        client = Client()
        client.force_login(people[login], backend="django.contrib.auth.backends.ModelBackend")
        return client

    return signed_in


@pytest.fixture
def garden(db: None) -> Wendlebrook:
    """Birds, bands and people: see tests/wendlebrook.py. Tilda keeps, Maren leads, Pia may only look."""
    return wendlebrook.build()


@pytest.fixture
def signed_in(garden: Wendlebrook) -> Callable[[str], Client]:
    """A signed-in browser of one of the garden's people."""

    def browser(login: str) -> Client:
        client = Client()
        person = Person.objects.get(login=login)
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        return client

    return browser
