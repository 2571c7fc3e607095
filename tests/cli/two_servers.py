"""Two server processes on one register, and a small server in front that asks them in turn."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection
from http.cookies import SimpleCookie
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from itertools import cycle
from pathlib import Path
from threading import Lock, Thread
from typing import Any, Final
from urllib.parse import urlencode

TARSUS: Final = (sys.executable, "-m", "tarsus.cli.main")
PATIENCE_S: Final = 120.0


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def environment(home: Path, database: str = "") -> dict[str, str]:
    """What a process of this register is told: all but its home is the same for both."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith("TARSUS_")}
    told = {"TARSUS_HOME": str(home), "TARSUS_PROXIES": "127.0.0.1", "TARSUS_SECRET_KEY": "one key " * 8}
    return {**clean, **told, **({"TARSUS_DATABASE": database} if database else {})}


@contextmanager
def served(home: Path, told: dict[str, str]) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    """A process that serves, once it answers."""
    port = free_port()
    with (home / f"server-{port}.log").open("wb") as log:
        process = subprocess.Popen(
            [*TARSUS, "serve", "--home", str(home), "--port", str(port)], env=told, stdout=log, stderr=log
        )
    try:
        until = time.monotonic() + PATIENCE_S
        while asked(port, "GET", "/health")[0] != 200:
            assert process.poll() is None, (home / f"server-{port}.log").read_text()
            assert time.monotonic() < until, "it did not begin to answer"
            time.sleep(0.2)
        yield process, port
    finally:
        process.kill()
        process.wait()


def asked(
    port: int, method: str, path: str, body: str | None = None, headers: dict[str, str] | None = None
) -> tuple[int, dict[str, str], list[str], bytes]:
    """Status, headers, cookies set and body of one answer; 0 where nobody answers."""
    line = HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
    try:
        line.request(method, path, body, headers or {})
        answer = line.getresponse()
        cookies = answer.headers.get_all("Set-Cookie") or []
        return answer.status, dict(answer.headers), cookies, answer.read()
    except OSError:
        return 0, {}, [], b""
    finally:
        line.close()


class Front:
    """A reverse proxy on this machine: each request goes to the next server, and `heard` counts them."""

    def __init__(self, ports: list[int]) -> None:
        self.heard, turns, lock = dict.fromkeys(ports, 0), cycle(ports), Lock()

        class Passing(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def _pass(inner) -> None:  # `self` is the front
                with lock:
                    port = next(turns)
                    self.heard[port] += 1
                told = {name: value for name, value in inner.headers.items() if name != "Connection"}
                told["X-Forwarded-For"] = inner.client_address[0]
                length = int(inner.headers.get("Content-Length") or 0)
                body = inner.rfile.read(length).decode() if length else None
                status, headers, cookies, said = asked(port, inner.command, inner.path, body, told)
                inner.send_response(status or 502)
                for name in ("Content-Type", "Location"):
                    if name in headers:
                        inner.send_header(name, headers[name])
                for cookie in cookies:
                    inner.send_header("Set-Cookie", cookie)
                inner.send_header("Content-Length", str(len(said)))
                inner.end_headers()
                inner.wfile.write(said)

            do_GET = do_POST = _pass  # so the library calls them

            def log_message(inner, *_: Any) -> None:
                """Say nothing."""

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Passing)
        self.port: int = self.server.server_address[1]
        Thread(target=self.server.serve_forever, daemon=True).start()

    def close(self) -> None:
        self.server.shutdown()
        self.server.server_close()


@dataclass
class Browser:
    """Somebody's browser: it keeps cookies, and asks the server in front or one behind it."""

    port: int
    cookies: dict[str, str] = field(default_factory=dict)

    def ask(
        self, method: str, path: str, said: Any = None, *, form: bool = False, port: int = 0
    ) -> tuple[int, bytes]:
        """The status and the body of one answer."""
        at = port or self.port
        headers = {"Host": f"127.0.0.1:{self.port}", "X-CSRFToken": self.cookies.get("csrftoken", "")}
        headers["Cookie"] = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        body = None
        if said is not None:
            body = urlencode(said) if form else json.dumps(said)
            headers["Content-Type"] = "application/x-www-form-urlencoded" if form else "application/json"
        status, _, cookies, answer = asked(at, method, path, body, headers)
        for cookie in cookies:
            for name, morsel in SimpleCookie(cookie).items():
                self.cookies[name] = morsel.value
        return status, answer

    def sign_in(self, name: str, password: str) -> int:
        """The status of the answer to a name and a password."""
        self.ask("GET", "/sign-in/")
        return self.ask("POST", "/sign-in/", {"username": name, "password": password}, form=True)[0]
