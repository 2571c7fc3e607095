"""Phones that send while the server is killed again and again: what comes in, what is lost, what is doubled.

    .venv/bin/python drills/nothing_lost.py                                              SQLite
    scripts/with_postgres.sh .venv/bin/python drills/nothing_lost.py --home /tmp/drill   PostgreSQL

Each phone has a token of its own, its own round and its own facts. It sends them shuffled, in batches,
until each is answered; then all of them a second time, shuffled anew. A tenth of the answers is thrown away
unread, and the server is killed (SIGKILL, workers and all) after so many answers, at random, and started
again. Nothing is mocked: `tarsus serve` writes to a register on the disk. Figures are printed at the end;
exit status 1 where any is wrong.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from datetime import UTC, datetime
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import Any, Final
from uuid import uuid4

HERE: Final = Path(__file__).resolve().parent
TARSUS: Final = (sys.executable, "-m", "tarsus.cli.main")
BATCH: Final = 20
PATIENCE_S: Final = 120.0


class Server:
    """`tarsus serve`, which somebody kills."""

    def __init__(self, home: Path) -> None:
        self.home, self.kills = home, 0
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port: int = probe.getsockname()[1]
        self.process = self._started()

    def _started(self) -> subprocess.Popen[bytes]:
        with (self.home / "server.log").open("ab") as log:
            return subprocess.Popen(
                [*TARSUS, "serve", "--home", str(self.home), "--port", str(self.port)],
                stdout=log,
                stderr=log,
                start_new_session=True,
            )

    def answers(self) -> bool:
        try:
            with socket.create_connection(("127.0.0.1", self.port), timeout=1):
                return True
        except OSError:
            return False

    def kill(self) -> None:
        """As a power cut would: everything at once, whatever it was at."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.kills += 1

    def start_again(self) -> None:
        # The port is free once the system has seen the last of the old one.
        while self.answers():
            time.sleep(0.05)
        self.process = self._started()


class Field:
    """All phones together: what they were answered, and when the next kill is due."""

    def __init__(self, server: Server, kills: int, answers: int, chance: random.Random) -> None:
        self.server, self.lock, self.chance = server, threading.Lock(), chance
        self.outcomes: Counter[str] = Counter()
        self.answers = self.lost = self.failed = 0
        self.due = sorted(chance.sample(range(1, max(answers, kills + 1)), kills))

    def heard(self, outcomes: list[str], *, lost: bool) -> None:
        """One answer more came, or came and was thrown away; now and then the server is killed for it."""
        with self.lock:
            self.answers += 1
            self.lost += lost
            if not lost:
                self.outcomes.update(outcomes)
            if self.due and self.answers >= self.due[0]:
                self.due.pop(0)
                self.server.kill()
                self.server.start_again()

    def loses(self) -> bool:
        with self.lock:
            return self.chance.random() < 0.1


def facts_of(number: int, amount: int, known: dict[str, Any]) -> list[dict[str, Any]]:
    """A phone's facts: its round, then sightings of it and notes."""
    at, round_id = datetime.now(UTC).isoformat(), str(uuid4())
    same = {"at": at, "by": known["by"]}
    facts = [
        {**same, "id": str(uuid4()), "kind": "round_started", "round": round_id, "exhibit": known["exhibit"]}
    ]
    for n in range(amount - 1):
        bird = known["birds"][(n + number) % len(known["birds"])]
        more = (
            {"kind": "note", "bird": bird, "text": f"drill phone {number}, note {n}"}
            if n % 4 == 0
            else {
                "kind": "sighting",
                "round": round_id,
                "exhibit": known["exhibit"],
                "bird": bird,
                "how": "by sight",
            }
        )
        facts.append({**same, "id": str(uuid4()), **more})
    return facts


def phone(field: Field, token: str, facts: list[dict[str, Any]], seed: int) -> None:
    """Send all facts, and all of them again; each batch until it is answered and the answer was read."""
    chance = random.Random(seed)
    for _ in range(2):
        outbox = chance.sample(facts, len(facts))
        while outbox:
            batch = outbox[:BATCH]
            if _sent(field, token, batch):
                outbox = outbox[len(batch) :]
            else:
                chance.shuffle(outbox)
                # Fifty that ask all the time would keep the server from starting.
                time.sleep(0.5 + chance.random())


