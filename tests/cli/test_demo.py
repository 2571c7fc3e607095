"""`tarsus demo`: one command from nothing to a served park, and a second start that keeps the record."""

from __future__ import annotations

import contextlib
import resource
import shutil
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

DEMO = [sys.executable, "-m", "tarsus.cli.main", "demo", "--small"]


def demo(home: Path, *wishes: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*DEMO, "--home", str(home), *wishes], capture_output=True, text=True, timeout=300, check=False
    )


def worked_s() -> float:
    """Seconds that a processor worked for the commands of a test: a crowded machine's clock says little."""
    told = resource.getrusage(resource.RUSAGE_CHILDREN)
    return told.ru_utime + told.ru_stime


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home folder in which the small park was loaded once."""
    place = tmp_path_factory.mktemp("demo") / "home"
    told = demo(place, "--no-serve")
    assert told.returncode == 0, told.stderr
    assert "Loaded" in told.stdout
    steps = [line for line in told.stderr.splitlines() if line.endswith(" …")]
    assert len(steps) == 4, "it says what it is doing while it loads"
    assert steps[0].startswith("Making the tables")
    return place


def test_it_prints_who_may_sign_in_and_with_what(home: Path) -> None:
    told = demo(home, "--no-serve").stdout
    assert "Wendlebrook Bird Garden, an invented park." in told
    assert "Your own park, beside this one: tarsus serve --new --home DIR" in told
    lines = [line.split() for line in told.splitlines()]
    assert ["tamsin", "tamsin-at-dawn", "Tamsin", "Reedmace,", "keeper,", "PIN"] in [
        line[:6] for line in lines
    ]
    assert {"vet", "lead", "records", "administrator", "viewer"} <= {line[-1] for line in lines if line}


def test_a_second_start_is_fast_and_keeps_what_was_recorded(home: Path) -> None:
    with contextlib.closing(sqlite3.connect(home / "register.sqlite3")) as register, register:
        register.execute("UPDATE records_exhibit SET \"order\" = 77 WHERE name = 'Kea Terrace'")
    before = worked_s()
    told = demo(home, "--no-serve")
    worked = worked_s() - before
    assert "Kept as it was" in told.stdout
    with contextlib.closing(sqlite3.connect(home / "register.sqlite3")) as register:
        kept = register.execute('SELECT name FROM records_exhibit WHERE "order" = 77').fetchall()
    assert kept == [("Kea Terrace",)]
    assert worked < 10, "loading anew, migrations included, takes longer"


def test_it_serves_the_sign_in_page_on_the_port_that_was_asked_for(home: Path) -> None:
    port = free_port()
    server = subprocess.Popen(
        [*DEMO, "--home", str(home), "--port", str(port)], stdout=subprocess.PIPE, text=True
    )
    try:
        assert server.stdout is not None
        printed = []
        for line in server.stdout:
            printed.append(line)
            if f"http://127.0.0.1:{port}" in line:
                break
        assert printed[-1].startswith(f"http://127.0.0.1:{port}")
        assert "Sign in" in page(f"http://127.0.0.1:{port}/")
    finally:
        server.terminate()
        server.wait(timeout=60)
        if server.stdout is not None:
            server.stdout.close()


def page(address: str) -> str:
    """The page at an address, as soon as somebody answers there."""
    until = time.monotonic() + 120
    while True:
        try:
            with urllib.request.urlopen(address, timeout=10) as answer:
                return str(answer.read().decode())
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.1)  # another process starts; there is nothing to wait on but its port


def test_its_register_says_for_good_that_it_is_invented(home: Path) -> None:
    with contextlib.closing(sqlite3.connect(home / "register.sqlite3")) as register:
        assert register.execute("SELECT invented FROM records_park").fetchall() == [(1,)]


def test_a_taken_port_is_refused_in_one_sentence(home: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        told = demo(home, "--port", str(port))
    assert (told.returncode, told.stdout) == (2, "")
    assert told.stderr.startswith(f"tarsus: --port: {port} cannot be had (address already in use)")


def test_the_register_of_another_park_is_left_alone(tmp_path: Path, home: Path) -> None:
    theirs = Path(shutil.copytree(home, tmp_path / "theirs"))
    with contextlib.closing(sqlite3.connect(theirs / "register.sqlite3")) as register, register:
        register.execute("UPDATE records_park SET name = 'Fenwade Aviaries'")
    told = demo(theirs, "--no-serve")
    assert (told.returncode, told.stdout) == (2, "")
    assert "already holds 'Fenwade Aviaries'" in told.stderr
