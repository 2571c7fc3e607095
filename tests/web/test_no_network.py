"""Nothing asks for a name or another machine: every page and every command, cut off from all but itself."""

from __future__ import annotations

import json
import os
import runpy
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from time import monotonic, sleep
from urllib.request import urlopen

import pytest
from django.test import Client

from addresses import addresses
from kept_register import begun
from sound_documents import SOUND
from tarsus.cli.main import COMMANDS
from tarsus.records.models import Person
from tarsus.web.access import STANDS_FOR
from wendlebrook import Wendlebrook

CUT_OFF = Path(__file__).parents[1] / "cut_off"
DRIVER = """
import contextlib, io, json, sys
from tarsus.cli.main import main
for words in json.load(sys.stdin):
    with contextlib.redirect_stdout(io.StringIO()):
        try:
            status = main(words)
        except SystemExit as ended:
            status = ended.code
    print(json.dumps([words[0], status]), flush=True)
"""


@pytest.fixture
def asked_outside() -> Iterator[list[str]]:
    """This process cut off; what it asked for all the same."""
    told: list[str] = []
    undo = runpy.run_path(str(CUT_OFF / "sitecustomize.py"))["cut_off"](told.append)
    yield told
    undo()


def test_who_is_cut_off_is_heard_asking(asked_outside: list[str]) -> None:
    with pytest.raises(OSError, match="cut off"):
        urlopen("http://park.example/")
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as other, pytest.raises(OSError, match="cut off"):
        other.sendto(b"?", ("192.0.2.1", 53))
    assert [line.split()[0] for line in asked_outside] == ["getaddrinfo", "sendto"]


@pytest.mark.django_db
def test_no_page_asks_for_anything_outside(
    garden: Wendlebrook, signed_in: Callable[[str], Client], asked_outside: list[str]
) -> None:
    people = [(Person.objects.get(login=login).role, login) for login in LOGINS]
    named = {"exhibit_id": garden.shingle, "bird_id": garden["Kelp"], "species_id": garden.avocet}
    opened = 0
    for address, pattern in addresses(named):
        admits = pattern.callback.admits  # type: ignore[attr-defined]  # set by the decorator
        for role, login in people:
            if "anyone" in admits or not STANDS_FOR[role].isdisjoint(admits):
                client = signed_in(login)  # anew: one of these pages signs out
                client.raise_request_exception = False
                answers = [client.get(address), client.post(address)]
                assert all(answer.status_code < 500 for answer in answers), address
                opened += answers[0].status_code == 200
                break
    assert opened > 50
    assert asked_outside == []


LOGINS = ("maren", "ilse", "corin", "dunstan", "tilda")


def commands(home: Path) -> list[list[str]]:
    """Every command that ends by itself, on a register in this home."""
    for name, document in SOUND.items():
        (home / f"{name}.json").write_text(json.dumps(document), encoding="utf-8")
    (home / "birds.csv").write_text("name,species,sex\nTern,Pied avocet,F\n", encoding="utf-8")
    study = {
        "palette": SOUND["assign"]["palette"],
        "rule": {"metal": {"F": "left leg"}, "colours": {"F": {"right leg": 2}}},
        "reader": "trained",
        "flock": {"F": 3},
        "schemes": ["next free"],
        "seasons": 2,
        "seed": 1,
        "season": {"rounds": 2, "seen": 0.8},
    }
    (home / "study.json").write_text(json.dumps(study), encoding="utf-8")
    return [
        ["demo", "--small", "--no-serve", "--home", str(home)],
        *([name, str(home / f"{name}.json")] for name in SOUND),
        ["study", str(home / "study.json"), "--workers", "1"],
        ["capacity", "--colours", "4", "--positions", "3", "--distance", "2"],
        ["tell", "note", f"bird={FIRST_BIRD}", "text=seen", "--by", "tamsin"],
        ["import", str(home / "birds.csv"), "--by", "tamsin"],
        ["export", str(home / "all.json")],
        ["backup", str(home / "copy.sqlite3")],
        ["check"],
        ["letters", "--look"],
        ["settings"],
        ["manage", "showmigrations", "--verbosity", "0"],
        ["move-register", str(home / "other")],
        ["restore", str(home / "copy.sqlite3")],
    ]


FIRST_BIRD = 1


def cut_off_environment(home: Path) -> dict[str, str]:
    clean = {name: value for name, value in os.environ.items() if not name.startswith("TARSUS_")}
    path = os.pathsep.join([str(CUT_OFF), *filter(None, [os.environ.get("PYTHONPATH")])])
    return {**clean, "PYTHONPATH": path, "CUT_OFF_LOG": str(home / "asked"), "TARSUS_HOME": str(home)}


@pytest.mark.django_db
def test_no_command_asks_for_anything_outside(tmp_path: Path) -> None:
    begun(tmp_path)
    environment = cut_off_environment(tmp_path)
    words = commands(tmp_path)
    assert {one[0] for one in words} | {"serve"} == set(COMMANDS)
    told = subprocess.run(
        [sys.executable, "-c", DRIVER],
        input=json.dumps(words),
        env=environment,
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    statuses = dict(json.loads(line) for line in told.stdout.splitlines() if line.startswith("["))
    # One line of the sheet is asked about, and this machine's disk and clock are its own affair.
    mostly = {name: 0 for name in COMMANDS if name != "serve"} | {"import": 1, "check": statuses.get("check")}
    assert statuses == mostly, told.stderr
    assert not (tmp_path / "asked").exists(), (tmp_path / "asked").read_text()


PATIENCE_S = 120.0


@pytest.fixture
def served(tmp_path: Path) -> Iterator[str]:
    """The address of `tarsus serve`, cut off, with its workers; all of them are gone afterwards."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    begun(tmp_path)
    with (tmp_path / "said").open("w") as said:
        server = subprocess.Popen(
            [sys.executable, "-m", "tarsus.cli.main", "serve", "--new", "--port", str(port)],
            env=cut_off_environment(tmp_path),
            cwd=tmp_path,
            stdout=said,
            stderr=said,
            start_new_session=True,
        )
    try:
        ends = monotonic() + PATIENCE_S
        while True:
            with suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=2):
                break
            assert server.poll() is None, (tmp_path / "said").read_text()
            assert monotonic() < ends, (tmp_path / "said").read_text()
            sleep(0.2)  # another process starts; there is nothing to wait on but its port
        yield f"http://127.0.0.1:{port}"
    finally:
        os.killpg(server.pid, signal.SIGKILL)
        server.wait()


def test_serving_asks_for_nothing_outside(served: str, tmp_path: Path) -> None:
    for address in ("/health", "/sign-in/"):
        with urlopen(f"{served}{address}", timeout=60) as answer:
            assert answer.status == 200
    assert not (tmp_path / "asked").exists(), (tmp_path / "asked").read_text()
