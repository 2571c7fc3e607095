"""Take the README's picture anew: Today and a roll call of the invented park, side by side on two phones.

Start the park first (`tarsus demo --home some-empty-folder --port 8104`), then:

    .venv/bin/python scripts/phone_picture.py http://127.0.0.1:8104 docs/images/phone.png
"""

from __future__ import annotations

import base64
import sys
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

PHONE = {"width": 390, "height": 844}
SHEET = """<body style="margin:0;display:flex;gap:28px;padding:24px;background:#fff;width:836px">
{pictures}</body>"""
PICTURE = """<img width="390" style="border:1px solid #9aa39c;border-radius:18px"
 src="data:image/png;base64,{data}">"""


def main(address: str, target: str) -> None:
    """Sign in as a keeper, take both pictures and write them as one."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        page = browser.new_page(viewport=PHONE, device_scale_factor=1.5)
        _sign_in(page, address)
        pictures = [_today(page, address), _roll_call(page, address)]
        Path(target).write_bytes(_side_by_side(browser, pictures))
        browser.close()


def _sign_in(page: Page, address: str) -> None:
    page.goto(f"{address}/sign-in/")
    page.get_by_label("Name").fill("tamsin")
    page.get_by_label("Password").fill("tamsin-at-dawn")
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_load_state("networkidle")


def _today(page: Page, address: str) -> bytes:
    page.goto(f"{address}/")
    page.wait_for_load_state("networkidle")
    return page.screenshot()


def _roll_call(page: Page, address: str) -> bytes:
    page.goto(f"{address}/exhibits/")
    page.get_by_role("link", name="Call Shingle Aviary").click()
    page.get_by_role("button", name="2", exact=True).click()
    page.get_by_role("button", name="8", exact=True).click()
    page.get_by_role("button", name="Save the count").click()
    for bird in ("Loam", "Whelk", "Thrift"):
        page.get_by_role("button", name=bird).first.click()
    page.get_by_text("Read", exact=True).first.click()
    page.get_by_role("button", name="yellow over green").last.click()
    page.wait_for_timeout(600)
    return page.screenshot()


def _side_by_side(browser: Browser, pictures: list[bytes]) -> bytes:
    sheet = browser.new_page(viewport={"width": 884, "height": 894}, device_scale_factor=1.5)
    shown = [PICTURE.format(data=base64.b64encode(picture).decode()) for picture in pictures]
    sheet.set_content(SHEET.format(pictures="".join(shown)))
    return sheet.screenshot(full_page=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
