"""On a weak signal every byte is waited for: pages, packs and static files travel compressed."""

from __future__ import annotations

import gzip
import json

import pytest
from django.conf import settings
from django.test import Client

from tarsus.records.models import Person
from wendlebrook import build

pytestmark = pytest.mark.django_db


def test_a_pack_and_a_page_travel_at_a_third_of_their_size_or_less_and_say_the_same() -> None:
    park = build()
    phone = Client()
    phone.force_login(
        Person.objects.get(pk=park.actors.tilda), backend="django.contrib.auth.backends.ModelBackend"
    )
    for address in (f"/exhibits/{park.shingle}/pack.json", "/in-hand/pack.json", "/"):
        plain = phone.get(address)
        small = phone.get(address, headers={"accept-encoding": "gzip, deflate, br"})
        assert not plain.has_header("Content-Encoding")
        assert (small["Content-Encoding"], small["Vary"].count("Accept-Encoding")) == ("gzip", 1)
        assert len(small.content) * 3 <= len(plain.content), address
        if address.endswith(".json"):
            told = json.loads(gzip.decompress(small.content))
            assert told.keys() == plain.json().keys()


def test_a_pack_that_is_unchanged_is_not_sent_again_compressed_or_not() -> None:
    park = build()
    phone = Client()
    phone.force_login(
        Person.objects.get(pk=park.actors.tilda), backend="django.contrib.auth.backends.ModelBackend"
    )
    address = f"/exhibits/{park.shingle}/pack.json"
    told = phone.get(address).json()
    held = f'"{told["version"]} {told["person"]["id"]}"'
    again = phone.get(address, headers={"accept-encoding": "gzip", "if-none-match": held})
    assert (again.status_code, again.content) == (304, b"")


def test_a_script_is_compressed_on_its_way_and_still_never_asked_for_twice() -> None:
    answer = Client().get(f"/static/{settings.BUILD}/worker/offline.js", headers={"accept-encoding": "gzip"})
    assert answer["Content-Encoding"] == "gzip"
    assert "immutable" in answer["Cache-Control"]
    body = b"".join(answer.streaming_content) if answer.streaming else answer.content
    assert b"export function start" in gzip.decompress(body)
