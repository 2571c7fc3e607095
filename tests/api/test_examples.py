"""The examples, run as they stand against a server."""

from __future__ import annotations

import os
import subprocess
import sys
from io import StringIO
from pathlib import Path
from runpy import run_path
from typing import Any

import pytest
from django.utils import timezone

from tarsus.actions.devices import give_device_token
from tarsus.queries.bird_page import bird_page
from tarsus.queries.transponders import visits_between
from wendlebrook import build

EXAMPLES = Path(__file__).parents[2] / "examples"
PAGES = Path(__file__).parents[2] / "docs/running"


def token_of(park: Any) -> str:
    return give_device_token(
        name="scale", exhibit_ids=[park.shingle], people_ids=[park.actors.tilda], by=park.actors.dunstan
    )[1]


@pytest.mark.django_db(transaction=True)
def test_the_examples_ask_and_tell_as_they_say(live_server: Any) -> None:
    park = build()
    token = token_of(park)

    def run(name: str, *asked: str, stdin: str = "") -> str:
        return subprocess.run(
            [sys.executable, EXAMPLES / name, *asked],
            env={**os.environ, "TARSUS_URL": live_server.url, "TARSUS_TOKEN": token},
            input=stdin,
            capture_output=True,
            text=True,
            timeout=300,
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


@pytest.mark.django_db(transaction=True)
def test_a_burst_whose_answer_was_lost_is_told_again_as_it_was_and_no_read_of_it_is_lost(
    live_server: Any, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    park, began = build(), timezone.now()
    monkeypatch.setenv("TARSUS_URL", live_server.url)
    monkeypatch.setenv("TARSUS_TOKEN", token_of(park))
    reader = run_path(str(EXAMPLES / "feeder_reader.py"))
    real, names, lost = reader["ask"], reader["main"].__globals__, [True]

    def answer_lost(path: str, told: object = None) -> Any:
        answer = real(path, told)
        if told and lost:
            lost.clear()
            raise OSError("the line broke")
        return answer

    # Each line ends the burst before it.
    monkeypatch.setitem(names, "PAUSE", 0)
    monkeypatch.setitem(names, "ask", answer_lost)
    monkeypatch.setattr(sys, "stdin", StringIO("999000123456789\n" * 4))
    reader["main"](park.shingle, "north feeder")
    outcomes = [line.split()[2] for line in capsys.readouterr().out.splitlines()]
    assert outcomes == ["known", "written", "written", "written"]
    (visit,) = visits_between(None, began, timezone.now())
    assert visit.reads == 4
