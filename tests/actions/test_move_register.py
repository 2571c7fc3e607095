"""A whole register into another database and back: nothing lost, nothing changed, nothing half."""

from __future__ import annotations

import json
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any
from urllib.parse import quote

import psycopg
import pytest
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

import wendlebrook
from phones import Phone
from tarsus.actions.devices import give_device_token
from tarsus.actions.facts import hear_facts
from tarsus.actions.safekeeping.moving import NotMoved, TargetNotEmpty, move_register
from tarsus.actions.safekeeping.tally import Tally, all_tables, tally_of
from tarsus.records import models as rows
from tarsus.records.databases import REGISTER, postgresql_at, sqlite_in

sys.path.insert(0, str(Path(__file__).parents[1] / "cli"))
from shell import tarsus

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def full(transactional_db: None, django_db_blocker: Any, tmp_path: Path, settings: Any) -> Iterator[Path]:
    """The home of a small park with a round, a phone's token and a password in it.

    A test may open the register alone, until it says otherwise.
    """
    settings.HOME = tmp_path
    park = wendlebrook.build()
    phone = Phone(park, park.actors.tilda)
    facts = [phone.started(), phone.count("avocet", 4), phone.sighting("Kelp"), phone.sighting("Sedge")]
    hear_facts(facts=facts, clock=None, device="p", speaker=park.actors.tilda)
    tilda = rows.Person.objects.get(pk=park.actors.tilda)
    tilda.set_password("a long walk to the north spit")
    tilda.save()
    give_device_token(name="hide", exhibit_ids=[park.shingle], people_ids=[tilda.pk], by=park.actors.corin)
    with django_db_blocker.unblock():
        yield tmp_path


@pytest.fixture
def other_database(transactional_db: None) -> Iterator[str]:
    """The address of a PostgreSQL database beside the tests' own, empty as that still is, its tables made."""
    told = connection.settings_dict
    name = f"{told['NAME']}_other"
    connection.close()
    with psycopg.connect(dbname="postgres", user=told["USER"], host=told["HOST"], autocommit=True) as office:
        office.execute(f'DROP DATABASE IF EXISTS "{name}"')
        office.execute(f'CREATE DATABASE "{name}" TEMPLATE "{told["NAME"]}"')
        yield f"postgresql://{told['USER']}@/{name}?host={quote(str(told['HOST']), safe='')}"
        office.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')


def held() -> tuple[Tally, ...]:
    return tuple(tally_of("default", model) for model in all_tables())


def test_all_of_a_register_stands_in_the_other_database(full: Path) -> None:
    before = held()
    heard: list[int] = []
    carried = move_register(target=sqlite_in(full / "new"), progress=heard.append)
    assert carried == before == held()
    by_table = {one.table: one.rows for one in carried}
    assert sum(heard) == sum(by_table.values())
    # Counted here by hand, not by what counts there: the person's secrets and the phone's facts among it.
    assert by_table["sighting"] == 2
    assert by_table["device_token"] == by_table["device_token_people"] == 1
    with closing(sqlite3.connect(full / "new" / REGISTER)) as new:
        (password,) = new.execute("SELECT password FROM records_person WHERE login = 'tilda'").fetchone()
        assert password == rows.Person.objects.get(login="tilda").password
        (last,) = new.execute("SELECT max(id) FROM records_bird").fetchone()
        (numbered,) = new.execute("SELECT seq FROM sqlite_sequence WHERE name = 'records_bird'").fetchone()
        assert numbered >= last == rows.Bird.objects.order_by("-pk")[0].pk
        with pytest.raises(sqlite3.IntegrityError, match="a fact is never changed"):
            new.execute("UPDATE records_sighting SET id = id")


def test_a_folder_that_has_a_register_is_not_moved_into(full: Path) -> None:
    move_register(target=sqlite_in(full / "new"))
    before = (full / "new" / REGISTER).read_bytes()
    with pytest.raises(TargetNotEmpty, match="is not empty"):
        move_register(target=sqlite_in(full / "new"))
    assert (full / "new" / REGISTER).read_bytes() == before


