"""What a phone is told: shown by the real worker, and asked for on a tap only."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from browser.keeper import Keeper
from tarsus.core.words.letter import SUBJECT

SHOWN = """async () => {
    const worker = await navigator.serviceWorker.ready;
    for (let tries = 0; tries < 100; tries += 1) {
        const shown = await worker.getNotifications();
        if (shown.length) return shown.map(({ title, body }) => [title, body]);
        await new Promise((again) => { setTimeout(again, 50); });
    }
    return [];
}"""
ACTIVE = """async () => {
    const { active } = await navigator.serviceWorker.ready;
    for (let tries = 0; active.state !== 'activated'; tries += 1) {
        if (tries > 1200) throw new Error(active.state);
        await new Promise((again) => { setTimeout(again, 50); });
    }
}"""
REFUSED = """Notification.requestPermission = () => {
    document.title = 'asked';
    return Promise.resolve('denied');
};"""


def test_what_a_phone_is_told_is_shown_and_its_permission_is_asked_on_the_tap(
    keeper: Callable[..., Keeper], live_server: Any, settings: Any, tmp_path: Any
) -> None:
    settings.PUSH_SERVICES, settings.HOME = ["push.browser.example"], tmp_path
    page = keeper("ivo", permissions=["notifications"]).page
    page.add_init_script(REFUSED)
    known: list[dict[str, Any]] = []
    worker = page.context.new_cdp_session(page)
    worker.on("ServiceWorker.workerRegistrationUpdated", lambda event: known.extend(event["registrations"]))
    worker.send("ServiceWorker.enable")
    page.goto("/settings/phone-news/")
    page.evaluate(ACTIVE)
    assert page.title() != "asked"
    page.get_by_role("button", name="Tell me on this phone").click()
    page.wait_for_selector("#cannot:not([hidden])")
    assert page.title() == "asked"
    assert "was not allowed" in page.inner_text("#cannot")
    told = {"origin": live_server.url, "registrationId": known[-1]["registrationId"]}
    # On a crowded machine a message may be lost before it reaches the worker: it is said again, and what was
    # shown already gives way to it.
    shown: list[list[str]] = []
    for _ in range(12):
        worker.send("ServiceWorker.deliverPushMessage", {**told, "data": f"{SUBJECT}\nSearch\n- Kelp"})
        shown = page.evaluate(SHOWN)
        if shown:
            break
    assert shown == [[SUBJECT, "Search\n- Kelp"]]
