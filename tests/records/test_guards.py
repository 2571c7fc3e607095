"""What the database itself refuses, whoever writes: the same on SQLite and on PostgreSQL.

The file runs twice: against SQLite with the other tests, and against a temporary PostgreSQL cluster
(`scripts/with_postgres.sh pytest -m postgresql`).
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.models import ProtectedError

from tarsus.records import models as rows
from tarsus.records.append_only import NEVER_CHANGED, NEVER_DELETED
from wendlebrook import BEGUN, DAY, Wendlebrook

pytestmark = pytest.mark.django_db
NINE = datetime(2026, 6, 11, 8, 0, tzinfo=UTC)


def refused(write: Callable[[], Any]) -> str:
    """The database's own words when it refuses a write."""
    with pytest.raises(IntegrityError) as refusal, transaction.atomic():
        write()
    return str(refusal.value)


def band(park: Wendlebrook, **fields: Any) -> rows.Band:
    told = {
        "bird_id": park["Dock"],
        "site": "left leg",
        "kind": "metal",
        "series": "WB",
        "from_on": BEGUN,
        "recorded_by_id": park.actors.tilda,
    }
    return rows.Band(**{**told, **fields})


def stay(park: Wendlebrook, **fields: Any) -> rows.Stay:
    told = {
        "bird_id": park["Dock"],
        "exhibit_id": park.reed,
        "from_on": DAY,
        "recorded_by_id": park.actors.tilda,
    }
    return rows.Stay(**{**told, **fields})


def sighting(park: Wendlebrook, **fields: Any) -> rows.Sighting:
    told = {
        "exhibit_id": park.shingle,
        "bird_id": park["Kelp"],
        "how": "by sight",
        "accepted_by_id": park.actors.tilda,
        "recorded_by_id": park.actors.tilda,
        "happened_at": NINE,
    }
    return rows.Sighting(**{**told, **fields})


def test_a_metal_number_is_never_on_a_second_band(park: Wendlebrook) -> None:
    again = {"engraving": "wb31001", "engraving_key": "WB31001"}
    assert "metal_number_once" in refused(band(park, **again).save) or connection.vendor == "sqlite"
    rows.Band.objects.filter(pk=park.metals["Teasel"]).update(to_on=DAY, why_off="tight")
    refused(band(park, **again).save)
    band(park, **again, series="another issue").save()
    assert rows.Band.objects.filter(engraving_key="WB31001").count() == 2


def test_bands_without_a_number_may_be_many(park: Wendlebrook) -> None:
    band(park).save()
    band(park, order=100).save()
    assert rows.Band.objects.filter(bird_id=park["Dock"], kind="metal").count() == 2


def test_one_band_sits_in_one_place(park: Wendlebrook) -> None:
    band(park).save()
    refused(band(park).save)
    rows.Band.objects.filter(bird_id=park["Dock"], kind="metal").update(to_on=DAY)
    band(park).save()


def test_a_bird_lives_in_one_exhibit_at_a_time(park: Wendlebrook) -> None:
    refused(stay(park).save)
    rows.Stay.objects.filter(bird_id=park["Dock"]).update(to_on=DAY)
    stay(park).save()
    assert rows.Stay.objects.filter(bird_id=park["Dock"], to_on__isnull=True).get().exhibit_id == park.reed


def test_a_transponder_is_one_birds(park: Wendlebrook) -> None:
    chip = {"number": "956", "from_on": BEGUN, "recorded_by_id": park.actors.ilse}
    rows.Transponder.objects.create(bird_id=park["Dock"], **chip)
    refused(lambda: rows.Transponder.objects.create(bird_id=park["Kelp"], **chip))


def test_a_pair_is_written_with_the_smaller_number_first(park: Wendlebrook) -> None:
    pair = {"from_on": BEGUN, "recorded_by_id": park.actors.tilda}
    one, other = sorted((park["Kelp"], park["Samphire"]))
    rows.Pair.objects.create(first_id=one, second_id=other, **pair)
    for first, second in ((other, one), (one, one), (one, other)):
        refused(lambda f=first, s=second: rows.Pair.objects.create(first_id=f, second_id=s, **pair))


@pytest.mark.parametrize(
    "wrong",
    [
        {"site": "left toe"},
        {"kind": "tin"},
        {"kind": "colour"},
        {"why_off": "bored", "to_on": DAY},
        {"to_on": BEGUN - timedelta(days=1)},
    ],
)
def test_a_band_that_cannot_be_is_not_written(park: Wendlebrook, wrong: dict[str, Any]) -> None:
    refused(band(park, **wrong).save)


@pytest.mark.parametrize(
    "wrong",
    [
        {"how": "by ear"},
        {"how": "by reading"},
        {"how": "part reading"},
        {"bird_id": None},
        {"accepted_by_id": None},
        {"chance": 1.2},
        {"none_of_these": -0.1},
        {"position": -1},
    ],
)
def test_a_sighting_that_cannot_be_is_not_written(park: Wendlebrook, wrong: dict[str, Any]) -> None:
    sighting(park).save()
    with pytest.raises((IntegrityError, DatabaseError)), transaction.atomic():
        sighting(park, **wrong).save()


