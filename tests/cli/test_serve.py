"""A server that is stopped, and one that is killed, leaves nothing behind that answers in its place."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.request import urlopen

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from shell import with_person

PATIENCE_S = 60.0


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def answers(port: int) -> bool:
    try:
        with urlopen(f"http://127.0.0.1:{port}/health", timeout=5) as answer:
            return bool(answer.status == 200)
    except OSError:
        return False


def until(port: int, wanted: bool) -> bool:
    ends = time.monotonic() + PATIENCE_S
    while time.monotonic() < ends:
        if answers(port) is wanted:
            return True
        time.sleep(0.2)
    return False


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    home, port = with_person(tmp_path / "home"), free_port()
    clean = {name: value for name, value in os.environ.items() if not name.startswith("TARSUS_")}
    command = [sys.executable, "-m", "tarsus.cli.main", "serve", "--home", str(home), "--port", str(port)]
    server = subprocess.Popen(command, env=clean, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        assert until(port, True)
        yield server, port
    finally:
        server.kill()
        server.wait()


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGKILL])
def test_nothing_answers_after_the_server_was_stopped_or_killed(
    how: signal.Signals, served: tuple[subprocess.Popen[bytes], int]
) -> None:
    server, port = served
    server.send_signal(how)
    server.wait(PATIENCE_S)
    assert until(port, False)
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind(("127.0.0.1", port))  # the port is free for the next start
