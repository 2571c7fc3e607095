"""Load the invented park and serve it."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date

from tarsus.cli.running import parser_for

SUMMARY = "Load the invented park and serve it."
HOST = "127.0.0.1"
DEMO_HOME = "var/demo"


def run(args: list[str]) -> int:
    """Make the home folder, load the park where the register is empty, print who may sign in, and serve."""
    parser = parser_for("demo", SUMMARY)
    parser.add_argument("--home", metavar="DIR", help=f"folder of the register (default: {DEMO_HOME})")
    parser.add_argument("--port", type=int, default=8000, help="port on this machine (default: 8000)")
    parser.add_argument("--no-serve", action="store_true", help="load the park and stop")
    parser.add_argument("--small", action="store_true", help="avocets only and twenty days: quick to load")
    wishes = parser.parse_args(args)
    _open(wishes)
    from tarsus.cli.serving import refuse_taken_port, serve_register

    if not wishes.no_serve:
        refuse_taken_port(HOST, wishes.port)
    ends = _load_if_empty(small=wishes.small)
    _tell(wishes, ends)
    return 0 if wishes.no_serve else serve_register(HOST, wishes.port)


def _open(wishes: argparse.Namespace) -> None:
    from tarsus.cli.register import open_register

    os.environ.setdefault("TARSUS_HOME", DEMO_HOME)
    open_register(wishes.home, make=True)


def _load_if_empty(*, small: bool) -> date | None:
    """Load the park where there is none; answer the last day of its history where this start loaded it."""
    from tarsus.actions.bulk.reader import RegisterNotEmpty, register_is_empty
    from tarsus.demo.garden import NAME
    from tarsus.demo.loaded import load_demo
    from tarsus.demo.wendlebrook import planned_rounds
    from tarsus.queries.park import park_face

    if not register_is_empty():
        found = park_face().name
        if found != NAME:
            raise RegisterNotEmpty(found)
        return None
    with _shown(planned_rounds(small=small)) as (say, progress):
        return load_demo(small=small, progress=progress, say=say).today


@contextmanager
def _shown(rounds: int) -> Iterator[tuple[Callable[[str], None], Callable[[int], None]]]:
    """What is being done and how far it is: a bar in a terminal, else a line a step."""
    if not sys.stderr.isatty():
        yield lambda what: print(f"{what} …", file=sys.stderr, flush=True), lambda _: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task("", total=rounds)
        yield (
            lambda what: shown.update(task, description=what),
            lambda more: shown.advance(task, more),
        )


def _tell(wishes: argparse.Namespace, loaded_on: date | None) -> None:
    from tarsus.demo.garden import NAME, PEOPLE

    print(f"{NAME}, an invented park.")
    if loaded_on is not None:
        print("Loaded: its history ends yesterday evening, and today's roll is not yet called.")
    else:
        print("Kept as it was. For a history that ends yesterday, start with an empty folder: --home DIR.")
    width = max(len("sign in as"), *(len(person.username) for person in PEOPLE))
    longest = max(len(person.password) for person in PEOPLE)
    print(f"\n  {'sign in as':<{width}}  {'with':<{longest}}  who it is")
    for person in PEOPLE:
        who = f"{person.name}, {person.role}{f', PIN {person.pin}' if person.pin else ''}"
        print(f"  {person.username:<{width}}  {person.password:<{longest}}  {who}")
    if not wishes.no_serve:
        print(f"\nhttp://{HOST}:{wishes.port}   (Ctrl-C stops it; these passwords are for this machine only)")
    print("Your own park, beside this one: tarsus serve --new --home DIR")
    sys.stdout.flush()
