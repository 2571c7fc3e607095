"""The import by page: nothing typed is lost, nothing is written unseen, every refusal stands at its field."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from pages import shown
from tarsus.records.models import Bird, ColumnMapping, ImportBatch, Park, RefusedRow, Species
from wendlebrook import Wendlebrook

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
Browser = Callable[[str], Client]


def choose(client: Client, name: str = "wendlebrook.xlsx") -> None:
    file = SimpleUploadedFile(name, (EXAMPLES / name).read_bytes())
    answer = client.post("/import/", {"file": file})
    assert (answer.status_code, answer["Location"]) == (302, "/import/look/")


def said(client: Client, **more: str) -> dict[str, str]:
    """The form as the page shows it, with what a person changes in it."""
    page = client.get("/import/look/").context
    form = {f"column-{column.place}": column.field for column in page["columns"]}
    form |= {"letters": page["letters_chosen"], "sheet": "Birds 2026"}
    for place, name in enumerate(page["plan"].species_asked, start=1):
        form[f"species-{place}"] = name
    return form | more


WHERE = {"where-1": "tibia", "where-2": "leg", "where-4": "wing"}


def looked_at(client: Client) -> None:
    """The example as far as its letters and species are said."""
    choose(client)
    client.post("/import/look/", said(client, letters="wader", **WHERE))


@pytest.mark.django_db
def test_letters_and_species_are_asked_before_anything_can_be_brought_in(
    park: Park, browser_of: Browser
) -> None:
    client = browser_of("rhea")
    choose(client)
    page = client.get("/import/look/")
    assert page.context["plan"].letters_asked == {}  # no marks are read while the species are not known
    assert page.context["plan"].species_asked == ("Pied avocet", "Ruff", "Ruf", "African penguin")
    assert "Bring " not in shown(page)
    assert client.post("/import/look/", said(client, **WHERE)).status_code == 302
    page = client.get("/import/look/")
    assert page.context["plan"].letters_asked["B"] == ("blue", "black", "brown")
    assert "B may be blue or black or brown." in shown(page)
    assert "Bring " not in shown(page)
    own = {f"letter-{letter}": bands[0] for letter, bands in page.context["plan"].letters_asked.items()}
    client.post("/import/look/", said(client, letters="own", **own | {"letter-B": "black"}))
    page = client.get("/import/look/")
    teasel = next(bird for bird in page.context["birds"] if bird.called == "Teasel")
    assert teasel.marks == {"left leg": ["metal"], "right leg": ["black"]}
    assert not Bird.objects.exists()


@pytest.mark.django_db
def test_good_lines_go_in_and_the_refused_wait_to_be_mended(park: Park, browser_of: Browser) -> None:
    client = browser_of("oda")
    looked_at(client)
    answer = client.post("/import/look/", said(client, bring="1", mapping="our list"))
    batch = ImportBatch.objects.get()
    assert answer["Location"] == f"/import/{batch.pk}/"
    assert (batch.rows_in, batch.rows_refused, batch.by.login) == (13, 8, "oda")
    assert Bird.objects.count() == 13
    assert ColumnMapping.objects.get().name == "our list"
    assert client.get("/import/look/").status_code == 302  # the draft is gone

    page = shown(client.get(f"/import/{batch.pk}/"))
    assert "13 birds came in" in page
    assert "8 lines wait to be mended" in page
    assert "&#x27;tael&#x27; is no colour, letter or side" in page
    assert 'value="tael"' in page


@pytest.mark.django_db
def test_a_line_is_mended_in_the_page_and_keeps_what_was_typed(park: Park, browser_of: Browser) -> None:
    client = browser_of("rhea")
    looked_at(client)
    client.post("/import/look/", said(client, bring="1"))
    batch = ImportBatch.objects.get().pk

    wrong = client.post(f"/import/{batch}/12/", {"cell:Right": "teel", "cell:Remarks": "mended at the desk"})
    assert wrong["Location"] == f"/import/{batch}/#line-12"
    page = shown(client.get(f"/import/{batch}/"))
    assert 'value="teel"' in page
    assert 'value="mended at the desk"' in page
    assert "Line 12 is still refused: &#x27;teel&#x27; is no colour" in page

    right = client.post(f"/import/{batch}/12/", {"cell:Right": "pale blue"})
    assert right["Location"] == f"/import/{batch}/#waiting"
    spurrey = Bird.objects.get(house_name="Spurrey")
    assert spurrey.notes.get().text == "mended at the desk"
    assert not RefusedRow.objects.filter(line=12, mended_at__isnull=True).exists()

    client.post(f"/import/{batch}/13/", {"leave_out": "1"})
    assert not RefusedRow.objects.filter(line=13, mended_at__isnull=True).exists()


@pytest.mark.django_db
def test_the_waiting_lines_can_be_taken_home_as_a_table(park: Park, browser_of: Browser) -> None:
    client = browser_of("rhea")
    looked_at(client)
    client.post("/import/look/", said(client, bring="1"))
    batch = ImportBatch.objects.get().pk
    answer = client.get(f"/import/{batch}/refused.csv")
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert len(rows) == 8
    assert rows[0]["refused line"] == f"{batch}/10"


@pytest.mark.django_db
def test_the_waiting_lines_come_back_as_a_workbook_with_the_reason_beside_the_cell(
    park: Park, browser_of: Browser
) -> None:
    client = browser_of("rhea")
    looked_at(client)
    client.post("/import/look/", said(client, bring="1"))
    batch = ImportBatch.objects.get().pk
    assert f"/import/{batch}/refused.xlsx" in shown(client.get(f"/import/{batch}/"))
    answer = client.get(f"/import/{batch}/refused.xlsx")
    sheet = openpyxl.load_workbook(io.BytesIO(answer.content)).active
    headings = [cell.value for cell in sheet[1]]
    right = headings.index("Right")
    assert headings[right + 1] == "why refused: Right"
    tael = next(row for row in sheet.iter_rows(min_row=2) if row[right].value == "tael")
    assert tael[right + 1].value.startswith("'tael' is no colour, letter or side: ")
    assert tael[right + 1].fill.fgColor.rgb[-6:] == "FFF2CC"
    assert tael[-1].value == f"{batch}/12"
    assert sheet.max_row == 9

    tael[right].value = "pale blue"
    mended = io.BytesIO()
    sheet.parent.save(mended)
    file = SimpleUploadedFile("mended.xlsx", mended.getvalue())
    client.post("/import/", {"file": file, "mapping": "wendlebrook.xlsx"})
    client.post("/import/look/", said(client, sheet="refused", letters="wader", bring="1"))
    assert Bird.objects.filter(house_name="Spurrey").exists()
    assert not RefusedRow.objects.filter(batch=batch, line=12, mended_at__isnull=True).exists()


@pytest.mark.django_db
def test_a_line_that_is_asked_about_does_not_stand_under_refused_again(
    park: Park, browser_of: Browser
) -> None:
    client = browser_of("rhea")
    lines = "Bird,Species,Sex,Aviary,Left,Right\nKelp,Ruff,hane,Reed House,metal,rad\n"
    lines += "Sedge,Ruff,Hane,Reed House,yellow over rad,metal\nReed,,hane,Reed House,yellow,metal\n"
    client.post("/import/", {"file": SimpleUploadedFile("one.csv", lines.encode())})
    client.post("/import/look/", said(client, **{"where-1": "leg"}))
    page = client.get("/import/look/")
    assert [(one.line, one.field) for one in page.context["refused"]] == [(4, "Species")]
    assert "2 lines stand above, under <i>Not understood</i>: refused until" in shown(page)


@pytest.mark.django_db
def test_a_cell_that_is_not_understood_is_answered_in_its_place_once_and_remembered(
    park: Park, browser_of: Browser
) -> None:
    client = browser_of("rhea")
    lines = "Bird,Species,Sex,Aviary,Left,Right\nKelp,Ruff,hane,Reed House,metal,rad\n"
    lines += "Sedge,Ruff,Hane,Reed House,yellow over rad,metal\n"
    client.post("/import/", {"file": SimpleUploadedFile("one.csv", lines.encode())})
    client.post("/import/look/", said(client, **{"where-1": "leg"}))
    page = client.get("/import/look/")
    sex, colour = page.context["cells_asked"]
    assert (sex.heading, sex.lines, sex.key) == ("Sex", "Lines 2, 3", "sex:hane")
    assert sex.cells[:2] == (("Bird", "Kelp", False), ("Sex", "hane", True))
    assert [value for value, _ in colour.ways] == ["red"]
    assert '<td class="is-blamed">hane</td>' in shown(page)
    answers = {
        f"cell-key-{sex.number}": sex.key,
        f"cell-is-{sex.number}": "M",
        f"cell-key-{colour.number}": colour.key,
        f"cell-is-{colour.number}": "red",
        f"cell-typed-{colour.number}": "pale blue",
    }
    client.post("/import/look/", said(client, **answers))
    page = client.get("/import/look/")
    assert not page.context["cells_asked"]
    assert not page.context["refused"]
    assert [bird.sex for bird in page.context["birds"]] == ["M", "M"]
    assert page.context["birds"][1].marks["left leg"] == ["yellow", "pale blue"]
    client.post("/import/look/", said(client, bring="1", mapping="ours"))
    assert Bird.objects.count() == 2
    assert ColumnMapping.objects.get().letters["cells"] == {
        "sex": {"hane": "M"},
        "marks": {"rad": "pale blue"},
    }

    more = SimpleUploadedFile(
        "two.csv", b"Bird,Species,Sex,Aviary,Left,Right\nReed,Ruff,hane,Reed House,rad,metal\n"
    )
    client.post("/import/", {"file": more, "mapping": "ours"})
    page = client.get("/import/look/")
    assert not page.context["cells_asked"]
    assert page.context["birds"][0].marks["left leg"] == ["pale blue"]
    client.post("/import/look/", said(client, **{"ask-again": "cell:marks:rad"}))
    assert [cell.key for cell in client.get("/import/look/").context["cells_asked"]] == ["marks:rad"]


@pytest.mark.django_db
def test_all_or_nothing_leaves_the_form_as_it_was(park: Park, browser_of: Browser) -> None:
    client = browser_of("rhea")
    looked_at(client)
    answer = client.post("/import/look/", said(client, bring="1", all_or_nothing="on", exhibit="Reed House"))
    assert answer.status_code == 422
    page = shown(answer)
    assert "Nothing was brought in: line 10, Left:" in page
    assert 'value="Reed House"' in page
    assert not Bird.objects.exists()
    assert not Species.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("name", "contents", "refusal"),
    [
        ("birds.xlsx", b"PK broken", "is no XLSX workbook"),
        ("birds.csv", b"", "is empty"),
        ("birds.xls", b"\xd0\xcf\x11\xe0 old", "workbook of the old kind"),
    ],
)
def test_what_is_no_spreadsheet_is_refused_at_the_field(
    park: Park, browser_of: Browser, name: str, contents: bytes, refusal: str
) -> None:
    answer = browser_of("rhea").post("/import/", {"file": SimpleUploadedFile(name, contents)})
    assert answer.status_code == 422
    assert refusal in shown(answer)


@pytest.mark.django_db
def test_two_columns_cannot_be_one_field(park: Park, browser_of: Browser) -> None:
    client = browser_of("rhea")
    looked_at(client)
    form = said(client)
    taken = next(key for key, field in form.items() if field == "name")
    other = next(key for key, field in form.items() if field == "note")
    answer = client.post("/import/look/", form | {other: form[taken]})
    assert answer.status_code == 422
    assert "are both &#x27;name&#x27;; keep one of them" in shown(answer)


@pytest.mark.django_db
def test_a_file_put_aside_leaves_nothing_behind(park: Park, browser_of: Browser) -> None:
    client = browser_of("rhea")
    looked_at(client)
    client.post("/import/throw-away/")
    assert client.get("/import/look/").status_code == 302
    assert "import_draft" not in client.session
    assert not Bird.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize("login", ["ines", "vera", "vito"])
def test_keepers_viewers_and_the_vet_do_not_import(park: Park, browser_of: Browser, login: str) -> None:
    assert browser_of(login).get("/import/").status_code == 403


def bring_example(client: Client) -> Any:
    """The example as a program of spreadsheets would send it back, looked at."""
    taken = client.get("/import/example.csv").getvalue()
    answer = client.post("/import/", {"file": SimpleUploadedFile("birds.csv", taken)})
    assert (answer.status_code, answer["Location"]) == (302, "/import/look/")
    return client.get("/import/look/")


def test_the_example_that_the_page_shows_works_as_it_is(garden: Wendlebrook, signed_in: Browser) -> None:
    client = signed_in("maren")
    page = client.get("/import/")
    assert all(str(cell) in shown(page) for row in page.context["example"].rows for cell in row)
    looked = bring_example(client)
    plan = looked.context["plan"]
    assert [bird.called for bird in looked.context["birds"]] == ["Sandglass", "Driftline", "Oyster"]
    assert (len(plan.birds), plan.refused_rows, plan.species_asked, plan.letters_asked) == (3, (), (), {})
    assert looked.context["ready"]


@pytest.mark.django_db
def test_of_the_example_an_empty_register_asks_only_where_its_species_wears_bands(
    park: Park, browser_of: Browser
) -> None:
    client = browser_of("rhea")
    assert bring_example(client).context["plan"].species_asked == ("Pied avocet",)
    client.post("/import/look/", said(client, sheet="", **{"where-1": "tibia"}))
    looked = client.get("/import/look/")
    assert (len(looked.context["plan"].birds), looked.context["ready"]) == (3, True)
