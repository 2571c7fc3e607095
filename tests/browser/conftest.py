"""Debian's Chromium at phone size against a live server with the invented park in small."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

import kept_register
from browser.asked import Asked, counted
from browser.keeper import Keeper
from browser.wire import Wire

CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
]
PHONE = (390, 844)
SMALL_PHONE = (360, 640)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if "tests/browser" in str(item.path):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    # The browser's own loop runs in this thread; the register is asked from it all the same.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session", autouse=True)
def _served_as_a_park_is() -> Iterator[None]:
    """Files come through Tarsus's own middleware and routes, not through Django's server for tests."""
    from django.contrib.staticfiles.handlers import StaticFilesHandler

    patch = pytest.MonkeyPatch()
    patch.setattr(StaticFilesHandler, "_should_handle", lambda _self, _path: False)
    yield
    patch.undo()


@pytest.fixture(scope="session")
def _loaded() -> dict[Any, tuple[Any, kept_register.Kept]]:
    """The park as it was loaded, by the day: kept for the tests of the session."""
    return {}


@pytest.fixture
def wendlebrook(transactional_db: None, _loaded: dict[Any, tuple[Any, kept_register.Kept]]) -> Any:
    """The invented park in small, its history ending yesterday evening."""
    from tarsus.demo.loaded import LoadedPark, load_demo

    today = datetime.now(ZoneInfo("Europe/London")).date()
    if today not in _loaded:
        _loaded[today] = (load_demo(today, small=True), kept_register.keep())
    park, kept = _loaded[today]
    kept_register.put_back(kept)
    # A test may write more down in it.
    return LoadedPark(park.today, dict(park.people), dict(park.exhibits), dict(park.birds))


@pytest.fixture(scope="session")
def asked() -> Iterator[Asked]:
    """What the live server is being asked."""
    with counted() as asked:
        yield asked


@pytest.fixture
def patience_ms() -> int:
    """How long a phone waits for a page before it shows what it knows: these servers share two cores with the
    browsers that ask them, and late is not slow. Stories of a slow server have the phone's own patience.
    """
    return 60_000


@pytest.fixture(autouse=True)
def _patient(patience_ms: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tarsus.web.offline.PATIENCE_MS", patience_ms)


@pytest.fixture
def wire(live_server: Any) -> Iterator[Wire]:
    """A wire to the live server that the test may cut."""
    one = Wire((live_server.thread.host, live_server.thread.port))
    yield one
    one.end()


@pytest.fixture
def keeper(
    chromium: Browser, live_server: Any, wendlebrook: Any, asked: Asked
) -> Iterator[Callable[..., Keeper]]:
    """A keeper with a phone of their own, signed in; whatever goes wrong on the page fails the test."""
    contexts, troubles = [], []

    def at_phone(
        login: str = "tamsin", size: tuple[int, int] = PHONE, through: Wire | None = None, **more: Any
    ) -> Keeper:
        context = chromium.new_context(
            viewport={"width": size[0], "height": size[1]},
            has_touch=True,
            locale="en-GB",
            timezone_id="Europe/London",
            base_url=through.url if through else live_server.url,
            **more,
        )
        context.set_default_timeout(30_000)
        contexts.append(context)
        page: Page = context.new_page()
        page.on("pageerror", lambda error: troubles.append(f"{page.url}: {error}"))
        page.on(
            "console", lambda line: troubles.append(line.text) if "Security Policy" in line.text else None
        )
        one = Keeper(page, wendlebrook)
        one.sign_in(login)
        return one

    yield at_phone
    for context in contexts:
        context.close()
    asked.wait_until_all_are_answered()
    assert not troubles, troubles
