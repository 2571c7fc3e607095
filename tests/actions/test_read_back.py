"""A whole park read into an empty register: from an export, row by row as it was, or not at all."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import Any
from uuid import uuid4

import pytest
from django.db import transaction

from tarsus.actions.bulk.exported import WITHOUT_SECRET, document_of, exported_rows, left_out
from tarsus.actions.bulk.frozen import FrozenRows, frozen
from tarsus.actions.bulk.inserting import free_numbers, insert_rows
from tarsus.actions.bulk.reader import (
    RegisterNotEmpty,
    RowsRefused,
    read_rows,
    read_whole_park,
    register_is_empty,
)
from tarsus.core.errors import MalformedInput, UnknownWord, WrongValue
from tarsus.queries.exports import tables_held
from tarsus.records import models as rows
from tarsus.tables.writing import json_text
from wendlebrook import Wendlebrook, build

pytestmark = pytest.mark.django_db
TODAY = date(2026, 6, 12)


@pytest.fixture
def document() -> dict[str, Any]:
    """The small park's export; the park itself is gone again."""
    with transaction.atomic():
        park = build()
        device = rows.DeviceToken.objects.create(name="phone", digest="d" * 64, made_by_id=park.actors.tilda)
        device.exhibits.set([park.shingle])
        rows.Waiting.objects.create(
            id=uuid4(), needs=uuid4(), kind="count", contents={}, told="d" * 32, device="phone", token=device
        )
        rows.Person.objects.filter(pk=park.actors.tilda).update(password="argon2$a-secret")
        told: dict[str, Any] = json.loads("".join(json_text(tables_held(TODAY))))
        transaction.set_rollback(True)
    assert register_is_empty()
    return told


def test_an_export_read_back_is_the_same_park_under_the_same_numbers(document: dict[str, Any]) -> None:
    written = read_whole_park(content=exported_rows(document))
    again = json.loads("".join(json_text(tables_held(TODAY))))
    (waits,) = document["waiting"]
    assert waits.pop("token_id") is not None
    assert again["waiting"][0].pop("token_id") is None, "its device is not read back"
    for table, lines in document.items():
        if table not in WITHOUT_SECRET:
            assert again[table] == lines, table
    assert written["bird"] == len(document["bird"]) == 8
    assert "birds" not in written, "it is told for people, and made from the others"
    assert not rows.DeviceToken.objects.exists()


def test_people_come_without_a_password_and_devices_without_a_token(document: dict[str, Any]) -> None:
    assert left_out(document) == ("device_token", "device_token_exhibits")
    assert left_out({**document, "device_token": [], "device_token_exhibits": []}) == ()
    read_whole_park(content=exported_rows(document))
    assert [person.has_usable_password() for person in rows.Person.objects.all()] == [False] * 7
    assert len(set(rows.Person.objects.values_list("password", flat=True))) == 7, "and none that two share"


def test_whatever_is_written_next_has_a_number_of_its_own(document: dict[str, Any]) -> None:
    read_whole_park(content=exported_rows(document))
    highest = max(line["id"] for line in document["bird"])
    species, person = rows.Species.objects.first(), rows.Person.objects.first()
    assert rows.Bird.objects.create(species=species, recorded_by=person).pk > highest


def test_a_try_leaves_nothing_behind_and_says_how_much_it_was(document: dict[str, Any]) -> None:
    heard: list[int] = []
    with transaction.atomic():
        written = read_whole_park(content=exported_rows(document), progress=heard.append, keep=False)
        transaction.set_rollback(True)
    assert sum(written.values()) == sum(heard) == len(heard)
    assert written["bird"] == 8
    assert register_is_empty()


def test_a_whole_park_goes_into_an_empty_register_only(document: dict[str, Any], park: Wendlebrook) -> None:
    with pytest.raises(RegisterNotEmpty) as refusal:
        read_whole_park(content=exported_rows(document))
    assert str(refusal.value) == (
        "register: already holds 'Wendlebrook Bird Garden'; choose another home folder for a park that is "
        "loaded whole"
    )
    rows.Park.objects.all().delete()
    assert not register_is_empty()
    with pytest.raises(RegisterNotEmpty, match=r"^register: already holds 'people or birds of a park'"):
        read_whole_park(content=exported_rows(document))