@pytest.mark.parametrize(
    ("table", "wrong"),
    [
        ("Species", {"weight_prompt_percent": 140}),
        ("Species", {"moult_from_month": 13}),
        ("Species", {"max_unseen_days": 0}),
        ("Species", {"form": "fins"}),
        ("Species", {"female_low_g": 300, "female_high_g": 200}),
        ("Park", {"strangers": 1.5}),
        ("Park", {"female_side": "right"}),
        ("Park", {"id": 2}),
        ("Person", {"role": "owner"}),
        ("Colour", {"name": "metal"}),
        ("Colour", {"hex": "red"}),
        ("Exhibit", {"name": ""}),
        ("Place", {"kind": "attic"}),
        ("Stay", {"to_on": date(2020, 1, 1)}),
    ],
)
def test_words_days_and_shares_out_of_their_range_are_not_written(
    park: Wendlebrook, table: str, wrong: dict[str, Any]
) -> None:
    model = getattr(rows, table)
    row = model.objects.order_by("pk").first()
    refused(lambda: model.objects.filter(pk=row.pk).update(**wrong))


def test_a_drawer_never_holds_less_than_none(park: Wendlebrook) -> None:
    row = rows.Stock.objects.create(kind="metal", size="7", amount=1)
    with pytest.raises(DatabaseError), transaction.atomic():
        rows.Stock.objects.filter(pk=row.pk).update(amount=-1)
    refused(lambda: rows.Stock.objects.create(kind="metal", size="7"))


def test_a_reason_is_signed_by_two_people(park: Wendlebrook) -> None:
    told = {"ruled": "moult", "exhibit_id": park.shingle, "for_day": DAY, "reason": "a wing must be seen"}
    refused(lambda: rows.SignedReason.objects.create(**told))
    refused(
        lambda: rows.SignedReason.objects.create(**told, vet_id=park.actors.ilse, lead_id=park.actors.ilse)
    )
    rows.SignedReason.objects.create(**told, vet_id=park.actors.ilse, lead_id=park.actors.maren)


def fact_rows(park: Wendlebrook) -> list[Any]:
    """One row in every table of facts that a roll call and a handling write."""
    who = {"recorded_by_id": park.actors.tilda, "happened_at": NINE}
    call = rows.Round.objects.create(exhibit_id=park.shingle)
    seen = sighting(park, round=call)
    seen.save()
    concern = rows.Concern.objects.create(seen=["lame"], **who)
    metal = park.metals["Kelp"]
    return [
        seen,
        concern,
        rows.RoundStarted.objects.create(round=call, **who),
        rows.RoundClosed.objects.create(round=call, version={}, **who),
        rows.RoundReopened.objects.create(round=call, **who),
        rows.RoundLight.objects.create(round=call, light="dusk", **who),
        rows.RoundNotDone.objects.create(round=call, because="storm", **who),
        rows.Count.objects.create(round=call, lookalike="avocet", counted=4, **who),
        rows.Group.objects.create(round=call, group=uuid4(), size=2, **who),
        rows.Withdrawal.objects.create(withdraws=seen.pk, kind="sighting", because="no", **who),
        rows.ConcernBird.objects.create(concern=concern, bird_id=park["Kelp"]),
        rows.Weighing.objects.create(bird_id=park["Kelp"], weight_g=300, where="in hand", **who),
        rows.BandCheck.objects.create(band_id=metal, condition="good", **who),
        rows.Missing.objects.create(bird_id=park["Kelp"], state="missing", **who),
        rows.Note.objects.create(bird_id=park["Kelp"], text="early", **who),
    ]


def test_facts_are_neither_changed_nor_deleted_by_anybody(park: Wendlebrook) -> None:
    for row in fact_rows(park):
        table = type(row)._meta.db_table
        field = "concern_id" if table == "records_concernbird" else "recorded_by_id"
        with connection.cursor() as cursor:
            changed = refused(lambda t=table, f=field: cursor.execute(f'UPDATE "{t}" SET {f} = {f}'))
            deleted = refused(lambda t=table: cursor.execute(f'DELETE FROM "{t}"'))
        assert changed.startswith(f"{table}: a fact is never changed; record a correction")
        assert deleted.startswith(f"{table}: nothing is deleted; record a correction")
        assert type(row)._default_manager.filter(pk=row.pk).exists()


def test_birds_bands_and_people_are_never_deleted(park: Wendlebrook) -> None:
    assert "nothing is deleted" in refused(rows.Band.objects.filter(bird_id=park["Dock"]).delete)
    with pytest.raises(ProtectedError):
        rows.Bird.objects.get(pk=park["Dock"]).delete()
    with pytest.raises(ProtectedError):
        rows.Exhibit.objects.get(pk=park.shingle).delete()


def test_every_table_that_should_be_guarded_is(park: Wendlebrook) -> None:
    asked = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
    }
    with connection.cursor() as cursor:
        cursor.execute(asked[connection.vendor])
        laid = {name for (name,) in cursor.fetchall()}
    wanted = {f"records_{table}_no_{deed}" for table in NEVER_CHANGED for deed in ("update", "delete")}
    wanted |= {f"records_{table}_no_delete" for table in NEVER_DELETED}
    assert wanted <= laid


def test_every_table_of_facts_is_appended_only() -> None:
    from tarsus.records.fact_tables import fact_tables

    tables = {table._meta.model_name for table in fact_tables().values()}
    assert tables <= set(NEVER_CHANGED)
