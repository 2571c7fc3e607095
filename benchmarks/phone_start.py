"""How soon a slow phone has a roll call's first button, with and without a connection.

The demo is served and opened in Chromium at phone size, its processor slowed down six times; the phone has
been signed in and has kept its pages. From asking for the roll call until a button of it is there, the median
of seven.

    .venv/bin/python benchmarks/phone_start.py
"""

from __future__ import annotations

import re
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from statistics import median

from measured import Measured, as_table
from playwright.sync_api import BrowserContext, Page, sync_playwright

CHROMIUM = "/usr/bin/chromium"
SLOWDOWN, TIMES = 6, 7
LIMITS = {"online": 1.5, "offline": 1.2}
"""Seconds until the first button."""
TARSUS = (sys.executable, "-m", "tarsus.cli.main")
MARK = """new MutationObserver(() => {
    if (!window.first && document.querySelector('#main button')) window.first = performance.now();
}).observe(document, { childList: true, subtree: true });"""


@contextmanager
def served() -> Iterator[str]:
    """The whole demo, served; its address."""
    with tempfile.TemporaryDirectory(prefix="tarsus-phone-") as home, socket.socket() as free:
        subprocess.run([*TARSUS, "demo", "--no-serve", "--home", home], check=True, capture_output=True)
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
        free.close()
        command = [*TARSUS, "serve", "--home", home, "--port", str(port)]
        with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as server:
            try:
                _wait_for(f"http://localhost:{port}/sign-in/")
                yield f"http://localhost:{port}"
            finally:
                server.terminate()


def _wait_for(address: str) -> None:
    for _ in range(600):
        try:
            with urllib.request.urlopen(address, timeout=5):
                return
        except (OSError, urllib.error.HTTPError):
            time.sleep(0.1)
    raise RuntimeError("the server does not answer")


def lines() -> Iterator[Measured]:
    """The lines of `make bench`."""
    with served() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM)
        phone = browser.new_context(base_url=address, viewport={"width": 390, "height": 844})
        page = phone.new_page()
        roll = _kept_by(page)
        page.add_init_script(MARK)
        phone.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
        for how, limit in LIMITS.items():
            found = [_first_button(phone, page, roll, offline=how == "offline") for _ in range(TIMES)]
            took = median(seconds for seconds, _ in found)
            job = f"first button of a roll call, {how}, {SLOWDOWN}x slowdown ({found[-1][1]} questions)"
            yield Measured(job, took, "limit", limit, took / limit, most=1)
        browser.close()


def _kept_by(page: Page) -> str:
    """Sign in, wait until the phone has kept what it needs; where a roll call is."""
    page.goto("/sign-in/")
    page.fill("[name=username]", "tamsin")
    page.fill("[name=password]", "tamsin-at-dawn")
    page.press("[name=password]", "Enter")
    page.wait_for_url(lambda address: "/sign-in/" not in address)
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")
    page.wait_for_function("async () => (await caches.keys()).includes('tarsus-pages')")
    addresses = page.eval_on_selector_all("a", "links => links.map((a) => a.getAttribute('href') || '')")
    roll = next(address for address in addresses if re.match(r"/exhibits/\d+/roll-call/", address))
    page.goto(roll)
    page.wait_for_selector("#main button")
    return str(roll)


def _first_button(phone: BrowserContext, page: Page, address: str, *, offline: bool) -> tuple[float, int]:
    page.goto("about:blank")
    phone.set_offline(offline)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(address, wait_until="commit")
    page.wait_for_function("() => window.first")
    return page.evaluate("window.first") / 1000, len(set(asked))


if __name__ == "__main__":
    found = list(lines())
    print(as_table(found))
    sys.exit(not all(line.met for line in found))
