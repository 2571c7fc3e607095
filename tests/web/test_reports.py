"""Reports over the web: who may ask for which, as a page, on paper and as a workbook."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from datetime import date

import openpyxl
import pytest
from django.test import Client
from django.utils import timezone
from pypdf import PdfReader

from pages import shown, text_of
from tarsus.queries.park_reports.register import REPORTS
from tarsus.records.models import Park
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]
MARCH = "?first=2026-03-01&last=2026-03-31"
FOR_WHOM = {
    "pia": {"inventory", "presence", "unseen"},
    "tilda": set(REPORTS) - {"duties-done"},
    "maren": set(REPORTS),
    "ilse": set(REPORTS),
    "corin": set(REPORTS),
    "dunstan": set(REPORTS),
}


@pytest.mark.parametrize("login", FOR_WHOM)
def test_the_menu_offers_what_a_person_may_ask_for_and_no_more(
    login: str, garden: Wendlebrook, signed_in: Browser
) -> None:
    client = signed_in(login)
    assert shown(client.get("/")).count('href="/reports/"') == 1
    page = shown(client.get("/reports/"))
    assert set(re.findall(r'href="/reports/([a-z-]+)/"', page)) == FOR_WHOM[login]
    assert 'href="/months/"' in page
    for name in REPORTS:
        for form in ("", "pdf/", "xlsx/"):
            expected = 200 if name in FOR_WHOM[login] else 403
            assert client.get(f"/reports/{name}/{form}{MARCH}").status_code == expected, (name, form)


def test_page_paper_and_workbook_tell_the_same_numbers(garden: Wendlebrook, signed_in: Browser) -> None:
    records = signed_in("corin")
    page = text_of(records, f"/reports/inventory/{MARCH}")
    pdf = records.get(f"/reports/inventory/pdf/{MARCH}")
    assert pdf["Content-Disposition"] == 'inline; filename="inventory-2026-03-01-2026-03-31.pdf"'
    paper = " ".join(" ".join(one.extract_text() for one in PdfReader(io.BytesIO(pdf.content)).pages).split())
    book = openpyxl.load_workbook(io.BytesIO(records.get(f"/reports/inventory/xlsx/{MARCH}").content))
    for told in (page, paper):
        assert "Inventory" in told
        assert "Pied avocet females 0 0 3 0 0 0 0 0 0 0 0 3" in told
        assert "Every line balances." in told
    row = next(
        row for row in book["Living here"].iter_rows(min_row=2, values_only=True) if row[1] == "females"
    )
    assert row == ("Pied avocet", "females", 0, 0, 3, 0, 0, 0, 0, 0, 0, 0, 0, 3)
    assert "Drawn up by, date" in paper


def test_a_day_in_the_past_is_told_as_it_was_known(garden: Wendlebrook, signed_in: Browser) -> None:
    # The small park is written when a test makes it: in March nothing of it was known.
    page = text_of(signed_in("pia"), f"/reports/inventory/{MARCH}&known=2026-03-31")
    assert "As known at the end of 31 March 2026; what is different now stands in the last column." in page
    assert "told since" in page


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("?first=2026-03-31&last=2026-03-01", "1 March 2026 is before 31 March 2026; exchange the two days."),
        ("?first=2020-03-31&last=2026-03-01", "A report covers 366 days at the most; choose fewer."),
        ("?first=2199-03-31&last=2199-04-01", "is still to come; choose an earlier day."),
        ("?known=2199-03-31", "is still to come; choose an earlier day or none."),
        ("?first=march", "This is no day; write it as 2026-05-31."),
        ("?first=0001-01-01&last=0001-01-31", "No report begins before 1900; choose a later day."),
        ("?first=9999-12-31", "is still to come; choose an earlier day."),
        ("?exhibit=999", "This is none of the choices"),
    ],
)
def test_what_cannot_be_asked_is_refused_with_a_remedy(
    query: str, said: str, garden: Wendlebrook, signed_in: Browser
) -> None:
    answer = signed_in("pia").get(f"/reports/presence/{query}")
    assert answer.status_code == 422
    assert said in shown(answer)


def test_a_report_that_is_none_is_not_found(garden: Wendlebrook, signed_in: Browser) -> None:
    for address in ("/reports/moods/", "/reports/presence/docx/"):
        assert signed_in("pia").get(address).status_code == 404


def test_without_days_the_month_before_this_one_is_told(garden: Wendlebrook, signed_in: Browser) -> None:
    before = date.fromordinal(timezone.localdate().replace(day=1).toordinal() - 1)
    assert f"Presence, {before:%B %Y}" in text_of(signed_in("pia"), "/reports/presence/")


def test_a_bird_of_a_report_is_one_tap_away(garden: Wendlebrook, signed_in: Browser) -> None:
    page = shown(signed_in("pia").get(f"/reports/presence/{MARCH}"))
    assert f'<a href="/birds/{garden["Kelp"]}/">Kelp</a>' in page


def test_a_report_of_an_invented_park_says_so(garden: Wendlebrook, signed_in: Browser) -> None:
    Park.objects.update(invented=True)
    records = signed_in("corin")
    pdf = records.get(f"/reports/inventory/pdf/{MARCH}").content
    assert "(invented)" in PdfReader(io.BytesIO(pdf)).pages[0].extract_text()
    book = openpyxl.load_workbook(io.BytesIO(records.get(f"/reports/inventory/xlsx/{MARCH}").content))
    assert book["About"]["B1"].value == "Wendlebrook Bird Garden (invented)"