@pytest.mark.parametrize(
    ("contents", "said"),
    [
        (b"{", "all.json: "),
        (b"[]", "all.json: is no export of a whole register; write one with: tarsus export NAME.json"),
        (b'{"park": []}', "all.json: is no export of a whole register"),
        (b'{"bird": []}', "all.json: is no export of a whole register"),
        (b'{"park": [], "bird": [], "bird": []}', "bird: stands twice"),
    ],
)
def test_what_is_no_export_of_a_register_is_refused(contents: bytes, said: str) -> None:
    with pytest.raises(MalformedInput) as refusal:
        document_of(contents, "all.json")
    assert str(refusal.value).startswith(said)


def test_an_export_is_a_document_of_tables() -> None:
    assert document_of(b'{"park": [], "bird": []}', "all.json") == {"park": [], "bird": []}


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda told: told.update(bird={}), "bird: is no list of rows; write it as an export does"),
        (lambda told: told.update(bird=[1]), "bird: is no list of rows; write it as an export does"),
        (
            lambda told: told["bird"][3].update(wings=2),
            "bird[3]: has other columns than the first row: wings",
        ),
        (
            lambda told: told["bird"][1].pop("house_name"),
            "bird[1]: has other columns than the first row: house_name",
        ),
    ],
)
def test_a_table_that_was_spoilt_is_named_with_its_row(
    document: dict[str, Any], spoil: Callable[[dict[str, Any]], object], said: str
) -> None:
    spoil(document)
    with pytest.raises(WrongValue) as refusal:
        list(exported_rows(document))
    assert str(refusal.value) == said


@pytest.mark.parametrize(
    ("spoil", "refusal", "said"),
    [
        (lambda told: told.update(shopping=[{"item": 1}]), UnknownWord, "table: 'shopping' is no table of"),
        (
            lambda told: [row.update(wings=2) for row in told["bird"]],
            UnknownWord,
            "bird: 'wings' is no column of this table",
        ),
        (
            lambda told: told["stay"][0].update(exhibit_id=999),
            RowsRefused,
            "references: the register refuses a row (",
        ),
        (
            lambda told: told["bird"][0].update(id=told["bird"][1]["id"]),
            RowsRefused,
            "bird: the register refuses a row (",
        ),
        (
            lambda told: told["stay"][0].update(from_on="yesterday"),
            RowsRefused,
            "stay: the register refuses a row (",
        ),
    ],
)
def test_a_row_that_the_register_refuses_lets_none_in(
    document: dict[str, Any],
    spoil: Callable[[dict[str, Any]], object],
    refusal: type[MalformedInput],
    said: str,
) -> None:
    spoil(document)
    with pytest.raises(refusal) as told, transaction.atomic():
        read_whole_park(content=exported_rows(document))
    assert str(told.value).startswith(said)
    assert refusal is not RowsRefused or str(told.value).endswith("; nothing was written")
    assert register_is_empty()


def test_rows_are_added_up_by_table_and_what_is_not_named_has_its_default(park: Wendlebrook) -> None:
    one = frozen("exhibit", [{"name": "Fen"}, {"name": "Moor"}])
    other = FrozenRows("exhibit", ("name", "purpose"), iter([("Ward", "hospital")]))
    heard: list[int] = []
    assert read_rows(content=[one, frozen("place", []), other], progress=heard.append) == {"exhibit": 3}
    assert heard == [1, 1, 1]
    assert dict(rows.Exhibit.objects.values_list("name", "purpose")) == {
        "Shingle Aviary": "display",
        "Reed House": "display",
        "Fen": "display",
        "Moor": "display",
        "Ward": "hospital",
    }
    made = rows.Bird.objects.count()
    bird = {"species_id": park.ruff, "recorded_by_id": park.actors.tilda}
    assert insert_rows(rows.Bird, tuple(bird), [tuple(bird.values())] * 2) == 2
    assert rows.Bird.objects.count() == made + 2
    assert insert_rows(rows.Bird, tuple(bird), []) == 0


def test_free_numbers_follow_the_last_one_that_was_ever_given(park: Wendlebrook) -> None:
    gone = rows.Exhibit.objects.create(name="Fen")
    last = gone.pk
    gone.delete()
    assert list(free_numbers(rows.Exhibit, 3)) == [last + 1, last + 2, last + 3]


def test_frozen_rows_keep_their_columns_in_the_order_they_were_told() -> None:
    told = frozen("place", [{"name": "spit", "kind": "ledge"}, {"name": "pool", "kind": "pool"}])
    assert (told.table, told.columns, told.rows) == (
        "place",
        ("name", "kind"),
        (("spit", "ledge"), ("pool", "pool")),
    )
    assert frozen("place", []).columns == ()
    with pytest.raises(AssertionError, match="rows of place name different columns"):
        frozen("place", [{"name": "spit"}, {"kind": "pool"}])