def test_a_register_of_a_newer_tarsus_is_not_moved_without_what_only_that_one_knows(full: Path) -> None:
    later = MigrationRecorder(connection)
    later.record_applied("records", "0999_wings")
    try:
        with pytest.raises(NotMoved, match=r"its tables are of a newer Tarsus; move it with that one"):
            move_register(target=sqlite_in(full / "new"))
    finally:
        later.record_unapplied("records", "0999_wings")
    assert not (full / "new" / REGISTER).exists()


def test_a_register_is_moved_nowhere_where_no_place_is_named(tmp_path: Path) -> None:
    made = tarsus(tmp_path, "manage", "migrate", "--new", "--verbosity", "0")
    assert made.returncode == 0, made.stderr
    (tmp_path / "here").mkdir()
    for nowhere in ("", " "):
        done = tarsus(tmp_path, "move-register", nowhere, cwd=tmp_path / "here")
        assert (done.returncode, done.stdout) == (2, "")
        assert "TARGET: is empty; name an address of PostgreSQL or a folder" in done.stderr
    assert not any((tmp_path / "here").iterdir())
    moved = tarsus(tmp_path, "move-register", "here", TARSUS_PUSH_SERVICES="push.example")
    assert (moved.returncode, "It needs the push-key too" in moved.stdout) == (0, True), moved.stderr


def test_a_digest_tells_what_stands_in_a_table_and_not_in_which_order(full: Path) -> None:
    was = tally_of("default", rows.Exhibit)
    rows.Exhibit.objects.filter(name="Reed House").update(name="Reed house")
    changed = tally_of("default", rows.Exhibit)
    assert (changed.rows, changed.digest == was.digest) == (was.rows, False)
    rows.Exhibit.objects.filter(name="Reed house").update(name="Reed House")
    assert tally_of("default", rows.Exhibit) == was


@pytest.mark.postgresql
def test_a_register_goes_from_one_kind_of_database_to_the_other_and_back(
    other_database: str, full: Path
) -> None:
    """The first way in this process; the way back by the command, as a park would."""
    before = held()
    assert move_register(target=sqlite_in(full / "new")) == before
    done = tarsus(full / "new", "move-register", other_database, "--json")
    assert done.returncode == 0, done.stderr
    back = [Tally(one["table"], one["rows"], one["digest"]) for one in json.loads(done.stdout)["tables"]]
    assert tuple(back) == before
    again = tarsus(full / "new", "move-register", other_database)
    assert (again.returncode, again.stdout) == (2, "")
    assert "is not empty (it holds rows of" in again.stderr
    made = tarsus(
        full / "new",
        *("tell", "note", f"bird={rows.Bird.objects.get(house_name='Kelp').pk}", "text=moved"),
        *("--by", "tilda"),
        TARSUS_DATABASE=other_database,
    )
    assert made.returncode == 0, made.stderr


@pytest.mark.postgresql
def test_what_the_other_database_refuses_or_changes_moves_nothing(other_database: str, full: Path) -> None:
    target = postgresql_at(other_database, "TARGET")
    move_register(target=target)
    at = {"dbname": target["NAME"], "user": target["USER"], "host": target["HOST"]}
    with psycopg.connect(**at, autocommit=True) as other:
        tables = ", ".join(f'"{model._meta.db_table}"' for model in all_tables())
        other.execute(f"TRUNCATE {tables}")
        other.execute("CREATE FUNCTION louder() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
                      "NEW.name := upper(NEW.name); RETURN NEW; END $$")  # fmt: skip
        other.execute(
            "CREATE TRIGGER louder BEFORE INSERT ON records_exhibit FOR EACH ROW EXECUTE FUNCTION louder()"
        )
        with pytest.raises(NotMoved, match=r"exhibit: cannot be carried over \(\d+ rows with digest"):
            move_register(target=target)
        assert other.execute("SELECT count(*) FROM records_bird").fetchone() == (0,)
        other.execute("DROP TRIGGER louder ON records_exhibit")
        other.execute("ALTER TABLE records_exhibit ADD CHECK (name <> 'Reed House')")
        with pytest.raises(NotMoved, match=r"exhibit: cannot be carried over \(.*check constraint"):
            move_register(target=target)
        assert other.execute("SELECT count(*) FROM records_bird").fetchone() == (0,)