def _sent(field: Field, token: str, batch: list[dict[str, Any]]) -> bool:
    body = json.dumps({"facts": batch})
    line = HTTPConnection("127.0.0.1", field.server.port, timeout=PATIENCE_S)
    try:
        line.request(
            "POST",
            "/api/v1/facts",
            body,
            {"Content-Type": "application/json", "Authorization": f"Bearer {token}"},
        )
        answer = line.getresponse()
        told = json.loads(answer.read())
    except (OSError, HTTPException, ValueError):
        with field.lock:
            field.failed += 1
        return False
    finally:
        line.close()
    if answer.status != 200:
        raise SystemExit(f"answered {answer.status}: {told}")
    lost = field.loses()
    field.heard([one["outcome"] for one in told["answers"]], lost=lost)
    return not lost


def _register_side(home: Path, what: str, said: Any) -> Any:
    done = subprocess.run(
        [sys.executable, str(HERE / "register_side.py"), what, str(home)],
        input=json.dumps(said),
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise SystemExit(done.stderr)
    return json.loads(done.stdout)


def main() -> int:
    """Run the drill and print its figures."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--phones", type=int, default=50)
    options.add_argument("--facts", type=int, default=200)
    options.add_argument("--kills", type=int, default=100)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--home", default="", help="an empty folder; without it a temporary one")
    wishes = options.parse_args()
    with tempfile.TemporaryDirectory(prefix="tarsus-drill-") as spare:
        return drill(wishes, Path(wishes.home or spare).resolve())


def drill(wishes: argparse.Namespace, home: Path) -> int:
    """Load the invented park, send, kill, count."""
    home.mkdir(parents=True, exist_ok=True)
    subprocess.run(
        [*TARSUS, "demo", "--small", "--no-serve", "--home", str(home)], check=True, capture_output=True
    )
    known = _register_side(home, "prepare", wishes.phones)
    facts = [facts_of(number, wishes.facts, known) for number in range(wishes.phones)]
    batches = wishes.phones * 2 * -(-wishes.facts // BATCH)
    server = Server(home)
    field = Field(server, wishes.kills, batches, random.Random(wishes.seed))
    began = time.monotonic()
    threads = [
        threading.Thread(target=phone, args=(field, token, own, wishes.seed * 1000 + number), daemon=True)
        for number, (token, own) in enumerate(zip(known["tokens"], facts, strict=True))
    ]
    try:
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        took = time.monotonic() - began
        # What waits is written beside the answers, a moment after the last of them at most.
        until = time.monotonic() + 60
        while _register_side(home, "look", [])["waiting"] and time.monotonic() < until:
            time.sleep(1)
    finally:
        os.killpg(server.process.pid, signal.SIGKILL)
        server.process.wait()
    seen = _register_side(home, "look", [fact["id"] for own in facts for fact in own])
    return _told(wishes, field, seen, took)


def _told(wishes: argparse.Namespace, field: Field, seen: dict[str, Any], took: float) -> int:
    sent = wishes.phones * wishes.facts
    figures = {
        "database": seen["database"],
        "phones": wishes.phones,
        "facts each, sent twice": wishes.facts,
        "kills": field.server.kills,
        "answers": field.answers,
        "answers thrown away": field.lost,
        "sendings without an answer": field.failed,
        "facts sent": sent,
        "facts in the register": seen["found"],
        "lost": sent - seen["found"],
        "doubled": seen["rows"] - seen["found"],
        "refused": field.outcomes["refused"],
        "still waiting": seen["waiting"],
        "seconds": round(took),
        "cores": os.cpu_count(),
        "day": f"{datetime.now(UTC):%Y-%m-%d}",
    }
    for what, figure in figures.items():
        print(f"{what:<28}{figure}")
    wrong = figures["lost"] or figures["doubled"] or figures["refused"] or figures["still waiting"]
    return 1 if wrong or field.server.kills < wishes.kills else 0


if __name__ == "__main__":
    sys.exit(main())
