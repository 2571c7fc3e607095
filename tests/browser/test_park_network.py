"""`tarsus serve --park` as a phone meets it: Chromium, a host name, the park's authority installed or not."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import sysconfig
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Error

from browser.conftest import CHROMIUM, FLAGS

NAME = "tarsus.example"  # RFC 2606: never anybody's
pytestmark = pytest.mark.browser


@dataclass(frozen=True)
class Park:
    """A park's server: where it answers and where its authority lies."""

    port: int
    plain_port: int
    authority: Path


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="module")
def park(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Park]:
    home = tmp_path_factory.mktemp("park")
    port, plain_port = free_port(), free_port()
    tarsus = Path(sysconfig.get_path("scripts")) / "tarsus"
    where = ["--name", NAME, "--host", "127.0.0.1", "--port", str(port), "--plain-port", str(plain_port)]
    with (home / "said").open("w") as said:
        server = subprocess.Popen(
            [sys.executable, tarsus, "serve", "--new", "--park", *where],
            env=os.environ | {"TARSUS_HOME": str(home)},
            stdout=said,
            stderr=said,
        )
        try:
            for one in (plain_port, port):  # the invitation is out before the pages are
                wait_until_it_listens(one, server, home / "said")
            yield Park(port, plain_port, home / "authority" / "authority.crt")
        finally:
            server.terminate()
            try:
                server.wait(timeout=30)
            except subprocess.TimeoutExpired:  # a busy machine; nothing of this register is kept
                server.kill()
                server.wait(timeout=30)


def wait_until_it_listens(port: int, server: subprocess.Popen[bytes], said: Path) -> None:
    for _ in range(480):
        try:
            socket.create_connection(("127.0.0.1", port), timeout=2).close()
            return
        except OSError:
            assert server.poll() is None, said.read_text()
            time.sleep(0.25)  # another process starts; there is nothing to wait on but its port
    raise AssertionError(said.read_text())


@pytest.fixture
def phone(tmp_path: Path, chromium: Browser) -> Iterator[BrowserContext]:
    """A browser with a trust store of its own and the park's name led to this machine."""
    store = tmp_path / ".pki" / "nssdb"
    store.mkdir(parents=True)
    subprocess.run(["certutil", "-N", "--empty-password", "-d", f"sql:{store}"], check=True)
    context = chromium.browser_type.launch_persistent_context(
        str(tmp_path / "profile"),
        executable_path=CHROMIUM,
        env=os.environ | {"HOME": str(tmp_path)},
        viewport={"width": 390, "height": 844},
        args=["--no-sandbox", f"--host-resolver-rules=MAP {NAME} 127.0.0.1", *FLAGS],
    )
    yield context
    context.close()


def trust(tmp_path: Path, authority: Path) -> None:
    store = tmp_path / ".pki" / "nssdb"
    subprocess.run(
        ["certutil", "-A", "-n", "park", "-t", "C,,", "-i", str(authority), "-d", f"sql:{store}"], check=True
    )


def test_a_phone_that_does_not_trust_the_authority_is_kept_out(park: Park, phone: BrowserContext) -> None:
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        phone.pages[0].goto(f"https://{NAME}:{park.port}/sign-in/")


def test_a_phone_that_trusts_it_can_work_without_signal(
    park: Park, tmp_path: Path, phone: BrowserContext
) -> None:
    trust(tmp_path, park.authority)
    page = phone.pages[0]
    answer = page.goto(f"https://{NAME}:{park.port}/sign-in/")
    assert answer is not None
    assert answer.status == 200
    assert page.evaluate("() => window.isSecureContext && 'serviceWorker' in navigator")
    assert page.evaluate("() => typeof crypto.randomUUID()") == "string"


def test_the_invitation_fits_a_phone_and_names_both_systems(park: Park, phone: BrowserContext) -> None:
    page = phone.pages[0]
    page.goto(f"http://127.0.0.1:{park.plain_port}/")
    assert page.get_by_role("heading", name="On an iPhone or iPad").is_visible()
    assert page.get_by_role("heading", name="On an Android phone").is_visible()
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
    deed = page.get_by_role("link", name="Get this park's authority").bounding_box()
    assert deed is not None
    assert deed["height"] >= 48
