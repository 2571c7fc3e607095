"""Several processes behind one server in front: nothing is lost, doubled or counted apart."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit
from uuid import uuid4

import psycopg
import pytest

from kept_register import begun

sys.path.insert(0, str(Path(__file__).parent))
from two_servers import TARSUS, Browser, Front, environment, served

pytestmark = pytest.mark.both_databases
TEXT = "of two servers"


@dataclass(frozen=True)
class Two:
    """Both servers, and the address of a PostgreSQL register; `home` is the first one's."""

    front: Front
    ports: tuple[int, int]
    home: Path
    database: str

    def rows(self, question: str) -> list[Any]:
        if self.database:
            with psycopg.connect(self.database) as register:
                return list(register.execute(question.encode()).fetchall())
        with closing(sqlite3.connect(self.home / "register.sqlite3")) as register:
            return register.execute(question).fetchall()


@pytest.fixture(scope="module")
def database() -> Iterator[str]:
    """An empty PostgreSQL database where the tests' register is one, else nothing."""
    cluster = os.environ.get("TARSUS_DATABASE", "")
    if not cluster.startswith("postgresql:"):
        yield ""
        return
    told, name = urlsplit(cluster), f"two_servers_{os.getpid()}"
    host = parse_qs(told.query)["host"][0]
    with psycopg.connect(host=host, user=told.username, dbname="postgres", autocommit=True) as office:
        office.execute(f'CREATE DATABASE "{name}" TEMPLATE template0'.encode())
        yield told._replace(path=f"/{name}").geturl()
        office.execute(f'DROP DATABASE "{name}" WITH (FORCE)'.encode())


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory, database: str) -> Iterator[Two]:
    """The invented park in small, served twice: on SQLite from one home, on PostgreSQL each from its own."""
    first = tmp_path_factory.mktemp("first") / "home"
    first.mkdir()
    if not database:
        begun(first)
    told = environment(first, database)
    subprocess.run(
        [*TARSUS, "demo", "--small", "--no-serve", "--home", str(first)],
        env=told,
        check=True,
        capture_output=True,
    )
    second = tmp_path_factory.mktemp("second") if database else first
    with (
        served(first, told) as (_, at_one),
        served(second, environment(second, database)) as (_, at_other),
    ):
        front = Front([at_one, at_other])
        yield Two(front, (at_one, at_other), first, database)
        front.close()


@pytest.fixture
def tamsin(two: Two) -> Browser:
    """A keeper's browser, signed in through the server in front."""
    browser = Browser(two.front.port)
    assert browser.sign_in("tamsin", "tamsin-at-dawn") == 302
    return browser


def by_of(two: Two) -> int:
    return int(two.rows("SELECT id FROM records_person WHERE login = 'tamsin'")[0][0])


def test_what_is_told_to_both_at_once_and_twice_is_written_once_and_read_at_either(
    two: Two, tamsin: Browser
) -> None:
    by, bird = by_of(two), int(two.rows("SELECT min(id) FROM records_bird")[0][0])
    same = {"kind": "note", "by": by, "bird": bird, "at": datetime.now(UTC).isoformat()}
    facts = [{**same, "id": str(uuid4()), "text": f"{TEXT}, {n}"} for n in range(40)]
    batches = [facts[at : at + 5] for at in range(0, len(facts), 5)] * 2

    def send(batch: list[dict[str, Any]]) -> list[str]:
        browser = Browser(tamsin.port, dict(tamsin.cookies))
        status, answer = browser.ask("POST", "/facts", {"facts": batch, "device": "two"})
        assert status == 200, answer
        assert browser.ask("GET", "/exhibits.json")[0] == 200
        return [one["outcome"] for one in json.loads(answer)["answers"]]

    before = dict(two.front.heard)
    with ThreadPoolExecutor(4) as pool:
        outcomes = Counter(word for words in pool.map(send, batches) for word in words)
    assert outcomes == {"written": 40, "known": 40}
    assert all(two.front.heard[port] > before[port] for port in two.ports), "both were asked"
    (row,) = two.rows(f"SELECT count(*), count(DISTINCT id) FROM records_note WHERE text LIKE '{TEXT}, %'")
    assert tuple(row) == (40, 40)


def test_one_call_closed_at_both_at_once_is_carried_forward_once(two: Two, tamsin: Browser) -> None:
    by, round_id, at = by_of(two), str(uuid4()), datetime.now(UTC).isoformat()
    exhibit = int(two.rows("SELECT min(exhibit_id) FROM records_stay")[0][0])
    same = {"by": by, "at": at, "round": round_id}
    started = {**same, "id": str(uuid4()), "kind": "round_started", "exhibit": exhibit}
    assert tamsin.ask("POST", "/facts", {"facts": [started], "device": "two"})[0] == 200
    closed = {**same, "id": str(uuid4()), "kind": "round_closed"}

    def close(port: int) -> int:
        browser = Browser(tamsin.port, dict(tamsin.cookies))
        return browser.ask("POST", "/facts", {"facts": [closed], "device": "two"}, port=port)[0]

    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(close, two.ports)) == [200, 200]
    one = _as_kept(two, str(closed["id"]))
    assert two.rows(f"SELECT count(*) FROM records_roundclosed WHERE id = '{one}'") == [(1,)]
    kept = two.rows("SELECT exhibit_id, lookalike, on_day FROM records_presencecheckpoint")
    assert kept
    assert len(set(kept)) == len(kept)


def _as_kept(two: Two, key: str) -> str:
    return key if two.database else key.replace("-", "")


def test_a_session_holds_at_both_and_ends_at_both(two: Two, tamsin: Browser) -> None:
    at_both = [tamsin.ask("GET", "/exhibits.json", port=port)[0] for port in two.ports]
    assert at_both == [200, 200]
    left = Browser(tamsin.port, dict(tamsin.cookies))
    assert left.ask("POST", "/sign-out/", {}, form=True, port=two.ports[0])[0] == 302
    assert [tamsin.ask("GET", "/exhibits.json", port=port)[0] for port in two.ports] == [401, 401]


def test_wrong_passwords_are_counted_over_both(two: Two) -> None:
    browser = Browser(two.front.port)
    tries = [browser.sign_in("corin", "not this one") for _ in range(8)]
    assert tries[:7] == [200] * 7
    for port in two.ports:
        alone = Browser(port)
        assert alone.sign_in("corin", "not this one") == 429, "each heard four only, and counts eight"


def test_the_others_go_on_when_one_is_killed(two: Two, tamsin: Browser) -> None:
    told = environment(two.home, two.database)
    fact = {"kind": "note", "by": by_of(two), "at": datetime.now(UTC).isoformat(), "text": "goes on"}
    fact["bird"] = int(two.rows("SELECT min(id) FROM records_bird")[0][0])
    with served(two.home, told) as (third, at_third):
        for port, kills in ((at_third, True), (two.ports[0], False), (two.ports[1], False)):
            sent = {"facts": [{**fact, "id": str(uuid4())}], "device": "two"}
            status, answer = tamsin.ask("POST", "/facts", sent, port=port)
            assert (status, b'"written"' in answer) == (200, True)
            if kills:
                third.kill()
                third.wait()
