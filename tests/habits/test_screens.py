"""What `make screens` takes is every page that shows something, or why one is left out stands here."""

from __future__ import annotations

import re

from django.urls import resolve

from addresses import addresses
from browser.screens import MORE
from browser.walk import OF_THE_VET, PAGES

_NOT_SIGNED_IN = "taken by nobody who is signed in"
_OF_A_FILE = "stands only while a file is read in, or once one was"
_DEED = "takes what a form sends, and leads to another page"
NOT_TAKEN = {
    **dict.fromkeys(("sign-in", "second-step-code", "first-person", "join"), _NOT_SIGNED_IN),
    **dict.fromkeys(("import-look", "import-told", "import-mend", "samples-results", "job"), _OF_A_FILE),
    "visitors": "open only where the park opens it; without any of the page's own parts",
    **dict.fromkeys(
        ("catch-up-keep", "catch-up-drop", "catch-up-sign", "marking-keep", "marking-drop"), _DEED
    ),
    **dict.fromkeys(("birds-come-sheet", "samples-read", "samples-send", "import-throw-away"), _DEED),
    **dict.fromkeys(("new-park-skip", "own-phone-news-end", "settings-device-back", "since-seen"), _DEED),
    **dict.fromkeys(
        ("second-step-off", "second-step-reset", "settings-published-colours", "sign-out"), _DEED
    ),
    "catch-up-day": "stands only once a catch-up was kept",
    "report-as": "a file or a paper",
}


def test_every_page_is_on_the_sheet_or_says_why_not() -> None:
    taken = {
        resolve(
            re.sub(r"{\w+}", "1", page.replace("{month}", "2026-05").split("#")[0].split("?")[0])
        ).url_name
        for page in (*PAGES, *MORE, *OF_THE_VET)
    }
    shown = {str(pattern.name) for address, pattern in addresses() if address.endswith("/")}
    left = shown - taken - NOT_TAKEN.keys()
    assert left == set()
