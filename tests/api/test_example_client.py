"""The example client, run as it stands against a server."""

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
from wendlebrook import build

EXAMPLES = Path(__file__).parents[2] / "examples"
PAGES = Path(__file__).parents[2] / "docs/running"


@pytest.mark.django_db(transaction=True)
def test_the_example_asks_and_tells_as_it_says(live_server: Any) -> None:
    park = build()
    _, token = give_device_token(
        name="scale", exhibit_ids=[park.shingle], people_ids=[park.actors.tilda], by=park.actors.dunstan
    )
    told = subprocess.run(
        [sys.executable, EXAMPLES / "ask_and_tell.py", str(park["Kelp"]), "301"],
        env={**os.environ, "TARSUS_URL": live_server.url, "TARSUS_TOKEN": token},
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    assert f"Shingle Aviary {park['Samphire']} " in told.stdout
    assert "'outcome': 'written'" in told.stdout
    [weight] = bird_page(park["Kelp"], timezone.now()).weights
    assert weight.weight_g == 301
    page = (PAGES / "programs.md").read_text(encoding="utf-8")
    assert (EXAMPLES / "ask_and_tell.py").read_text(encoding="utf-8") in page
