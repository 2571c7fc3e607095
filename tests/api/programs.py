"""Programs as they ask: a device with its token, or a person with a session."""

from __future__ import annotations

import json
from typing import Any

from django.test import Client

from tarsus.actions.devices import give_device_token
from tarsus.records import models as rows
from wendlebrook import Wendlebrook


class Program:
    """Whoever asks the interface."""

    def __init__(self, client: Client) -> None:
        self.client = client

    def get(self, path: str, **asked: Any) -> Any:
        return self.client.get(f"/api/v1{path}", asked)

    def post(self, path: str, body: Any) -> Any:
        return self.client.post(f"/api/v1{path}", data=json.dumps(body), content_type="application/json")


def device(park: Wendlebrook, exhibits: list[int], people: list[int]) -> Program:
    """A program with a token of its own."""
    _, token = give_device_token(
        name="a program", exhibit_ids=exhibits, people_ids=people, by=park.actors.dunstan
    )
    return Program(Client(headers={"Authorization": f"Bearer {token}"}))


def person(person_id: int) -> Program:
    """A person who is signed in."""
    client = Client()
    client.force_login(
        rows.Person.objects.get(pk=person_id), backend="django.contrib.auth.backends.ModelBackend"
    )
    return Program(client)
