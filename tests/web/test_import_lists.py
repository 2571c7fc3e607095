"""The page of a list of something else than birds: looked at, asked once, told, mended."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from pages import shown
from tarsus.records.models import RefusedRow, Sighting, ToldDeed, Weighing
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
WEIGHTS = b"bird,date,weight\nKelp,2026-04-03,310\nKelpp,2026-04-03,311\nSedge,2026-04-03,heavy\n"
SignedIn = Callable[[str], Client]


def sent(client: Client, contents: bytes, name: str = "weights.csv") -> str:
    answer = client.post("/import/", {"file": SimpleUploadedFile(name, contents)})
    assert answer.status_code == 302, answer.content.decode()
    return shown(client.get("/import/look/"))


def form(client: Client, **said: str) -> dict[str, str]:
    """The form as it stands, with what somebody says."""
    shown = client.get("/import/look/").context
    columns = {f"column-{one.place}": one.field for one in shown["columns"]}
    return {**columns, "what": shown["what"], **said}


def test_a_list_of_weights_is_known_by_its_headings_asked_once_told_and_mended(
    garden: Wendlebrook, signed_in: SignedIn
) -> None:
    client = signed_in("maren")
    page = sent(client, WEIGHTS)
    assert "Read as a list of weights" in page
    assert "No column says &#x27;where&#x27;" in page
    assert not ToldDeed.objects.exists()
    client.post("/import/look/", form(client, **{"once-where": "in hand"}))
    page = shown(client.get("/import/look/"))
    assert "1 line would be told, 2 are refused" in page
    number = client.get("/import/look/").context["cells_asked"][0].number
    said = {f"cell-key-{number}": "bird:Kelpp", f"cell-is-{number}": "Kelp"}
    client.post("/import/look/", form(client, **said))
    page = shown(client.get("/import/look/"))
    assert "2 lines would be told, 1 is refused" in page
    answer = client.post("/import/look/", form(client, bring="1"))
    assert answer.status_code == 302, answer.content.decode()
    assert sorted(Weighing.objects.filter(bird=garden["Kelp"]).values_list("weight_g", flat=True))[-2:] == [
        310,
        311,
    ]
    told = shown(client.get(answer["Location"]))
    assert "2 lines came in" in told
    assert "is no weight" in told
    mended = client.post(f"{answer['Location']}4/", {"cell:weight": "290"}, follow=True)
    assert "Line 4 was brought in." in shown(mended)
    assert not RefusedRow.objects.filter(mended_at__isnull=True).exists()


def test_what_it_is_a_list_of_may_be_said_otherwise(garden: Wendlebrook, signed_in: SignedIn) -> None:
    client = signed_in("maren")
    sent(client, WEIGHTS)
    client.post("/import/look/", form(client, what="sightings"))
    page = shown(client.get("/import/look/"))
    assert "Read as a list of sightings" in page
    client.post("/import/look/", form(client, what="birds"))
    assert "3 lines are refused" in shown(client.get("/import/look/"))


def test_a_stock_without_a_day_is_asked_for_it(garden: Wendlebrook, signed_in: SignedIn) -> None:
    client = signed_in("maren")
    page = sent(client, b"Ringart;Farbe;Innendurchmesser;Anzahl\nFarbring;rot;9,9;40\n", "lager.csv")
    assert "Read as a list of stock" in page
    assert 'type="date"' in page
    client.post("/import/look/", form(client, **{"once-on": "2026-04-03"}))
    assert "1 line would be told" in shown(client.get("/import/look/"))


def test_an_old_roll_sheet_asks_what_its_signs_say_and_is_told_by_days(
    garden: Wendlebrook, signed_in: SignedIn
) -> None:
    client = signed_in("maren")
    page = sent(client, b"Bird;Sa 2;So 3;4\nKelp;x;n.g.;x\nSedgge;x;;\n", "may.csv")
    assert "Read as a list of ticks: 0 days would be told" in page
    assert "What does an empty cell say?" in page
    assert "Of which month are they?" in page
    asked = client.get("/import/look/").context["cells_asked"]
    assert [(one.key, one.ways[0][0], one.heading) for one in asked] == [
        ("tick:x", "seen", "Sa 2"),
        ("tick:n.g.", "not seen", "So 3"),
        ("bird:Sedgge", "Sedge", "Bird"),
    ]
    assert "Answer what is asked first" in page
    once = {"once-blank": "nothing said", "once-time": "07:30", "once-month": "2026-05"}
    signs = {"tick:x": "seen", "tick:n.g.": "not looked for"}
    said = {f"cell-key-{one.number}": one.key for one in asked}
    said |= {f"cell-is-{one.number}": signs[one.key] for one in asked if one.key in signs}
    client.post("/import/look/", form(client, **once, **said))
    page = shown(client.get("/import/look/"))
    assert "2 days would be told, 1 line is refused" in page
    assert "2026-05-02 07:30: 1 seen" in page
    assert not ToldDeed.objects.exists()
    answer = client.post("/import/look/", form(client, bring="1"))
    assert answer.status_code == 302, answer.content.decode()
    assert "2 days came in" in shown(client.get(answer["Location"]))
    mended = client.post(f"{answer['Location']}3/", {"cell:Bird": "Sedge"}, follow=True)
    assert "Line 3 was brought in." in shown(mended)
    assert Sighting.objects.filter(bird=garden["Sedge"], happened_at__date="2026-05-02").count() == 1
