"""What is told back to programs: facts as they were told, lines of an import, and what is a person's own."""

from __future__ import annotations

import pytest

from api.programs import device, person
from phones import Phone
from tarsus.api.settings_schemas import ColourWholeOut, ParkOut, SpeciesOut
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
MISSING = "5f2c7a7e-5a8e-4a3c-9d55-0f6a1d1d4e11"


def test_a_fact_is_read_back_by_whoever_may_tell_its_like(park: Wendlebrook) -> None:
    tilda, phone = person(park.actors.tilda), Phone(park, park.actors.tilda)
    weighed = phone.fact("weighed", bird=park["Kelp"], where="perch scale", weight_g=301.0)
    assert tilda.post("/facts", {"facts": [weighed]}).json()["answers"][0]["outcome"] == "written"
    way = f"/facts/{weighed['id']}"
    told = tilda.get(way).json()
    assert (told["kind"], told["contents"]["weight_g"]) == ("weighed", 301.0)
    assert "301" in told["words"]
    assert person(park.actors.pia).get(way).status_code == 403
    assert device(park, [park.shingle], [park.actors.tilda]).get(way).status_code == 403
    assert tilda.get(f"/facts/{MISSING}").status_code == 404


def test_lines_of_an_import_that_wait_are_told_in_parts(park: Wendlebrook) -> None:
    batch = rows.ImportBatch.objects.create(
        file_name="birds.csv", digest="d" * 64, by_id=park.actors.maren, rows_in=2
    )
    for line in (4, 7, 9):
        rows.RefusedRow.objects.create(
            batch=batch, line=line, cells={"name": "Plume"}, field="sex", reason="is no sex", remedy="write F"
        )
    maren = person(park.actors.maren)
    assert maren.get(f"/imports/{batch.pk}").json()["waiting"] == 3
    told = maren.get(f"/imports/{batch.pk}/waiting", limit=2).json()
    assert [one["line"] for one in told["items"]] == [4, 7]
    assert told["items"][0]["reasons"] == [{"field": "sex", "reason": "is no sex", "remedy": "write F"}]
    assert (told["total"], told["next"] is None) == (3, False)


def test_what_is_a_persons_own_is_told_to_no_device_and_to_nobody_else(park: Wendlebrook) -> None:
    tablet = device(park, [park.shingle, park.reed], [park.actors.tilda])
    for question in ("/me/learned", "/me/settings", "/me/sessions"):
        assert tablet.get(question).status_code == 403, question
    assert person(park.actors.tilda).get("/me/settings").json()["login"] == "tilda"
    assert person(park.actors.oswin).get("/me/settings").json()["login"] == "oswin"
    people = person(park.actors.dunstan).get(f"/settings/people/{park.actors.tilda}").json()
    assert people.keys() == {"id", "login", "name", "role", "is_active", "joined_at"}


def test_every_setting_of_the_park_of_a_species_and_of_a_colour_is_told() -> None:
    untold = {
        # The one row, that there is but one, and that a demo set it: nobody chose them.
        rows.Park: (ParkOut, {"id", "one_park", "invented"}),
        rows.Species: (SpeciesOut, set()),
        rows.Colour: (ColourWholeOut, set()),
    }
    for table, (told, of_no_page) in untold.items():
        set_here = {field.name for field in table._meta.concrete_fields}
        assert set_here - told.model_fields.keys() == of_no_page, table.__name__
