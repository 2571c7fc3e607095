"""A park with no bird: every page, opened by every role, says what comes next, and nothing that is not so."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from django.test import Client

from addresses import addresses
from pages import shown
from tarsus.records.models import Park, Person

from .conftest import PEOPLE

UNTRUE_HERE = (
    "every bird on the roll",
    "all seen",
    "was seen when",
    "all birds",
    "everything is done",
    "nothing is due",
)


def _pages() -> list[str]:
    """Every address without a row in it."""
    return sorted({address for address, pattern in addresses() if "<" not in str(pattern.pattern)})


@pytest.mark.parametrize("login", PEOPLE)
def test_every_page_says_the_next_step(
    login: str, people: dict[str, Person], park: Park, browser_of: Callable[[str], Client]
) -> None:
    client, told = browser_of(login), 0
    for address in _pages():
        answer = client.get(address)
        assert answer.status_code in (200, 302, 403, 405), address
        page = b"".join(answer).decode() if answer.streaming else shown(answer)
        # A phone's own pages are kept from day to day; what they say without an exhibit is their script's.
        if (
            answer.status_code != 200
            or "<main" not in page
            or "data-phone" in page
            or address.startswith("/new-park/")
        ):
            continue
        told += 1
        assert 'class="next-step' in page, address
        leads = PEOPLE[login][1] in ("lead", "administrator")
        assert ('href="/new-park/"' in page) == leads, f"{address}: a way only for whoever may go it"
        words = re.sub(r"<[^>]+>", " ", page).lower()
        assert not [said for said in UNTRUE_HERE if said in words], address
    assert told >= 10


def test_once_a_bird_is_there_no_page_says_so_any_more(
    garden: object, signed_in: Callable[[str], Client]
) -> None:
    assert 'class="next-step' not in shown(signed_in("maren").get("/"))


@pytest.mark.parametrize("login", ["ines", "vito", "rhea", "vera"])
def test_nobody_is_sent_to_a_page_that_refuses_them(
    login: str, people: dict[str, Person], park: Park, browser_of: Callable[[str], Client]
) -> None:
    """Links of the empty park's pages, followed as whoever is shown them."""
    client = browser_of(login)
    refused = []
    for address in ("/", "/exhibits/", "/flocks/", "/nests/", "/months/", "/more/", "/settings/"):
        page = shown(client.get(address))
        main = page[page.index("<main") :]
        for link in re.findall(r'href="(/[^"#?]*)"', main):
            if client.get(link).status_code == 403:
                refused.append(f"{address} → {link}")
    assert not refused
