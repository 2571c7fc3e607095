"""`tarsus serve`: the register's pages for phones and desks."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Final

from tarsus.cli.running import parser_for

SUMMARY: Final = "Serve this park's register to phones and desks."


def run(args: list[str]) -> int:
    """Bring the tables up to date, say where the pages are, and serve until stopped."""
    wishes = _wishes(args)
    from tarsus.cli.inviting import first_address, say_first_address
    from tarsus.cli.register import may_be_made, open_register, where_it_is
    from tarsus.cli.serving import refuse_taken_port, serve_register

    if wishes.park:
        return _serve_park(wishes)
    refuse_taken_port(wishes.host, wishes.port)
    open_register(wishes.home, make=may_be_made(wishes.home, asked=wishes.new))
    print(f"register: {where_it_is()}")
    origin = f"http://{_shown(wishes.host)}:{wishes.port}"
    if address := first_address(origin):
        say_first_address(address)
    print(f"{origin}   (Ctrl-C stops it)")
    _say_if_invented()
    if wishes.host not in ("127.0.0.1", "localhost"):
        print(
            "Phones keep nothing offline over plain http: use --park, or put a certificate in front.",
            file=sys.stderr,
        )
    sys.stdout.flush()
    return serve_register(wishes.host, wishes.port)


def parser() -> argparse.ArgumentParser:
    """The options of this command."""
    options = parser_for("serve", SUMMARY)
    options.add_argument("--host", help="address to listen at (default: 127.0.0.1; with --park: all)")
    options.add_argument("--port", type=int, help="port to listen at (default: 8000; with --park: 8443)")
    options.add_argument("--home", default="", metavar="DIR", help="folder of the register")
    options.add_argument(
        "--new",
        action="store_true",
        help="start a new park where no register is (an empty folder needs no asking)",
    )
    options.add_argument(
        "--park",
        action="store_true",
        help="serve phones on the park's own network, over TLS with a local authority",
    )
    options.add_argument(
        "--name", default="", help="with --park: the host name by which phones call this machine"
    )
    options.add_argument(
        "--plain-port",
        type=int,
        default=8080,
        help="with --park: port of the invitation page (default: 8080)",
    )
    return options


def _wishes(args: list[str]) -> argparse.Namespace:
    options = parser()
    wishes = options.parse_args(args)
    if wishes.name and not wishes.park:
        options.error("--name: only phones on the park's network need it; add --park")
    wishes.port = wishes.port or (8443 if wishes.park else 8000)
    wishes.host = wishes.host or ("0.0.0.0" if wishes.park else "127.0.0.1")
    return wishes


def _serve_park(wishes: argparse.Namespace) -> int:
    """Serve over TLS with the park's own authority; the settings must hear of it before they are read."""
    import os
    import socket

    from tarsus.cli.park_network.serving_park import own_addresses, serve_park
    from tarsus.cli.register import may_be_made, open_register

    name = wishes.name or f"{socket.gethostname().split('.')[0]}.local"
    addresses = own_addresses()
    os.environ["TARSUS_TLS"] = "1"
    os.environ["TARSUS_PARK_HOSTS"] = ",".join([name, *map(str, addresses)])
    os.environ["TARSUS_PARK_INVITATION"] = f"http://{addresses[0]}:{wishes.plain_port}/"
    open_register(wishes.home, make=may_be_made(wishes.home, asked=wishes.new))
    _say_if_invented()
    from django.conf import settings

    return serve_park(name, wishes.port, wishes.plain_port, Path(settings.HOME) / "authority", wishes.host)


def _say_if_invented() -> None:
    """Say that a register holds the invented park, so that nobody records real birds in it."""
    from tarsus.queries.park import park_face

    if park_face().invented:
        print(
            "This register holds the invented park, whose passwords everybody knows. Your own park goes into "
            "another folder: tarsus serve --new --home DIR",
            file=sys.stderr,
        )


def _shown(host: str) -> str:
    return "127.0.0.1" if host in ("0.0.0.0", "::") else host
