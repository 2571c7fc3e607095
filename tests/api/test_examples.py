"""The examples, run as they stand against a server."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone

from tarsus.actions.devices import give_device_token
from tarsus.queries.bird_page import bird_page
from tarsus.queries.transponders import visits_between
from wendlebrook import build

EXAMPLES = Path(__file__).parents[2] / "examples"
PAGES = Path(__file__).parents[2] / "docs/running"


@pytest.mark.django_db(transaction=True)
def test_the_examples_ask_and_tell_as_they_say(live_server: Any) -> None:
    park = build()
    _, token = give_device_token(
        name="scale", exhibit_ids=[park.shingle], people_ids=[park.actors.tilda], by=park.actors.dunstan
    )

    def run(name: str, *asked: str, stdin: str = "") -> str:
        return subprocess.run(
            [sys.executable, EXAMPLES / name, *asked],
            env={**os.environ, "TARSUS_URL": live_server.url, "TARSUS_TOKEN": token},
            input=stdin,
            capture_output=True,
            text=True,
            timeout=120,
            check=True,
        ).stdout

    told = run("ask_and_tell.py", str(park["Kelp"]), "301")
    assert f"Shingle Aviary {park['Samphire']} " in told
    assert "'outcome': 'written'" in told
    [weight] = bird_page(park["Kelp"], timezone.now()).weights
    assert weight.weight_g == 301
    page = (PAGES / "programs.md").read_text(encoding="utf-8")
    assert (EXAMPLES / "ask_and_tell.py").read_text(encoding="utf-8") in page

    codes = ["999000123456789", "999000000000042", "999000123456789", "", "nonsense"]
    told = run("feeder_reader.py", str(park.shingle), "north feeder", stdin="\n".join(codes))
    assert [line.split()[:3] for line in told.splitlines()] == [
        ["999000123456789", "2", "written"],
        ["999000000000042", "1", "written"],
        ["nonsense", "1", "refused"],
    ]
    visits = visits_between(None, weight.at, timezone.now())
    assert {(one.code, one.antenna, one.reads) for one in visits} == {
        ("999000123456789", "north feeder", 2),
        ("999000000000042", "north feeder", 1),
    }
